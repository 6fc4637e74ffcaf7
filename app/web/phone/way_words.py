"""What is still to come before hard work, in the client's words: whose turn it is, and where to do it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from app.coaching.condition import Condition, State
from app.coaching.people import ClientState
from app.coaching.promotion_practice import NOTHING_PLANNED
from app.coaching.promotion_safety import DOES_NOT_APPLY, NO_DISEASE
from app.coaching.screening import YesNo
from app.coaching.screening_decision import Outcome
from app.usecases.my_way import MyWay

#: Met because it asks nothing of this client: nothing is there that could be named.
_NOT_ASKED = frozenset({DOES_NOT_APPLY, NO_DISEASE})
QUESTIONS_AT = "/me/intake"
CONSENTS_AT = "#consents"


class Turn(StrEnum):
    """Who has to do something."""

    CLIENT = "client"
    COACH = "coach"
    #: Nobody: it comes with the weeks.
    TIME = "time"


TURN_HEADINGS = (
    (Turn.CLIENT, "Yours to do", None),
    (Turn.COACH, "Your coach looks after these", "Nothing for you to do until your coach asks."),
    (
        Turn.TIME,
        "These come with the weeks",
        "Keep to the plan and write down what you did. A week counts when enough was done in it.",
    ),
)
TITLES = {
    "screening": "The questions about your health",
    "clearance": "A doctor's paper for hard work",
    "no_open_hold": "Nothing is paused",
    "transition": "Weeks of easy outings",
    "pressure": "Your blood pressure",
    "interval_consent": "Starting hard work: read and agree",
    "stop_signs": "When to stop: read and agree",
    "pregnancy": "Whether you are pregnant",
    "emergency_contact": "Whom to call in an emergency",
    "base_weeks": "Many easy weeks",
    "held_of_eight": "Most of the last eight weeks",
    "recent_weeks": "The last four weeks",
    "no_gap": "Going out regularly",
    "easy_share": "Most of it easy",
    "adherence": "A plan that fits your life",
    "easy_outing": "One longer easy outing",
    "readiness": "How you have been",
    "standard_loop": "Your test round: same route, same effort",
    "heart_rate": "How you steer your effort",
}


@dataclass(frozen=True, slots=True)
class NextLine:
    """One thing still to come."""

    turn: Turn
    title: str
    words: str
    is_unknown: bool = False
    address: str | None = None
    link: str = ""


@dataclass(frozen=True, slots=True)
class _Case:
    """One unmet condition, and all that is known beside it."""

    one: Condition
    missing: Mapping[str, Condition]
    view: MyWay

    @property
    def is_unknown(self) -> bool:
        """Whether it cannot be told yet."""
        return self.one.state is State.UNKNOWN

    @property
    def asks_questions(self) -> bool:
        """Whether the client is to answer the health questions now."""
        screening = self.missing.get("screening")
        return screening is not None and (self.view.questions_due is not None or screening.state is State.UNKNOWN)

    def line(self, turn: Turn, words: str, address: str | None = None, link: str = "") -> NextLine:
        """The condition under its plain title."""
        return NextLine(turn, TITLES[self.one.key], words, self.is_unknown, address, link)


def next_lines(view: MyWay) -> list[NextLine]:
    """What is still to come, each thing once."""
    missing = {one.key: one for one in view.conditions if not one.is_met}
    cases = (_Case(one, missing, view) for one in missing.values())
    lines = (_SPECIAL.get(case.one.key, _counted)(case) for case in cases)
    return [line for line in lines if line is not None]


def there_titles(conditions: Sequence[Condition]) -> list[str]:
    """What is there already; never what was not asked for."""
    return [TITLES[one.key] for one in conditions if one.is_met and one.value not in _NOT_ASKED]


def is_the_way_walked(view: MyWay) -> bool:
    """Whether weeks are counted now: the client trains, and neither a break nor a pause of everything stands."""
    is_training = view.phase is not None and view.client.state is not ClientState.PAUSED
    return is_training and not view.stopped.all_because


def _counted(case: _Case) -> NextLine:
    so_far, aim = (words.replace(" held", "") for words in (case.one.value, case.one.limit))
    return case.line(Turn.TIME, f"So far: {so_far}. The aim: {aim}.")


def _fits(case: _Case) -> NextLine:
    if case.is_unknown and case.one.value == NOTHING_PLANNED:
        return case.line(Turn.TIME, f"Nothing to count yet: nothing was planned. The aim later: {case.one.limit}.")
    words = "When more of it does not fit your days, tell your coach: then the plan gets smaller, not you."
    return case.line(Turn.TIME, f"Lately: {case.one.value} was done. The aim: {case.one.limit}. {words}")


def _no_gap(case: _Case) -> NextLine:
    return case.line(Turn.TIME, "After a break it begins by itself: six weeks without two weeks off.")


def _screening(case: _Case) -> NextLine | None:
    leave = case.view.hard_leave
    if case.asks_questions:
        words = "Some are open." if case.is_unknown else "It is time to answer them again."
        return case.line(Turn.CLIENT, words, QUESTIONS_AT, "Answer them")
    if leave.outcome is Outcome.DEFER:
        # Only the easy weeks are missing, and they have a line of their own.
        return None
    if not leave.is_ok:
        said = case.view.hard_leave_words
        words = "Explained above." if said in case.view.stopped.all_because else said[0].upper() + said[1:]
        return NextLine(Turn.COACH, "A doctor's word", words)
    return case.line(Turn.COACH, "You have answered them. Your coach asks once more shortly before hard work.")


def _clearance(case: _Case) -> NextLine | None:
    # Told with the questions, or as the doctor's word that the screening waits for.
    if case.is_unknown or ("screening" in case.missing and not case.view.hard_leave.is_ok):
        return None
    return case.line(Turn.COACH, "Your coach has a letter you can take along to your doctor.")


def _hold(case: _Case) -> NextLine:
    return NextLine(Turn.COACH, "What is paused now", "Explained above, and how it ends.", case.is_unknown)


def _transition(case: _Case) -> NextLine:
    words = case.view.easy_weeks
    least = " That is the least for safety; your coach aims for more, below." if "base_weeks" in case.missing else ""
    return case.line(Turn.TIME, f"{words[0].upper()}{words[1:]}{least}")


def _base(case: _Case) -> NextLine:
    line = _counted(case)
    why = "" if "transition" not in case.missing else " It is more than the least for safety, so that hard work pays."
    return replace(line, words=line.words + why)


def _pressure(case: _Case) -> NextLine:
    last = "None is written down yet." if case.is_unknown else f"The last: {case.one.value}."
    return case.line(Turn.CLIENT, f"{last} Have it measured, seated and rested, and tell your coach the two numbers.")


def _consent(case: _Case) -> NextLine:
    return case.line(Turn.CLIENT, "Asked before the first hard session. No hurry.", CONSENTS_AT, "Read it")


def _pregnancy(case: _Case) -> NextLine | None:
    if case.asks_questions:
        return None
    if case.one.value == YesNo.YES.value:
        return case.line(Turn.COACH, "Hard work waits for your midwife's or doctor's word in writing.")
    return case.line(Turn.CLIENT, "One of the questions about your health.", QUESTIONS_AT, "Answer it")


def _contact(case: _Case) -> NextLine:
    words = "Nobody is named yet." if case.is_unknown else "Please look whether it is still right."
    return case.line(Turn.CLIENT, words, QUESTIONS_AT, "Tell us")


def _readiness(case: _Case) -> NextLine:
    if not case.is_unknown:
        return case.line(Turn.TIME, "A little down lately. Rest, and it comes back.")
    words = "Not known: say how you are once a week and on hard mornings."
    return case.line(Turn.CLIENT, words, "/me/how-i-am", "Say how you are")


def _loop(case: _Case) -> NextLine:
    return case.line(Turn.COACH, "Your coach plans it every few weeks, to see how you are coming along.")


def _steering(case: _Case) -> NextLine:
    return case.line(Turn.COACH, "Your coach writes down what you go by: breath, effort or heart rate.")


_SPECIAL: dict[str, Callable[[_Case], NextLine | None]] = {
    "screening": _screening,
    "clearance": _clearance,
    "no_open_hold": _hold,
    "transition": _transition,
    "base_weeks": _base,
    "pressure": _pressure,
    "interval_consent": _consent,
    "stop_signs": _consent,
    "pregnancy": _pregnancy,
    "emergency_contact": _contact,
    "readiness": _readiness,
    "adherence": _fits,
    "no_gap": _no_gap,
    "standard_loop": _loop,
    "heart_rate": _steering,
}
