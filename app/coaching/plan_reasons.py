"""What the weeks of a block go by: each default in a sentence, with its figures and where it is from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.phases import Phase
from app.coaching.planner import BaseWishes, easier_every, rise_step
from app.coaching.planner_intervals import (
    EASIER_EASY_FRACTION,
    HALF_DOSE_WEEKS,
    IntervalWishes,
    ceiling_of,
    spacing_hours,
)
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.strength_beside import STRENGTH_MIN
from app.coaching.time_away import Life
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import LONGEST_SHARE, SHORTEST_OUTING_MIN, USUAL_OUTING_MIN
from app.coaching.words import minutes_words, percent, short_day

#: Where the entry ramp is meant to be by about week six (common practice, no published source).
RAMP_MIN = 120
RAMP_WEEK = 6


@dataclass(frozen=True, slots=True)
class PlanReason:
    """One thing the weeks go by."""

    sentence: str
    why: Why


def base_reasons(
    wishes: BaseWishes,
    weeks: Sequence[WeekDraft],
    *,
    usual_start_min: int,
    start_words: str,
    age: int | None,
    rules: Rules,
) -> tuple[PlanReason, ...]:
    """What a base block goes by; `usual_start_min` is where it would start if nobody wished otherwise."""
    return (
        _start(wishes, weeks[0].minutes, usual_start_min, start_words),
        _ramp(weeks),
        _rise(wishes, rules),
        _easier(wishes, age, rules),
        _longest(wishes, rules),
        _days(),
        *_besides(wishes.life),
    )


def interval_reasons(wishes: IntervalWishes, rules: Rules) -> tuple[PlanReason, ...]:
    """What an interval block goes by."""
    return (
        _spacing(wishes, rules),
        _ceiling(wishes, rules),
        *_dose(wishes),
        _easier_hard(wishes, rules),
        _share(rules),
        *_besides(wishes.life),
    )


def _common(rule: str, *figures: Figure, would_change: str | None = None) -> Why:
    return Why(figures, rule, Provenance.COMMON_PRACTICE, would_change=would_change)


def _start(wishes: BaseWishes, laid_out: int, usual: int, start_words: str) -> PlanReason:
    wished = wishes.start_volume_min
    why = _common(
        "A client new to training starts with what they do now and 30 min a week, in outings of 20 to 30 min; "
        "everybody else with what they do now.",
        Figure("now", start_words),
        Figure("by that rule", f"{usual} min"),
        Figure("first week, as wished", f"{wished} min"),
        Figure("first week, as laid out", f"{laid_out} min"),
        would_change="The minutes of the first week in the form.",
    )
    above = f"; the rule would begin with {minutes_words(usual)}" if max(wished, laid_out) > usual else ""
    return PlanReason(f"It starts at {minutes_words(laid_out)} a week{above}.", why)


def _ramp(weeks: Sequence[WeekDraft]) -> PlanReason:
    reached = next((n for n, week in enumerate(weeks, start=1) if week.minutes >= RAMP_MIN), None)
    if reached is None:
        sentence = f"{minutes_words(RAMP_MIN)} a week are not reached in these weeks."
    elif reached <= RAMP_WEEK:
        sentence = f"{minutes_words(RAMP_MIN)} a week are there in week {reached}."
    else:
        sentence = (
            f"{minutes_words(RAMP_MIN)} a week are there in week {reached}, not by about week {RAMP_WEEK}: the rise "
            "is not made steeper for it."
        )
    rule = f"2 to 3 h a week by about week {RAMP_WEEK}, as far as the rise and the easier weeks allow."
    return PlanReason(sentence, _common(rule, Figure("meant", f"{RAMP_MIN} min by about week {RAMP_WEEK}")))


def _rise(wishes: BaseWishes, rules: Rules) -> PlanReason:
    first = rise_step(wishes.start_volume_min, rules)
    last = rise_step(wishes.target_min, rules)
    why = _common(
        "A week adds at most a tenth or 15 min, whichever is more, and never over 20 min; one thing at a time.",
        Figure("first", f"{first:.0f} min more"),
        Figure("near the target", f"{last:.0f} min more"),
        would_change="A smaller step in the form; a larger one is not written.",
    )
    return PlanReason(f"It rises by at most {max(first, last):.0f} min from one full week to the next.", why)


def _easier(wishes: BaseWishes, age: int | None, rules: Rules) -> PlanReason:
    usual = easier_every(age, rules)
    why = _common(
        "Every 4th week is easier, at 70 to 75 % of the minutes, same days; from 60 or in hard times every 3rd. A "
        "week that days away leave with so little is the easier one, and the count starts again after it.",
        Figure("age", "unknown, which counts as 60" if age is None else str(age)),
        Figure("usual for that age", f"every {usual} weeks"),
        Figure("share", percent(rules.easier_fraction)),
        would_change="Another number of weeks in the form.",
    )
    return PlanReason(f"Every {wishes.every} weeks one is easier.", why)


def _longest(wishes: BaseWishes, rules: Rules) -> PlanReason:
    before = wishes.longest_before_min
    known = f"{before} min" if before else "nothing done"
    why = _common(
        "The longest outing is at most 110 % of the longest of the last 30 days; up to 30 min is where everybody "
        "may begin.",
        Figure("longest of the last 30 days", known),
        Figure("share", percent(rules.longest_fraction)),
    )
    return PlanReason("The longest outing grows by at most a tenth, from 30 min on.", why)


def _days() -> PlanReason:
    why = Why(
        (
            Figure("shortest outing", f"{SHORTEST_OUTING_MIN} min"),
            Figure("usual outing", f"{USUAL_OUTING_MIN} min"),
            Figure("longest of the week", f"{LONGEST_SHARE:g} times an even share"),
        ),
        "As many days as the minutes need; of those that could be taken, the ones with the fewest minutes on "
        "neighbouring days.",
        Provenance.HOUSE,
    )
    return PlanReason("Easy minutes stand apart from each other.", why)


def _besides(life: Life) -> list[PlanReason]:
    found = [_strength(life)]
    if life.away:
        rule = (
            "After 5 to 9 days off no rise and a round fewer; after 10 to 13 a week at 75 %; after 14 to 27 two "
            "weeks at 50 and 75 %, easy only; after 28 or more at least four."
        )
        figures = [Figure("away", f"{short_day(one.from_on)} to {short_day(one.until_on)}") for one in life.away]
        found.append(PlanReason("Days away cut their week and ease the ones after it.", _common(rule, *figures)))
    return found


def _strength(life: Life) -> PlanReason:
    """What strength the weeks hold; without any, what is usual, so that it is not left out unseen."""
    rule = "Strength twice a week, balance from 65; its minutes are counted apart and take their part of the day."
    why = _common(rule, Figure("each", f"{STRENGTH_MIN} min"), would_change="The strength days in the form.")
    balance = " with balance" if life.has_balance else ""
    if life.strength_weekdays:
        return PlanReason(f"Strength{balance} stands beside the weekly time.", why)
    return PlanReason(f"These weeks add no strength; twice a week{balance} is usual.", why)


def _spacing(wishes: IntervalWishes, rules: Rules) -> PlanReason:
    hours = spacing_hours(age=wishes.age, interval_weeks=wishes.weeks_before, rules=rules)
    why = _common(
        "48 h between the starts of hard sessions; 72 h in the first eight interval weeks or from 60. "
        "Heavy leg strength keeps hard work away for 24 h.",
        Figure("age", "unknown, which counts as 60" if wishes.age is None else str(wishes.age)),
        Figure("interval weeks before", str(wishes.weeks_before)),
    )
    return PlanReason(f"Hard sessions are at least {hours:g} h apart at first.", why)


def _ceiling(wishes: IntervalWishes, rules: Rules) -> PlanReason:
    ceiling = ceiling_of(wishes.phase, rules)
    why = _common(
        "In any 14 days, with what is done and planned already; at most 7 days between two in plans.",
        Figure("ceiling", f"{ceiling} in any 14 days"),
        Figure("longest gap", f"{rules.hard_gap_days} days"),
    )
    return PlanReason(
        f"At most {ceiling} hard sessions in any 14 days, and no gap over {rules.hard_gap_days} days.", why
    )


def _dose(wishes: IntervalWishes) -> list[PlanReason]:
    """How an introductory block grows; nothing for one that begins with all its rounds."""
    if not wishes.is_introductory:
        return []
    if wishes.phase is Phase.INTERVAL_TWO:
        rule = f"A second hard session has half the rounds in its first {HALF_DOSE_WEEKS} weeks."
        return [PlanReason("The second hard session begins small.", _common(rule))]
    rule = "The first hard sessions have 2 rounds, next week 3, then 4; weekly minutes stay while rounds grow."
    return [PlanReason("Rounds grow by one a full week, once a week.", _common(rule))]


def _easier_hard(wishes: IntervalWishes, rules: Rules) -> PlanReason:
    every = easier_every(wishes.age, rules)
    why = _common(
        "In an easier week the hard session stays with half its rounds, easy minutes drop by a quarter; every 4th "
        "week, from 60 or in hard times every 3rd. A week that days away leave with so little is the easier one.",
        Figure("easy minutes", percent(EASIER_EASY_FRACTION)),
    )
    return PlanReason(f"Every {every} weeks one is easier.", why)


def _share(rules: Rules) -> PlanReason:
    why = _common(
        "Share of weekly time at easy effort; rounds give way to it.", Figure("easy", percent(rules.easy_share))
    )
    return PlanReason(f"At least {percent(rules.easy_share)} of the week stays easy.", why)
