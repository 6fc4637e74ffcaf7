"""One catalogue of what the desk computes and stops by, made from the pure floors: no second list of anything."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from types import CodeType, FunctionType, ModuleType

from app.coaching.catalogue import can_compute, decisions
from app.coaching.catalogue import card as any_card
from app.coaching.condition import Condition
from app.coaching.history import History
from app.coaching.people import Client, ClientState, HeartRateUse
from app.coaching.pressure_sources import PUBLISHED_LIMITS
from app.coaching.promotion import conditions
from app.coaching.protocols import PROTOCOLS, IntervalProtocol, source_words
from app.coaching.reasons import Figure, Provenance
from app.coaching.rules import Rules, SettingCard, Stricter, cards
from app.coaching.screening_table import SOURCE, branches, provenance_of_row
from app.coaching.second_week import second_week_conditions
from app.coaching.signals import NAMES, rules_for
from app.physiology.catalogue import Card, Input
from app.physiology.catalogue import cards as formula_cards
from app.physiology.sources import SOURCES, Source


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing the desk works by: its name, what it says, its figures, and how far to trust it."""

    key: str
    name: str
    says: str
    figures: tuple[Figure, ...]
    provenance: Provenance | None
    source: str | None = None
    can_be_tried: bool = False

    @property
    def trust(self) -> str:
        """How far to trust it and by which source, each said once."""
        if self.provenance is None or self.source is None:
            return self.provenance or ""
        return self.source if self.provenance in self.source else f"{self.provenance}: {self.source}"

    @property
    def haystack(self) -> str:
        """Everything a search looks through."""
        figures = " ".join(f"{one.name} {one.text}" for one in self.figures)
        return f"{self.key} {self.name} {self.says} {figures} {self.provenance or ''} {self.source or ''}".casefold()


@dataclass(frozen=True, slots=True)
class Section:
    """Entries of one kind under one heading."""

    key: str
    title: str
    sentence: str
    entries: tuple[Entry, ...]


def catalogue(rules: Rules, today: date) -> tuple[Section, ...]:
    """Everything there is, by kind, with the practice's present values."""
    own = (_settings(rules), *_hard_work(rules, today), _screening(), _decisions(), _pressures(), _signals())
    return (*own, _formulae(), *_library())


def _settings(rules: Rules) -> Section:
    return Section(
        "rules",
        "Rules of the practice",
        "Every threshold, as it is set now. Those that guard safety can only be made stricter.",
        tuple(_setting(card, rules) for card in cards()),
    )


def _hard_work(rules: Rules, today: date) -> tuple[Section, Section]:
    nobody = History(client=_somebody_unknown(today), from_on=today, until_on=today)
    return (
        Section(
            "conditions",
            "From base to hard work",
            "The one list. Nobody can override a safety condition; the others a coach may, with a reason that is "
            "kept. Limits are shown as for a client of whom nothing is known.",
            tuple(_condition(one) for one in conditions(nobody, today, rules)),
        ),
        Section(
            "second",
            "A second hard session a week",
            "What speaks for it; the coach decides.",
            tuple(_condition(one) for one in second_week_conditions(nobody, today, rules)),
        ),
    )


def _screening() -> Section:
    return Section(
        "screening",
        "Screening table",
        "The first row that fits wins. It reminds a person; it clears nobody.",
        tuple(_branch(*one) for one in branches()),
    )


def _decisions() -> Section:
    return Section(
        "decisions",
        "Decisions to be tried",
        "What the tables decide for answers that you choose. Nothing is kept, and nobody is cleared by it.",
        tuple(_formula(any_card(name)) for name in decisions()),
    )


def _pressures() -> Section:
    return Section(
        "pressure",
        "Resting blood pressure: what others publish",
        "Sources differ, which is why the practice's own limits are rules above.",
        tuple(
            Entry(f"pressure-{n}", f"{limit.limit} mmHg", f"{limit.says}.", (), limit.provenance)
            for n, limit in enumerate(PUBLISHED_LIMITS, start=1)
        ),
    )


def _signals() -> Section:
    return Section(
        "signals",
        "Signals of the morning",
        "When each speaks. The line itself opens to its figures, its rule and where that comes from.",
        tuple(_signal(name) for name in NAMES),
    )


def _formulae() -> Section:
    return Section(
        "formulae",
        "Formulae",
        "What the literature says, each with unit, limits, error and source, and each to be tried in place. "
        "A measured value beats every one of them.",
        tuple(_formula(one) for one in formula_cards()),
    )


def _library() -> tuple[Section, Section]:
    return (
        Section(
            "protocols",
            "Interval sessions",
            "The library, each with what is known about it.",
            tuple(_protocol(one) for one in PROTOCOLS.values()),
        ),
        Section(
            "sources",
            "Sources",
            "What is named in the code, and how far it was read; mostly the abstract or an open text.",
            tuple(_source(one) for one in SOURCES.values()),
        ),
    )


def search(sections: Iterable[Section], words: str) -> tuple[Section, ...]:
    """The entries that hold every word, in their sections; sections without any are left out."""
    wanted = words.casefold().split()
    found = (
        replace(one, entries=tuple(e for e in one.entries if all(word in e.haystack for word in wanted)))
        for one in sections
    )
    return tuple(one for one in found if one.entries)


def _setting(card: SettingCard, rules: Rules) -> Entry:
    moved = {
        Stricter.LOWER: "guards safety: only lower",
        Stricter.HIGHER: "guards safety: only higher",
        None: "free within the limits",
    }
    figures = (
        Figure("now", _setting_words(card, getattr(rules, card.name))),
        Figure("default", _setting_words(card, card.default)),
        Figure("limits", f"{_setting_words(card, card.lowest)} to {_setting_words(card, card.highest)}"),
        Figure("may be moved", "the head coach's choice, with a reason" if card.is_switch else moved[card.stricter]),
    )
    return Entry(card.name, card.sentence, "", figures, card.provenance)


def _setting_words(card: SettingCard, value: float) -> str:
    """A setting with its unit; a share as the percent that sentences speak of."""
    if card.name.endswith("_fraction"):
        return f"{100 * value:g} %"
    return f"{value:g} {card.unit}".rstrip()


def _condition(one: Condition) -> Entry:
    figures = (Figure("limit", one.limit), Figure("kind", f"{one.group.value} condition"))
    return Entry(one.key, one.title, one.why.rule, figures, one.why.provenance, one.why.source)


def _branch(number: int, said: str, cleared: str | None) -> Entry:
    figures = (Figure("once cleared", cleared),) if cleared else ()
    provenance = provenance_of_row(number)
    source = None if provenance is Provenance.HOUSE else SOURCE
    return Entry(f"row-{number}", f"Row {number}", said, figures, provenance, source)


def _protocol(one: IntervalProtocol) -> Entry:
    figures = (
        Figure("rounds", f"{one.rounds} ({one.rounds_least} to {one.rounds_most})"),
        Figure("work and recovery", f"{one.work_s} s and {one.recovery_s} s"),
        Figure("suits", one.suits),
        Figure("known about it", one.evidence),
    )
    source = source_words(one) if one.source else None
    return Entry(one.key, one.name, one.purpose, figures, one.provenance, source)


def _formula(one: Card) -> Entry:
    figures = (
        *(Figure(i.name, _input_words(i)) for i in one.inputs),
        Figure("gives", one.returns),
        Figure("refuses", one.raises),
        Figure("limits", one.limits),
        Figure("error", one.error),
        Figure("checked in", one.checked),
    )
    return Entry(
        one.name,
        one.name,
        one.sentence,
        figures,
        one.provenance,
        one.source,
        can_be_tried=can_compute(one.name),
    )


def _input_words(one: Input) -> str:
    end = "" if one.is_required else "; may be left out"
    return f"{one.what}, {one.unit}, {one.limits}{end}"


def _source(one: Source) -> Entry:
    figures = (Figure("where", one.where), *((Figure("doi", one.doi),) if one.doi else ()))
    return Entry(one.key, one.short, one.about, figures, one.provenance)


def _signal(name: str) -> Entry:
    rule = _rule_of(name)
    paragraph = (inspect.getdoc(rule) or "").partition("\n\n")[0] if rule else ""
    said = " ".join(paragraph.split())
    return Entry(name, name.replace("_", " ").capitalize(), said, (), None)


def _rule_of(name: str) -> Callable[..., object] | None:
    """The rule that may raise a signal: the one of that name, else the one that speaks the name itself."""
    speaking = [rule for rule in rules_for(ClientState.ACTIVE) if isinstance(rule, FunctionType)]
    named = next((rule for rule in speaking if rule.__name__ == name), None)
    return named or next((rule for rule in speaking if name in _words_of(rule)), None)


def _words_of(rule: FunctionType) -> set[str]:
    """Every text in a rule and in the private functions of its module that it calls."""
    module: ModuleType = sys.modules[rule.__module__]
    helpers = [getattr(module, called, None) for called in rule.__code__.co_names if called.startswith("_")]
    codes: list[CodeType] = [rule.__code__, *(one.__code__ for one in helpers if isinstance(one, FunctionType))]
    return {text for code in codes for text in code.co_consts if isinstance(text, str)}


def _somebody_unknown(today: date) -> Client:
    return Client(
        id=0,
        name="",
        email=None,
        phone=None,
        born_on=None,
        sex=None,
        zone="UTC",
        state=ClientState.ACTIVE,
        coach_id=0,
        has_phone=True,
        base_weeks_asked=None,
        regularly_active_confirmed_on=None,
        heart_rate_use=HeartRateUse.UNKNOWN,
        heart_rate_source=None,
        effort_plan=None,
        emergency_contact=None,
        emergency_phone=None,
        emergency_confirmed_on=None,
        joined_on=today,
        revision=1,
    )
