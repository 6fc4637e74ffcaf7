"""Planned sessions said without heart rate: what names it is left out, and words of effort take its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from app.coaching.effort import Band
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import KIND_WORDS, PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.session_target import TargetForm, target_from_json
from app.coaching.steps import Node, Repeat, Step, from_json, to_json

#: What is said in place of a heart rate, band by band (common practice, no published source).
BY_EFFORT = {
    Band.EASY: "Easy enough to chat in whole sentences.",
    Band.MIDDLE: "Brisk: talk comes in pieces.",
    Band.HARD: "By effort, never above 8: at the end only a few words.",
}
_CHANGED = "Changed by your coach."

_NAMES = re.compile(
    r"heart[\s-]*(?:rate|beat)|\bpulse\b|\b(?:bpm|hrr|hr[\s-]?max)\b|\bbeats?\s*(?:/|a\b|per\b)\s*min|\bb/min\b"
    r"|\b(?:max\w*|peak|upper|top)\s+heart|%\s*(?:of\s+)?(?:the\s+|your\s+|a\s+)?(?:measured\s+)?max"
    r"|(?-i:\bHR\b)|(?<!\d)(?<!\d\s)\bhr\b",
    re.IGNORECASE,
)
_LEFT_OUT = re.compile(r"\b(?:no|without|not by|never by)\s+(?:the\s+)?(?:heart[\s-]*rate|pulse)\b", re.IGNORECASE)
_ANY_FIGURE = re.compile(r"\d")
#: A figure without a unit that could be beats a minute.
_LIKE_A_RATE = re.compile(
    r"(?<![\d.,:])(?:[89]\d|1\d\d|2[0-3]\d)(?![\d:]|[.,]\d|\s*(?:%|km|m\b|metres?|min|s\b|sec|h\b|hours?|w\b|watts?|kg))",
    re.IGNORECASE,
)
_SENTENCES = re.compile(r"(?<=[.!?;])\s+|\n+")
_TITLE_PARTS = re.compile(r"\s*[,;:(/]\s*")
_COMPARED_WITH = re.compile(r"\bdistance and heart rate\b", re.IGNORECASE)


def names_heart_rate(text: str) -> bool:
    """Whether a text speaks of heart rate; a bare "no heart rate" leaves it out and does not."""
    return any(_is_about_rate(one) for one in _SENTENCES.split(text))


def _is_about_rate(sentence: str) -> bool:
    rest = sentence if _ANY_FIGURE.search(sentence) else _LEFT_OUT.sub("", sentence)
    return _NAMES.search(rest) is not None


def typed_rates(texts: Mapping[str, str | None]) -> tuple[str, ...]:
    """Which of some typed texts speak of heart rate, by their fields' names."""
    return tuple(name for name, text in texts.items() if text and names_heart_rate(text))


@lru_cache(maxsize=4096)
def by_effort(text: str, instead: str) -> str:
    """A text without the sentences that speak of heart rate; `instead` stands where any was left out."""
    said = _COMPARED_WITH.sub("distance", text)
    if not names_heart_rate(said):
        return said
    kept = [one for one in _SENTENCES.split(said) if not _is_about_rate(one) and not _LIKE_A_RATE.search(one)]
    return " ".join(one for one in (*kept, instead) if one)


def session_by_effort(session: PlannedSession) -> PlannedSession:
    """A planned session as it is said to a client whose heart rate is not reliable; its minutes stay as they are."""
    title = _title(session.title, session.kind)
    purpose = by_effort(session.purpose, BY_EFFORT[band_of_plan(session)])
    steps = _steps(session.steps_json)
    easy = session.easy_version and by_effort(session.easy_version, BY_EFFORT[Band.EASY])
    reason = session.reason and by_effort(session.reason, _CHANGED)
    target = _target(session.target_json)
    said = (title, purpose, steps, easy, reason, target)
    was = (session.title, session.purpose, session.steps_json, session.easy_version, session.reason)
    if said == (*was, session.target_json):
        # Most say nothing of heart rate, and a copy of each is dear where a whole practice is read.
        return session
    return replace(
        session, title=title, purpose=purpose, steps_json=steps, easy_version=easy, reason=reason, target_json=target
    )


@lru_cache(maxsize=4096)
def _target(target_json: str | None) -> str | None:
    """The target without heart rate: one by heart rate is none any more, its words of effort stand in the steps."""
    try:
        target = target_from_json(target_json)
    except DomainError:
        return None
    return None if target is not None and target.form is TargetForm.HEART_RATE else target_json


@lru_cache(maxsize=4096)
def _title(title: str, kind: SessionKind) -> str:
    if not names_heart_rate(title):
        return title
    parts = [one.strip(" )") for one in _TITLE_PARTS.split(title)]
    kept = [one for one in parts if one and not _NAMES.search(one) and not _LIKE_A_RATE.search(one)]
    return ", ".join(kept) or KIND_WORDS[kind].capitalize()


@lru_cache(maxsize=4096)
def _steps(steps_json: str) -> str:
    """The same steps in words of effort; steps that cannot be read are left, no page can show them."""
    try:
        nodes = from_json(steps_json)
    except DomainError:
        return steps_json
    said = tuple(_node(node) for node in nodes)
    return steps_json if said == nodes else to_json(said)


def _node(node: Node) -> Node:
    if isinstance(node, Repeat):
        return replace(node, steps=tuple(_node(one) for one in node.steps))
    return _step(node)


def _step(step: Step) -> Step:
    return replace(step, say=by_effort(step.say, BY_EFFORT[step.band]))
