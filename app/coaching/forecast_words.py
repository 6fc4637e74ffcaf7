"""A forecast in sentences: for the coach with dates and reasons, for the client without any pressure."""

from __future__ import annotations

from datetime import date

from app.coaching.forecast import Forecast, Help, Helped, Outlook
from app.coaching.forecast_habits import WEEKS_AHEAD, WEEKS_NEEDED
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.weeks import DAYS_IN_WEEK, day_words
from app.coaching.words import counted, percent

#: What the long proof of the ranges found; docs/proof.md has the whole of it.
CALIBRATED = {"tried": 500, "inside": 78, "sooner": 21, "later": 1}
METHOD_WORDS = (
    "The weeks to come are lived a thousand times. Each planned session is done or not by a chance of the client's "
    "own: the entries so far, newer ones for more, mixed with what is usual (77 % done, give or take 12, between "
    "people), with good and bad weeks around it and a slow drift. Minutes and effort come from the client's own done "
    "sessions; times on leave or hold from their own rate mixed with three a year. The plan is taken as written, "
    "after that as the planner would go on. Each Monday of each course is judged by the practice's own rules; every "
    "course stays with the practice. Four courses in five end inside the range, one in ten before it, one in ten "
    "after it. Tried on {tried} forecasts of simulated clients who live by other rules, {inside} of 100 ended "
    "inside, {sooner} sooner and {later} later: when it misses, it is mostly too careful."
).format(**CALIBRATED)
#: Under this chance nobody is told a share: hardly ever.
_HARDLY = 0.05
_MONTHS_AHEAD = round(WEEKS_AHEAD / 52 * 12)
#: Why there is none, and there may be one later.
_REASONS = {
    Outlook.NOT_ACTIVE: "No forecast: the client is not in training with the practice now.",
    Outlook.NOT_IN_BASE: "No forecast: it speaks of the way from base to hard work only.",
    Outlook.ON_HOLD: "No forecast while all training is on hold. It comes again once the hold is lifted.",
}
_WAITS = {
    "base_weeks": "held weeks in base are",
    "held_of_eight": "{held} held weeks of the last eight are",
    "recent_weeks": "four full weeks in a row are",
    "no_gap": "six weeks without a gap of {days} days are",
    "easy_share": "more of the week at easy effort is",
    "adherence": "more of the plan done is",
}
TITLES = {
    "base_weeks": "weeks in base",
    "held_of_eight": "held weeks of the last eight",
    "recent_weeks": "the last four weeks",
    "no_gap": "no long gap in six weeks",
    "easy_share": "easy share over four weeks",
    "adherence": "done against planned",
}
_HELPS = {
    Help.SESSION_MORE: "one session more each week",
    Help.MORE_DONE: "doing one planned session in ten more",
    Help.NEVER_AWAY: "no time away",
}
#: What a coach and a client can do something about.
_IN_THEIR_HANDS = (Help.SESSION_MORE, Help.MORE_DONE)


def reason_words(outlook: Outlook) -> str | None:
    """Why there is no forecast; None when there may be one."""
    return _REASONS.get(outlook)


def forecast_words(one: Forecast, rules: Rules) -> str:
    """The whole forecast in a few sentences."""
    if one.outlook in _REASONS:
        return _REASONS[one.outlook]
    if one.outlook is Outlook.TOO_LITTLE:
        there = counted(one.basis.weeks_planned, "week") if one.basis and one.basis.weeks_planned else "none"
        return f"Too early for a forecast: it needs {WEEKS_NEEDED} whole weeks with a plan; so far: {there}."
    if one.outlook is Outlook.MET:
        return "Every condition that training moves is met."
    parts = [_when(one)]
    if one.waits_for:
        waits = _WAITS[one.waits_for[0][0]].format(held=rules.held_of_last_eight, days=rules.base_gap_days)
        parts.append(f"{waits[0].upper()}{waits[1:]} what it waits for most.")
    parts.append(_help_words(one))
    return " ".join(part for part in parts if part)


def forecast_why(one: Forecast) -> Why | None:
    """What opens behind it: the figures, the method, how far it may be wrong, what would change it."""
    if one.outlook not in (Outlook.LIKELY, Outlook.FAR) or one.basis is None:
        return None
    basis = one.basis
    figures = (
        Figure("made on", day_words(one.made_on)),
        Figure("whole weeks behind", f"{basis.weeks_over}, with a plan: {basis.weeks_planned}"),
        Figure("planned sessions thought to be done", percent(basis.completion)),
        Figure("planned sessions a week to come", f"{basis.sessions_a_week:.1f}"),
        Figure("times on leave or hold a year", f"{basis.spells_a_year:.1f}"),
        *(Figure(f"chance by {day_words(day)}", percent(chance)) for day, chance in one.chances),
        *(Figure(f"met last: {TITLES[key]}", f"{percent(share)} of courses") for key, share in one.waits_for),
        *(Figure(f"with {_HELPS[helped.help]}", _gain(helped)) for helped in one.helps),
    )
    change = "Every entry, another plan, time away, another setting of the practice."
    return Why(figures, METHOD_WORDS, Provenance.HOUSE, would_change=change)


def way_words(one: Forecast) -> str | None:
    """One kind sentence for the client, in months and without a promise; None when it would only weigh on them."""
    if one.outlook is not Outlook.LIKELY or one.early_on is None or one.late_on is None:
        return None
    early, late = f"{one.early_on:%B}", f"{one.late_on:%B}"
    months = f"in {early}" if early == late else f"between {early} and {late}"
    if one.late_on.year != one.made_on.year:
        months = f"{months} {one.late_on.year}"
    return f"If the weeks go on like this, the base may be laid some time {months}. It takes the time it takes."


def _when(one: Forecast) -> str:
    chance = one.chances[-1][1] if one.chances else 0.0
    until = f"{_MONTHS_AHEAD} months ({day_words(one.until_on)})"
    if one.early_on is None or chance < _HARDLY:
        return f"Not within {until} as the weeks go now: hardly one course in twenty gets there."
    if one.middle_on is None:
        return f"More likely than not, not within {until} as the weeks go now; the chance is {percent(chance)}."
    middle = _day(one.middle_on, one.made_on)
    if one.late_on is None:
        return (
            f"Likely ready for the decision from {_day(one.early_on, one.made_on)} on, half way {middle}; the chance "
            f"that it takes longer than {until} is {percent(1 - chance)}."
        )
    if one.early_on == one.late_on:
        return f"Likely ready for the decision on {middle}."
    early, late = _day(one.early_on, one.made_on), _day(one.late_on, one.made_on)
    return f"Likely ready for the decision between {early} and {late} (four in five), half way {middle}."


def _help_words(one: Forecast) -> str:
    """What would help most of what lies in somebody's hands."""
    best = next((helped for helped in one.helps if helped.help in _IN_THEIR_HANDS and _is_worth(helped)), None)
    if best is None and {helped.help for helped in one.helps} >= set(_IN_THEIR_HANDS):
        return f"Neither {_HELPS[Help.SESSION_MORE]} nor {_HELPS[Help.MORE_DONE]} would make it sooner."
    if best is None:
        return ""
    name = _HELPS[best.help]
    return f"{name[0].upper()}{name[1:]} would help most: {_gain(best)}."


def _is_worth(helped: Helped) -> bool:
    return helped.days_sooner > 0 or helped.chance_then >= helped.chance_now + _HARDLY


def _gain(helped: Helped) -> str:
    if helped.days_sooner:
        return f"about {counted(helped.days_sooner // DAYS_IN_WEEK, 'week')} sooner"
    if _is_worth(helped):
        return f"the chance would be about {percent(helped.chance_then)}"
    return "no sooner"


def _day(day: date, made_on: date) -> str:
    """A day without its year where that is plain."""
    return f"{day.day} {day:%B}" if day.year == made_on.year else day_words(day)
