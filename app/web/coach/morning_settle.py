"""One form for all of a client's reasons in the morning: which are offered, which are ticked, which were sent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.coaching.signals import NAMES, Act, Family, Signal, needs_act, needs_word
from app.usecases.morning.lines import Standing
from app.web.coach.morning_words import SIGNAL_WORDS


@dataclass(frozen=True, slots=True)
class SettleView:
    """One reason with its box; the key says which state of it was shown."""

    field: str
    key_field: str
    key: str
    words: str
    sentence: str


def settle_views(line: Standing) -> tuple[SettleView, ...]:
    """Every reason of the client that still speaks, the most pressing first."""
    return tuple(
        SettleView(
            field=_field(signal.name),
            key_field=_key_field(signal.name),
            key=signal.key,
            words=SIGNAL_WORDS[signal.name].capitalize(),
            sentence=_said(signal),
        )
        for signal in line.speaking
    )


def ticked_when_handled(line: Standing) -> dict[str, object]:
    """All but those that something is done about first; the one that was asked about is ticked."""
    asked = line.signal.name if line.signal else ""
    return {_field(one.name): one.name == asked or not needs_act(one) for one in line.speaking}


def ticked_when_spoken(line: Standing) -> dict[str, object]:
    """What a talk settles: each reason that suggests one and needs nothing else first."""
    return {_field(one.name): Act.CONTACT in one.acts and not needs_act(one) for one in line.speaking}


def ticked_when_written(line: Standing) -> dict[str, object]:
    """A note settles the reason it was written about, unless that is one of safety."""
    return {_field(line.signal.name): line.signal.family is not Family.SAFETY} if line.signal else {}


def chosen(form: Mapping[str, str]) -> list[tuple[str, str]]:
    """The reasons a form settles, each with its key as it was shown; without boxes the one it was about."""
    if form.get("boxes") != "yes":
        return [(form.get("signal", ""), form.get("key", ""))]
    return [(name, form.get(_key_field(name), "")) for name in NAMES if form.get(_field(name)) == "yes"]


def asks_for_a_word(line: Standing, picked: list[tuple[str, str]]) -> bool:
    """Whether one of the reasons settled is of safety, the ceiling or the spacing of hard work."""
    names = {name for name, _key in picked}
    return any(needs_word(one) for one in line.speaking if one.name in names)


def _said(signal: Signal) -> str:
    return f"{signal.sentence} Something is done about it first." if needs_act(signal) else signal.sentence


def _field(name: str) -> str:
    return f"settles_{name}"


def _key_field(name: str) -> str:
    return f"key_{name}"
