"""Faults sown into the rules one at a time: a story that cannot find them proves nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from app.coaching import hold_rules, leave_to_train
from app.coaching.consents import ASKED_FOR_HARD_WORK
from app.coaching.holds import Hold, HoldKind, Stops
from app.coaching.phases import DecisionKind, Phase
from app.coaching.questions import Reply
from app.coaching.readiness import Illness
from app.coaching.screening import Clearance, ClearanceState, Intensity
from app.coaching.session_shapes import Shape
from app.usecases.readiness import Fall
from tests.safety_story.story import SafetyStory

NOTHING_STOPPED = hold_rules.StoppedWork((), (), ())
_STOPPED_WORK = leave_to_train.stopped_work


def none(*_: object, **__: object) -> None:
    """A rule that never fires."""


def empty(*_: object, **__: object) -> tuple[()]:
    """A rule that finds nothing wrong."""
    return ()


def free(*_: object, **__: object) -> hold_rules.StoppedWork:
    """A page that forgot to ask."""
    return NOTHING_STOPPED


def never(*_: object, **__: object) -> bool:
    """A question that is always answered with no."""
    return False


def without_holds(_: object, *rest: object, **named: object) -> hold_rules.StoppedWork:
    """Holds that are kept and stop nothing."""
    return _STOPPED_WORK((), *rest, **named)  # type: ignore[arg-type]


def any_paper(_: Hold, papers: list[Clearance], *__: object) -> Clearance | None:
    """A hold that the last granted paper lifts, whenever it was written."""
    granted = [one for one in papers if one.state is ClearanceState.GRANTED]
    return granted[-1] if granted else None


@dataclass(frozen=True)
class Fault:
    """One broken rule: the names and what stands in their place, and a story that comes upon it."""

    broken: tuple[tuple[str, Callable[..., object]], ...]
    tell: Callable[[SafetyStory], object]
    start: str = "promoted"
    is_active: bool = True


def _held(story: SafetyStory) -> None:
    story.raises_a_hold(HoldKind.COACH, Stops.HARD, None, 0)


def _answers(**said: Reply) -> Callable[[SafetyStory], None]:
    given = dict.fromkeys(("symptom", "disease", "pregnant", "news", "medicine"), Reply.NO) | {"activity": Reply.YES}
    return lambda story: story.answers_the_questions(**(given | said), days_back=0)


def _paper(story: SafetyStory, **changes: object) -> None:
    given = {"scope": Intensity.VIGOROUS, "days_back": 0, "how_seen": "paper", "signer": "Dr. Amrei Sohl"}
    more = {"state": ClearanceState.GRANTED, "has_password": True, "ends_after": None}
    story.records_a_paper(**(given | more | changes))  # type: ignore[arg-type]


def _lifts(story: SafetyStory, **changes: object) -> None:
    given = {"which": 0, "has_password": True, "talk": "Spoke.", "easy_back": None, "well_days": None}
    more = {"is_reviewed": True, "because": "All well again."}
    story.lifts_a_hold(**(given | more | changes))  # type: ignore[arg-type]


def _old_paper(story: SafetyStory) -> None:
    _paper(story, days_back=1)
    story.heart_chest_breath_or_head("chest", 0, by_client=True)
    _lifts(story)


def _told_by_telephone(story: SafetyStory) -> None:
    story.heart_chest_breath_or_head("chest", 1, by_client=True)
    _paper(story, how_seen="telephone")
    _lifts(story)


def _news_after_a_paper(story: SafetyStory) -> None:
    _paper(story, days_back=1)
    _answers(news=Reply.YES)(story)


def _fever(story: SafetyStory, days_back: int = 0) -> None:
    story.notes_how_it_is(Illness.FEVER_OR_BELOW, False, Fall.NO, days_back)


def _two_fevers(story: SafetyStory) -> None:
    _fever(story, 5)
    _fever(story, 1)
    _lifts(story, well_days=3)


def _pain_and_no_outing(story: SafetyStory) -> None:
    story.something_else_felt_wrong("joint", 3, None, by_client=True)
    _lifts(story, easy_back=1)


def _gap(story: SafetyStory) -> None:
    story.a_long_time_passes(30)
    story.answers_no_to_everything()


def _two_weeks_declined(story: SafetyStory) -> None:
    story.tells_days_off(14, 1, is_declined=True)
    story.answers_no_to_everything()


def _never_asked_again(story: SafetyStory) -> None:
    for _ in range(5):
        story.trains_for_some_weeks(3, brings_up_to_date=False)


def _without_consent(story: SafetyStory) -> None:
    story.takes_a_consent_back(ASKED_FOR_HARD_WORK[0])
    _lifts(story)


def _hard_in_place_of_easy(story: SafetyStory) -> None:
    story.plans_a_session(Shape.EASY, 0, publishes=True)
    _held(story)
    story.changes_a_planned_session(0, "make_hard", 0)


def _easy_taken_back(story: SafetyStory) -> None:
    story.plans_a_session(Shape.INTERVALS, 0, publishes=True)
    story.changes_a_planned_session(0, "ease", 0)
    _held(story)
    story.changes_a_planned_session(0, "take_easy_back", 0)


def _moved(story: SafetyStory) -> None:
    story.plans_a_session(Shape.INTERVALS, 1, publishes=True)
    _held(story)
    story.changes_a_planned_session(0, "move", 2)


def _fast_pulse(story: SafetyStory) -> None:
    story.counts_a_fast_pulse_twice(104)


def _numbers(story: SafetyStory, *, days_back: int = 0) -> None:
    story.records_a_clinicians_numbers((180, 110), days_back, "paper", has_password=True)
    story.measures_pressure((150, 104), 62, 0)


def _numbers_and_news(story: SafetyStory) -> None:
    _numbers(story, days_back=1)
    _answers(news=Reply.YES)(story)


def _numbers_for_hard_work(story: SafetyStory) -> None:
    story.records_a_clinicians_numbers((140, 110), 0, "paper", has_password=True)
    story.measures_pressure((145, 95), 62, 0)


def _back_too_early(story: SafetyStory) -> None:
    _fever(story)
    story.time_passes(72)
    for _ in range(3):
        story.time_passes(48)
    _lifts(story, well_days=8)


def _ill_with_disease(story: SafetyStory) -> None:
    _answers(disease=Reply.YES)(story)
    _fever(story)
    story.a_long_time_passes(13)
    _lifts(story, well_days=7, has_advice=False)


def _not_asked_since(story: SafetyStory) -> None:
    story.time_passes(24)
    story.heart_chest_breath_or_head("chest", 0, by_client=True)
    story.a_long_time_passes(5)
    _paper(story)
    _lifts(story)


def _names_unsent(key: str) -> Callable[[SafetyStory], None]:
    return lambda story: story.answers_one_question_of_the_intake(key, Reply.YES)


def _promoted(story: SafetyStory) -> None:
    story.decides_about_the_phase((DecisionKind.PROMOTE, Phase.INTERVAL_ONE))


#: By a sentence that says what is broken.
FAULTS = {
    "Today forgets what is stopped": Fault((("app.usecases.today.stopped_now", free),), _held),
    "the print forgets what is stopped": Fault((("app.usecases.fridge_sheet.stopped_now", free),), _held),
    "a hold stops nothing": Fault((("app.coaching.leave_to_train.stopped_work", without_holds),), _held),
    "publishing forgets holds": Fault((("app.coaching.lookahead_hard._holds", empty),), _held),
    "publishing forgets readings": Fault(
        (("app.coaching.lookahead._stopped", empty),), lambda story: story.measures_pressure((160, 80), 62, 0)
    ),
    "publishing forgets the screening": Fault(
        (
            ("app.coaching.lookahead_hard._leave", empty),
            ("app.usecases.plan_sessions.changing.not_drafted", none),
        ),
        _answers(disease=Reply.YES),
    ),
    "a change of today forgets the look ahead": Fault(
        (
            ("app.usecases.plan_sessions.changing.allow_sending", none),
            ("app.usecases.plan_sessions.changing.not_drafted", none),
        ),
        _hard_in_place_of_easy,
    ),
    "the easy version is taken back whatever stands": Fault(
        (("app.usecases.plan_sessions.easy_back.back_refused", empty),), _easy_taken_back
    ),
    "a session moves whatever stands": Fault((("app.usecases.plan_today._refuse_breaches", none),), _moved),
    "any paper lifts a hold": Fault(
        (
            ("app.coaching.hold_rules.lifting_clearance", any_paper),
            ("app.usecases.hold_desk.lifting_clearance", any_paper),
        ),
        _old_paper,
    ),
    "a paper need not be sound": Fault((("app.coaching.hold_rules.paper_faults", empty),), _told_by_telephone),
    "an answered symptom is nothing": Fault(
        (("app.coaching.screening_table._symptoms", none),), _answers(symptom=Reply.NOT_SURE)
    ),
    "news leave a paper as it is": Fault(
        (("app.coaching.screening_decision.is_news_since", never),), _news_after_a_paper
    ),
    "disease needs no paper": Fault((("app.coaching.screening_table._disease", none),), _answers(disease=Reply.YES)),
    "refused papers count as none": Fault(
        (("app.coaching.screening_table._papers", none),), lambda story: _paper(story, state=ClearanceState.REFUSED)
    ),
    "narrow papers count as none": Fault(
        (("app.coaching.screening_table._papers", none),), lambda story: _paper(story, scope=Intensity.LIGHT_MODERATE)
    ),
    "there is no transition": Fault(
        (("app.coaching.screening_table._transition", none),), lambda _: None, start="new", is_active=False
    ),
    "a new medicine pauses nothing": Fault(
        (("app.usecases.readiness._medicine_hold", empty),),
        lambda story: story.notes_how_it_is(Illness.NONE, True, Fall.NO, 0),
    ),
    "pregnancy pauses nothing": Fault((("app.usecases.questions._pause", none),), _answers(pregnant=Reply.YES)),
    "fever pauses nothing": Fault((("app.usecases.readiness.illness_pause", none),), _fever),
    "a later fever is forgotten": Fault((("app.usecases.hold_desk._last_ill_on", none),), _two_fevers),
    "any day counts as a pain-free outing": Fault(
        (("app.usecases.hold_desk._unlogged_outing", empty),), _pain_and_no_outing
    ),
    "a gap stops nothing": Fault((("app.coaching.leave_to_train.gap_stop", none),), _gap),
    "an answer to days off brings hard work back": Fault(
        (("app.coaching.told_off_stop.told_gap", none),), _two_weeks_declined
    ),
    "old answers stop nothing": Fault((("app.coaching.leave_to_train.questions_stop", none),), _never_asked_again),
    "a symptom does not bring the questions again": Fault(
        (("app.coaching.screening_decision.asked_after_symptom", none),), _not_asked_since
    ),
    "a high reading stops nothing": Fault(
        (("app.coaching.leave_to_train.pressure_stop_of", none),),
        lambda story: story.measures_pressure((181, 88), 62, 0),
    ),
    "a fast heart at rest stops nothing": Fault(
        (("app.coaching.pressure_rules._is_heart_rate_high", never),), _fast_pulse
    ),
    "a clinician's numbers stand whatever came since": Fault(
        (("app.coaching.pressure_rules.is_news_since", never),), _numbers_and_news
    ),
    "a clinician's numbers stop nothing": Fault(
        (("app.coaching.pressure_rules.newest_own", none),), _numbers_for_hard_work
    ),
    "the way back from illness is not walked": Fault(
        (("app.coaching.leave_to_train.return_stop", none),), _back_too_early
    ),
    "illness with a disease needs no advice": Fault(
        (("app.coaching.hold_rules._without_advice", empty),), _ill_with_disease
    ),
    "a consent taken back stops nothing": Fault(
        (("app.coaching.leave_to_train.taken_back_stop", none),), _without_consent
    ),
    "a changed text stops nothing": Fault(
        (("app.coaching.leave_to_train.newer_text_stop", none),), lambda story: story.the_consent_texts_change(True)
    ),
    "a sign that is not sent yet counts for nothing": Fault(
        (("app.coaching.screening_decision.named_unsent", empty),), _names_unsent("chest")
    ),
    "a disease that is not sent yet counts for nothing": Fault(
        (("app.coaching.screening_decision.named_diseases", empty),), _names_unsent("heart")
    ),
    "who is brought in needs no consent": Fault(
        (("app.coaching.leave_to_train.brought_in_stop", none),), lambda _: None, start="brought_in"
    ),
    "nothing stands in the way of a promotion": Fault(
        (("app.usecases.promoting.may_promote", empty),), _promoted, start="base"
    ),
}


def sow(fault: Fault, monkeypatch: pytest.MonkeyPatch) -> None:
    """Break the rules of one fault."""
    for name, broken in fault.broken:
        monkeypatch.setattr(name, broken)


def come_upon(fault: Fault, story: SafetyStory) -> None:
    """Tell the story that comes upon a fault, looking as at every story. Raises: AssertionError once it is sown."""
    story.begin(fault.start, is_active=fault.is_active)
    fault.tell(story)
    story.every_hold_stands_until_it_is_lifted()
    story.nothing_stopped_is_offered()
