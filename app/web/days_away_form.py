"""The form for days away, on the phone and for the coach who was told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.holds import Hold
from app.coaching.people import ENTRY_ORIGIN_WORDS, Origin
from app.coaching.readiness import Illness
from app.coaching.session_logs import WhyNot
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind, ToldAway
from app.usecases.plan_sessions.days_away import CLIENT_DAYS_BACK, Telling, keep_illness
from app.web.deps import Desk
from app.web.filters import day_year
from app.web.forms import LONG_TEXT, Fields
from app.web.log_form import WHY_NOT

KINDS = (
    (AwayKind.TRAVEL.value, "I travel", "days ahead, away from the usual week"),
    (AwayKind.OFF.value, "I missed days", "days without training, over or still going on"),
)
KINDS_TOLD = (
    (AwayKind.TRAVEL.value, "Travels", "days ahead, away from the usual week"),
    (AwayKind.OFF.value, "Missed days", "days without training, over or still going on"),
)
POSSIBLE = (
    (Possible.NOTHING.value, "Nothing"),
    (Possible.WALKING.value, "Walking only"),
    (Possible.LESS.value, "The usual ways, but less time"),
)
ILLNESSES = (
    (Illness.ABOVE_NECK.value, "Above the neck only, no fever", "pauses hard work at once"),
    (Illness.FEVER_OR_BELOW.value, "Fever, aches, chest or stomach", "pauses all training at once"),
)
#: What became of it, in the client's words.
ANSWER_WORDS = {
    AwayAnswer.OPEN: "Your coach decides. Nothing of your plan has changed yet.",
    AwayAnswer.ACCEPTED: "Your coach has changed the plan; each changed session says why.",
    AwayAnswer.DECLINED: "Your coach leaves the plan as it is.",
    AwayAnswer.TAKEN_BACK: "Taken back.",
}


#: The same as the coach reads it.
STATE_WORDS = {
    AwayAnswer.OPEN: "It waits for an answer.",
    AwayAnswer.ACCEPTED: "Accepted: the plan was changed.",
    AwayAnswer.DECLINED: "Declined: the plan stayed as it was.",
    AwayAnswer.TAKEN_BACK: "Taken back.",
}


@dataclass(frozen=True, slots=True)
class ToldView:
    """One thing told, as it is listed."""

    id: int
    words: str
    answer: str
    state: str
    because: str | None
    is_open: bool
    told: str


def told_view(one: ToldAway, *, by: str = "") -> ToldView:
    """What was told and what became of it."""
    how = "" if one.origin is Origin.CLIENT else f", {ENTRY_ORIGIN_WORDS[one.origin]}"
    told = f"told on {day_year(one.told_at.date())}{how}{f' by {by}' if by else ''}"
    return ToldView(
        one.id, one.words, ANSWER_WORDS[one.answer], STATE_WORDS[one.answer], one.answered_because, one.is_open, told
    )


def choices(*, is_by_coach: bool) -> dict[str, tuple[tuple[str, ...], ...]]:
    """The answers the form offers."""
    kinds = KINDS_TOLD if is_by_coach else KINDS
    why = tuple((one.value, words) for one, words in WHY_NOT)
    return {"kinds": kinds, "possible": POSSIBLE, "why_off": why, "illnesses": ILLNESSES}


def read_telling(fields: Fields) -> Telling | None:
    """What is told; None with the errors beside the fields."""
    kind = fields.choice("kind", AwayKind)
    from_on, until_on = fields.day("from_on"), fields.day("until_on")
    is_travel = kind is AwayKind.TRAVEL
    possible = fields.choice("possible", Possible, required=is_travel) if is_travel else Possible.NOTHING
    why_off = fields.choice("why_off", WhyNot, required=kind is AwayKind.OFF) if not is_travel else None
    illness = _illness(fields, why_off)
    text = fields.text("text", most=LONG_TEXT, required=False, many_lines=True)
    _in_order(fields, from_on, until_on)
    if fields.errors or kind is None or from_on is None or until_on is None or possible is None:
        return None
    return Telling(kind, from_on, until_on, possible, why_off, illness, text)


def illness_kept(desk: Desk, client_id: int, fields: Fields) -> tuple[Hold, ...]:
    """The pauses of an illness whose days were refused: it counts at once, whatever the days are.

    Days that are long over are left to the coach; they say nothing about now.
    """
    typed = Fields(desk.form)
    illness = _illness(typed, typed.choice("why_off", WhyNot, required=False))
    from_on, until_on = typed.day("from_on"), typed.day("until_on")
    is_over = until_on is not None and until_on < desk.today - timedelta(days=CLIENT_DAYS_BACK)
    if not fields.errors or illness is None or is_over or typed.choice("kind", AwayKind) is AwayKind.TRAVEL:
        return ()
    return keep_illness(
        desk.db, actor=desk.person, client_id=client_id, illness=illness, from_on=from_on, now=desk.now
    )


def _illness(fields: Fields, why_off: WhyNot | None) -> Illness | None:
    return fields.choice("illness", Illness) if why_off is WhyNot.ILL else None


def _in_order(fields: Fields, from_on: date | None, until_on: date | None) -> None:
    if from_on is not None and until_on is not None and until_on < from_on:
        fields.refuse("until_on", "The last day comes before the first.")
