"""The target of a session's rounds as it is kept with the version: figures, range, basis, and why."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from app.coaching.reasons import DomainError, Figure, Provenance, Why

#: Longer than any target's JSON, so that a foreign text is refused unread.
LONGEST_JSON = 20_000
LONGEST_BASIS = 400
#: A target that turns out wrong on the day is so much gentler at once (common practice, no published source).
WRONG_TARGET_FRACTION = 0.10


class TargetForm(StrEnum):
    """By what a client steers."""

    EFFORT = "effort"
    HEART_RATE = "heart_rate"
    POWER = "power"
    PACE = "pace"
    INCLINE = "incline"
    POOL = "pool"


FORM_WORDS = {
    TargetForm.EFFORT: "effort and talk",
    TargetForm.HEART_RATE: "heart rate, as a check",
    TargetForm.POWER: "power",
    TargetForm.PACE: "pace",
    TargetForm.INCLINE: "incline of the treadmill",
    TargetForm.POOL: "whole lengths and strokes",
}
#: The unit of each form's figures, and what such a figure can be at all.
UNITS: Mapping[TargetForm, tuple[str, float, float]] = {
    TargetForm.EFFORT: ("", 0, 10),
    TargetForm.HEART_RATE: ("beats/min", 40, 230),
    TargetForm.POWER: ("W", 20, 1000),
    TargetForm.PACE: ("s/km", 130, 1200),
    TargetForm.INCLINE: ("%", 0, 25),
    TargetForm.POOL: ("m", 25, 1000),
}


@dataclass(frozen=True, slots=True)
class SessionTarget:
    """What the rounds of one session aim at.

    value, low, high: in the unit of the form; None where the form has words only. Pace counts in s/km, so that
    `low` is the quicker end. rounds: one value a round where they differ, the slowest first; empty where all are
    alike. distance_m: the length of a round that is run by distance.
    """

    form: TargetForm
    value: float | None
    low: float | None
    high: float | None
    rounds: tuple[float, ...]
    distance_m: float | None
    basis: str
    why: Why
    #: The measured figure it was made from; None for words, a race, and what was kept before it was noted.
    figure_id: int | None = None

    def __post_init__(self) -> None:
        """Refuse what no form can say."""
        unit, least, most = UNITS[self.form]
        for figure in (self.value, self.low, self.high, *self.rounds):
            if figure is not None and not (math.isfinite(figure) and least <= figure <= most):
                raise DomainError(f"A target by {FORM_WORDS[self.form]} lies between {least:g} and {most:g} {unit}.")
        if (self.low is None) is not (self.high is None) or (self.low or 0) > (self.high or 0):
            raise DomainError("A range has two ends, the smaller first.")
        if not 1 <= len(self.basis) <= LONGEST_BASIS:
            raise DomainError(f"A target says in 1 to {LONGEST_BASIS} letters what it rests on.")

    @property
    def unit(self) -> str:
        """The unit of its figures."""
        return UNITS[self.form][0]

    @property
    def has_figures(self) -> bool:
        """Whether it says more than words."""
        return self.value is not None or self.low is not None or bool(self.rounds)

    @property
    def hardest(self) -> float | None:
        """The figure of the hardest round: the fewest seconds a kilometre, else the value; None without one."""
        if self.form is TargetForm.PACE:
            return min(self.rounds, default=self.value)
        return self.value

    def of_round(self, number: int) -> float | None:
        """The figure of one round, counted from 1."""
        if not self.rounds:
            return self.value
        return self.rounds[min(number, len(self.rounds)) - 1]


def fewer_rounds(target: SessionTarget | None, rounds: int) -> SessionTarget | None:
    """The target of a session that has lost rounds: of a ladder the gentlest ones stay."""
    if target is None or len(target.rounds) <= rounds:
        return target
    return replace(target, rounds=target.rounds[:rounds])


def lowered(target: SessionTarget | None, fraction: float) -> SessionTarget | None:
    """The same by so much gentler: less power, more seconds a kilometre, less incline; heart rate and words stay."""
    if target is None or not fraction or target.form in (TargetForm.EFFORT, TargetForm.HEART_RATE, TargetForm.POOL):
        return target
    factor = 1 / (1 - fraction) if target.form is TargetForm.PACE else 1 - fraction
    return scaled(target, factor)


def scaled(target: SessionTarget, factor: float) -> SessionTarget:
    """Every figure of a target times a factor, within what its form can be."""
    _unit, least, most = UNITS[target.form]

    def one(figure: float) -> float:
        return min(most, max(least, figure * factor))

    def maybe(figure: float | None) -> float | None:
        return None if figure is None else one(figure)

    return replace(
        target,
        value=maybe(target.value),
        low=maybe(target.low),
        high=maybe(target.high),
        rounds=tuple(one(figure) for figure in target.rounds),
    )


def uphill_target(target_json: str | None) -> str | None:
    """What is left of a target when its rounds go uphill: pace is for flat ground."""
    target = target_from_json(target_json)
    return None if target is not None and target.form is TargetForm.PACE else target_json


def target_to_json(target: SessionTarget | None) -> str | None:
    """A target as JSON text; `target_from_json` gives the same target back."""
    if target is None:
        return None
    why = target.why
    return json.dumps(
        {
            "form": target.form.value,
            "value": target.value,
            "low": target.low,
            "high": target.high,
            "rounds": list(target.rounds),
            "distance_m": target.distance_m,
            "basis": target.basis,
            "figure_id": target.figure_id,
            "why": {
                "figures": [[one.name, one.text] for one in why.figures],
                "rule": why.rule,
                "provenance": why.provenance.value,
                "source": why.source,
                "would_change": why.would_change,
                "formulae": list(why.formulae),
            },
        },
        ensure_ascii=False,
        separators=(",", ":"),
    )


def target_from_json(text: str | None) -> SessionTarget | None:
    """A target from its JSON text; None for none. Raises: DomainError when the text is no target."""
    if text is None:
        return None
    try:
        if len(text) > LONGEST_JSON:
            raise ValueError("too long")
        raw = json.loads(text)
        return SessionTarget(
            form=TargetForm(raw["form"]),
            value=_figure(raw["value"]),
            low=_figure(raw["low"]),
            high=_figure(raw["high"]),
            rounds=tuple(float(one) for one in raw["rounds"]),
            distance_m=_figure(raw["distance_m"]),
            basis=str(raw["basis"]),
            why=_why(raw["why"]),
            figure_id=_whole(raw.get("figure_id")),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as problem:
        raise DomainError("this target cannot be read") from problem


def _figure(raw: float | None) -> float | None:
    return None if raw is None else float(raw)


def _whole(raw: int | None) -> int | None:
    return None if raw is None else int(raw)


def _why(raw: Mapping[str, object]) -> Why:
    figures, formulae = raw["figures"], raw["formulae"]
    if not isinstance(figures, list) or not isinstance(formulae, list):
        raise TypeError("figures and formulae are lists")
    return Why(
        figures=tuple(Figure(str(name), str(said)) for name, said in figures),
        rule=str(raw["rule"]),
        provenance=Provenance(str(raw["provenance"])),
        source=_text(raw["source"]),
        would_change=_text(raw["would_change"]),
        formulae=tuple(str(one) for one in formulae),
    )


def _text(raw: object) -> str | None:
    return None if raw is None else str(raw)
