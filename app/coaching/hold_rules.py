"""What open holds, screening and pressure stop, what a client may train instead, and who may lift a hold."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from app.coaching.clearance_papers import paper_faults, paper_order
from app.coaching.holds import ComputedStop, Hold, HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, is_reason
from app.coaching.screening import Clearance, ClearanceState, Intensity
from app.coaching.screening_decision import Decision, Outcome, Screening, Stopped
from app.coaching.weeks import day_words

#: Free of fever and symptoms for so long before light work, and before any interval (house choice).
WELL_DAYS_BEFORE_EASY = 3
WELL_DAYS_BEFORE_HARD = 7

#: Offered where a hard session names no easy version of its own.
EASY_ANYHOW = "30 minutes easy, easy enough to chat."

HOLD_WORDS = {
    HoldKind.SYMPTOM: "something felt wrong",
    HoldKind.CLEARANCE: "a clearance is missing",
    HoldKind.ILLNESS: "fever or illness",
    HoldKind.INJURY: "an injury or new pain",
    HoldKind.STOPPED_EARLY: "a session was stopped early",
    HoldKind.MEDICINE_CHANGE: "a medicine changed",
    HoldKind.PREGNANCY: "pregnancy",
    HoldKind.HEAT: "heat",
    HoldKind.COACH: "your coach paused it",
}

LIFTED_BY = {
    HoldKind.SYMPTOM: "a clinician's written clearance dated after the symptom; nobody can override it",
    HoldKind.CLEARANCE: "the clinician's paper",
    HoldKind.ILLNESS: "the graded return: three days well before easy work, seven before hard work",
    HoldKind.INJURY: "your coach, after a talk and a pain-free easy session",
    HoldKind.STOPPED_EARLY: "your coach, after a talk",
    HoldKind.MEDICINE_CHANGE: "your coach, once the heart-rate source is reviewed",
    HoldKind.PREGNANCY: "the maternity provider's written word",
    HoldKind.HEAT: "your coach",
    HoldKind.COACH: "your coach",
}


class Answer(StrEnum):
    """What may be done of a planned session."""

    AS_PLANNED = "as_planned"
    #: The planned session is paused; an easy one may take its place.
    EASY_ONLY = "easy_only"
    PAUSED = "paused"


@dataclass(frozen=True, slots=True)
class MayTrain:
    """The answer for one session: what, why, and what to do instead."""

    answer: Answer
    sentence: str
    instead: str | None

    @property
    def is_paused(self) -> bool:
        """Whether the planned session itself is shown as paused."""
        return self.answer is not Answer.AS_PLANNED

    @property
    def for_coach(self) -> str:
        """The sentence as the coach reads it."""
        return self.sentence.replace("your coach", "the coach").replace("Your coach", "The coach")


@dataclass(frozen=True, slots=True)
class StoppedWork:
    """What is stopped, each with the reasons in words; empty means nothing."""

    all_because: tuple[str, ...]
    hard_because: tuple[str, ...]
    modes: tuple[tuple[Mode, str], ...]

    def mode_because(self, mode: Mode) -> tuple[str, ...]:
        """Why a mode is stopped; empty when it is not."""
        return tuple(words for stopped, words in self.modes if stopped is mode)


def _stop_words(stop: ComputedStop) -> str:
    return stop.sentence


@dataclass(frozen=True, slots=True)
class Voice:
    """In which words pauses and the screening decision are told; what they stop is the same in every voice."""

    of_hold: Callable[[Hold], str]
    of_screening: Callable[[Decision], str]
    of_stop: Callable[[ComputedStop], str] = _stop_words


def stopped_work(
    holds: Sequence[Hold], screening: Screening, pressure: ComputedStop | None = None, *, voice: Voice | None = None
) -> StoppedWork:
    """What is stopped by open holds, by the screening decision and by a high reading.

    Closed holds are passed over. A hold on one mode that does not say which stops everything.
    """
    said = voice or COACHS_VOICE
    everything: list[str] = []
    hard: list[str] = []
    modes: list[tuple[Mode, str]] = []
    for hold in holds:
        if hold.lifted_at is None:
            _sort_hold(hold, said.of_hold(hold), everything, hard, modes)
    if screening.light.stops is Stopped.ALL:
        everything.append(said.of_screening(screening.light))
    elif not screening.vigorous.is_ok:
        hard.append(said.of_screening(screening.vigorous))
    return with_stop(StoppedWork(tuple(everything), tuple(hard), tuple(modes)), pressure)


def may_train(
    session: PlannedSession, *, holds: Sequence[Hold], screening: Screening, pressure: ComputedStop | None = None
) -> MayTrain:
    """What a client may do of a planned session now, with the reason and what to do instead."""
    return may_train_within(stopped_work(holds, screening, pressure), session)


def with_stop(stopped: StoppedWork, stop: ComputedStop | None) -> StoppedWork:
    """The same with one more computed stop, if there is one."""
    if stop is None:
        return stopped
    if stop.stops is Stops.ALL:
        return replace(stopped, all_because=(*stopped.all_because, stop.sentence))
    return replace(stopped, hard_because=(*stopped.hard_because, stop.sentence))


def may_train_within(stopped: StoppedWork, session: PlannedSession) -> MayTrain:
    """What is left of a planned session under what is stopped."""
    if stopped.all_because:
        return _paused(stopped)
    of_mode = stopped.mode_because(session.mode)
    if of_mode:
        return MayTrain(
            Answer.PAUSED,
            f"This session is paused, not cancelled: {_joined(of_mode)}",
            "Something easy another way that does not hurt, or rest.",
        )
    if stopped.hard_because and is_hard_or_middle(session):
        instead = session.easy_version or EASY_ANYHOW
        return MayTrain(
            Answer.EASY_ONLY, f"The hard part is paused, not cancelled: {_joined(stopped.hard_because)}", instead
        )
    return MayTrain(Answer.AS_PLANNED, "As planned.", None)


#: A later day asks for later evidence: another such hold beside an open one changes what lifts them.
_LATER_DAY_MATTERS = frozenset({HoldKind.SYMPTOM, HoldKind.CLEARANCE, HoldKind.PREGNANCY, HoldKind.INJURY})


def covering_hold(
    holds: Sequence[Hold], *, kind: HoldKind, stops: Stops, mode: Mode | None, began_on: date
) -> Hold | None:
    """The open hold that already does all another one would do: same kind, as much stopped, the day no later.

    Source: house choice.
    """
    for hold in holds:
        is_alike = hold.lifted_at is None and hold.kind is kind
        covers = hold.stops is Stops.ALL or stops is Stops.HARD or (hold.stops, hold.mode) == (stops, mode)
        is_later = kind in _LATER_DAY_MATTERS and began_on > hold.began_on
        if is_alike and covers and not is_later:
            return hold
    return None


@dataclass(frozen=True, slots=True)
class LiftEvidence:
    """What the person lifting a hold brings."""

    because: str = ""
    talk_recorded: bool = False
    pain_free_easy_on: date | None = None
    heart_rate_source_reviewed: bool = False
    #: The first day without fever (without medicine for it) and without symptoms.
    well_since_on: date | None = None
    #: The newest day a note says ill; the way back counts from it, not from the day the hold began.
    last_ill_on: date | None = None
    #: Why medical advice comes first on the way back from more than mild illness; None when it is not asked.
    advice_because: str | None = None
    #: The day somebody with a medical profession gave it.
    advice_on: date | None = None
    password_confirmed: bool = False


def may_lift(
    hold: Hold, *, clearances: Sequence[Clearance], today: date, evidence: LiftEvidence = LiftEvidence()
) -> tuple[str, ...]:
    """Why a hold may not be lifted, as sentences; empty when it may. Nobody overrides a symptom hold.

    Source: house choice, with the reference for a symptom: return only after clearance (Riebe et al. 2015,
    published, second-hand).
    """
    if hold.lifted_at is not None:
        return ("This hold is already lifted.",)
    refusals = _refusals_of_kind(hold, clearances, today, evidence)
    if not is_reason(evidence.because):
        refusals = (*refusals, f"Say why it is lifted. {REASON_ASKED}")
    return refusals


def lifting_clearance(hold: Hold, clearances: Sequence[Clearance], today: date) -> Clearance | None:
    """The newest paper that lifts a hold: sound, dated after it began, and not followed by a refusal."""
    fitting = [one for one in clearances if not _paper_refusals(hold, one, today)]
    newest = max(fitting, key=paper_order, default=None)
    refused = [one for one in clearances if one.state is ClearanceState.REFUSED]
    is_overtaken = newest is not None and any(paper_order(one) > paper_order(newest) for one in refused)
    return None if is_overtaken else newest


def remains_after_illness(hold: Hold, well_since_on: date, today: date) -> Stops | None:
    """What still stands when an illness hold is lifted: hard work waits until seven days well."""
    if hold.kind is HoldKind.ILLNESS and hold.stops is Stops.ALL and today < _well_for(well_since_on, hard=True):
        return Stops.HARD
    return None


def _refusals_of_kind(
    hold: Hold, clearances: Sequence[Clearance], today: date, evidence: LiftEvidence
) -> tuple[str, ...]:
    if hold.kind in (HoldKind.SYMPTOM, HoldKind.CLEARANCE, HoldKind.PREGNANCY):
        return _without_paper(hold, clearances, today, evidence)
    if hold.kind is HoldKind.ILLNESS:
        return _not_well(hold, today, evidence)
    if hold.kind is HoldKind.INJURY:
        return (*_no_talk(evidence), *_not_pain_free(hold, today, evidence))
    if hold.kind is HoldKind.STOPPED_EARLY:
        return _no_talk(evidence)
    if hold.kind is HoldKind.MEDICINE_CHANGE and not evidence.heart_rate_source_reviewed:
        return ("Review where heart rate comes from, and whether it can be used, first.",)
    return ()


def _without_paper(
    hold: Hold, clearances: Sequence[Clearance], today: date, evidence: LiftEvidence
) -> tuple[str, ...]:
    refusals: tuple[str, ...] = ()
    if lifting_clearance(hold, clearances, today) is None:
        newest = max(clearances, key=paper_order, default=None)
        asked = f"Only this lifts it: {LIFTED_BY[hold.kind]}."
        refusals = (asked, *(_paper_refusals(hold, newest, today) if newest else ()))
    return refusals if evidence.password_confirmed else (*refusals, "Enter your password again.")


def _paper_refusals(hold: Hold, paper: Clearance, today: date) -> tuple[str, ...]:
    faults = paper_faults(paper, today)
    if paper.given_on is not None and paper.given_on <= hold.began_on and hold.kind is not HoldKind.CLEARANCE:
        faults = (*faults, f"The clearance has to be dated after {day_words(hold.began_on)}.")
    if paper.ends_on is not None and paper.ends_on < today:
        faults = (*faults, "The clearance has ended.")
    if hold.kind is not HoldKind.SYMPTOM and hold.stops is Stops.HARD and paper.scope is Intensity.LIGHT_MODERATE:
        faults = (*faults, "The clearance is for light to moderate work only.")
    return faults


def _not_well(hold: Hold, today: date, evidence: LiftEvidence) -> tuple[str, ...]:
    since = evidence.well_since_on
    if since is None or since > today:
        return ("Ask since which day the client is free of fever and symptoms, without medicine for it.",)
    ill_on = max(hold.began_on, evidence.last_ill_on or hold.began_on)
    if since <= ill_on:
        return (f"Ill on {day_words(ill_on)}: the first well day comes after it.",)
    ready_on = _well_for(since, hard=hold.stops is not Stops.ALL)
    early = () if today >= ready_on else (f"Well since {day_words(since)}: not before {day_words(ready_on)}.",)
    return (*early, *_without_advice(hold, today, evidence))


def _without_advice(hold: Hold, today: date, evidence: LiftEvidence) -> tuple[str, ...]:
    """More than mild illness asks for medical advice first from 65 on or with a heart or vessel risk (house)."""
    if hold.stops is not Stops.ALL or evidence.advice_because is None:
        return ()
    on, ill_on = evidence.advice_on, max(hold.began_on, evidence.last_ill_on or hold.began_on)
    if on is not None and ill_on <= on <= today:
        return ()
    return (f"Medical advice comes first here ({evidence.advice_because}): say who gave it and on which day.",)


def _well_for(since: date, *, hard: bool) -> date:
    return since + timedelta(days=WELL_DAYS_BEFORE_HARD if hard else WELL_DAYS_BEFORE_EASY)


def _no_talk(evidence: LiftEvidence) -> tuple[str, ...]:
    return () if evidence.talk_recorded else ("Record the talk with the client first.",)


def _not_pain_free(hold: Hold, today: date, evidence: LiftEvidence) -> tuple[str, ...]:
    easy_on = evidence.pain_free_easy_on
    is_fine = easy_on is not None and hold.began_on < easy_on <= today
    return () if is_fine else ("A pain-free easy session after the injury comes first.",)


def _sort_hold(hold: Hold, words: str, everything: list[str], hard: list[str], modes: list[tuple[Mode, str]]) -> None:
    if stops_everything(hold):
        everything.append(words)
        return
    hard.append(words)
    if hold.stops is Stops.MODE_AND_HARD and hold.mode is not None:
        modes.append((hold.mode, words))


def stops_everything(hold: Hold) -> bool:
    """Whether a hold stops all training; one on a way of moving that does not say which does."""
    return hold.stops is Stops.ALL or (hold.stops is Stops.MODE_AND_HARD and hold.mode is None)


def _hold_words(hold: Hold) -> str:
    return f"{HOLD_WORDS[hold.kind]} ({hold.cause}). Lifted by {LIFTED_BY[hold.kind]}."


def _screening_words(decision: Decision) -> str:
    if decision.outcome is Outcome.DEFER:
        return f"hard work comes later. {decision.comes_next}"
    return f"the screening asks for something first. {decision.comes_next}"


def _paused(stopped: StoppedWork) -> MayTrain:
    sentence = f"Your plan is paused, not cancelled: {_joined(stopped.all_because)}"
    if stopped.mode_because(Mode.WALK):
        instead = "Rest. Walking is paused too: no more of it than the day needs; no training."
    else:
        instead = "Rest. Everyday walking only if it feels right; no training."
    return MayTrain(Answer.PAUSED, sentence, instead)


def _joined(because: tuple[str, ...]) -> str:
    return " Also: ".join(dict.fromkeys(because))


#: As a coach reads it; the client's own words are in client_voice.
COACHS_VOICE = Voice(_hold_words, _screening_words)
