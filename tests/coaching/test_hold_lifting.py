"""Lifting a hold: each refusal in its words, on the day it turns; and which open hold covers another."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.hold_rules import (
    HOLD_WORDS,
    LIFTED_BY,
    LiftEvidence,
    StoppedWork,
    Voice,
    covering_hold,
    lifting_clearance,
    may_lift,
    may_train_within,
    remains_after_illness,
    stopped_work,
    stops_everything,
    with_stop,
)
from app.coaching.holds import ComputedStop, HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_decision import Screening, ScreeningInputs, screen
from tests.factories import TODAY, at, clearance, hold, planned, planned_hard

SYMPTOM, CLEARANCE, ILLNESS, INJURY = HoldKind.SYMPTOM, HoldKind.CLEARANCE, HoldKind.ILLNESS, HoldKind.INJURY
PREGNANCY, EARLY, MEDICINE = HoldKind.PREGNANCY, HoldKind.STOPPED_EARLY, HoldKind.MEDICINE_CHANGE
ALL, HARD, MODE = Stops.ALL, Stops.HARD, Stops.MODE_AND_HARD
PASSWORD, WHY = (
    "Enter your password again.",
    "Say why it is lifted. At least 10 characters, so that it can be read later.",
)
TALK = "Record the talk with the client first."
PAIN_FREE = "A pain-free easy session after the injury comes first."
ASK_SINCE = "Ask since which day the client is free of fever and symptoms, without medicine for it."


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def refused(kind: HoldKind, stops: Stops = ALL, *, began: int = 10, papers=(), **evidence) -> tuple[str, ...]:
    """Why a hold that began so many days ago may not be lifted today."""
    given = LiftEvidence(**({"because": "All well again."} | evidence))
    one = hold(kind=kind, stops=stops, mode=Mode.RUN if stops is MODE else None, began_on=ago(began))
    return may_lift(one, clearances=papers, today=TODAY, evidence=given)


def only(kind: HoldKind) -> str:
    return f"Only this lifts it: {LIFTED_BY[kind]}."


# What lifts which hold: the practice's own table of holds; days of the way back from 2.8 of the reference (house).


def test_a_lifted_hold_says_so_and_nothing_else() -> None:
    assert may_lift(hold(lifted_at=at(TODAY)), clearances=(), today=TODAY) == ("This hold is already lifted.",)


@pytest.mark.parametrize("because", ["", "   "])
@pytest.mark.parametrize("kind", [HoldKind.COACH, HoldKind.HEAT])
def test_the_coachs_own_holds_ask_for_a_reason_alone(kind: HoldKind, because: str) -> None:
    assert refused(kind, because=because) == (WHY,)
    assert refused(kind) == ()


def test_every_missing_thing_is_said_at_once() -> None:
    assert refused(SYMPTOM, because="") == (only(SYMPTOM), PASSWORD, WHY)
    assert refused(INJURY, because=" ") == (TALK, PAIN_FREE, WHY)


@pytest.mark.parametrize("kind", [SYMPTOM, CLEARANCE, PREGNANCY])
def test_three_kinds_are_lifted_by_paper_and_password(kind: HoldKind) -> None:
    paper = (clearance(given_on=ago(3)),)

    assert refused(kind, password_confirmed=True) == (only(kind),)
    assert refused(kind, papers=paper) == (PASSWORD,)
    assert refused(kind, papers=paper, password_confirmed=True) == ()


def test_what_is_wrong_with_the_newest_paper_is_said() -> None:
    papers = (clearance(id=1, given_on=ago(12)), clearance(id=2, given_on=ago(11), signer=None, ends_on=ago(1)))

    assert refused(SYMPTOM, papers=papers, password_confirmed=True) == (
        only(SYMPTOM),
        "Say who signed the clearance.",
        "The clearance has to be dated after 25 September 2026.",
        "The clearance has ended.",
    )


def test_a_paper_that_is_unsigned_and_narrow_is_told_both() -> None:
    paper = clearance(given_on=ago(3), signer=None, scope=Intensity.LIGHT_MODERATE)

    assert refused(PREGNANCY, HARD, papers=(paper,), password_confirmed=True) == (
        only(PREGNANCY),
        "Say who signed the clearance.",
        "The clearance is for light to moderate work only.",
    )


@pytest.mark.parametrize(
    ("kind", "stops", "changes", "lifts"),
    [
        (SYMPTOM, ALL, {"given_on": ago(9)}, True),
        (SYMPTOM, ALL, {"given_on": ago(10)}, False),
        (SYMPTOM, ALL, {"given_on": None}, False),
        (SYMPTOM, ALL, {"given_on": ago(9), "ends_on": TODAY}, True),
        (SYMPTOM, ALL, {"given_on": ago(9), "ends_on": ago(1)}, False),
        (SYMPTOM, HARD, {"given_on": ago(9), "scope": Intensity.LIGHT_MODERATE}, True),
        (CLEARANCE, ALL, {"given_on": ago(10)}, True),
        (CLEARANCE, ALL, {"given_on": ago(50)}, True),
        (CLEARANCE, ALL, {"scope": Intensity.LIGHT_MODERATE}, True),
        (CLEARANCE, HARD, {"scope": Intensity.LIGHT_MODERATE}, False),
        (CLEARANCE, HARD, {}, True),
        (PREGNANCY, HARD, {"given_on": ago(10)}, False),
        (PREGNANCY, HARD, {"scope": Intensity.LIGHT_MODERATE}, False),
        (PREGNANCY, ALL, {"scope": Intensity.LIGHT_MODERATE}, True),
        (SYMPTOM, ALL, {"how_seen": "telephone"}, False),
        (SYMPTOM, ALL, {"state": ClearanceState.REFUSED}, False),
    ],
)
def test_the_paper_has_to_fit_the_hold(kind: HoldKind, stops: Stops, changes: dict, lifts: bool) -> None:
    one, paper = hold(kind=kind, stops=stops, began_on=ago(10)), clearance(**changes)

    assert (lifting_clearance(one, (paper,), TODAY) == paper) is lifts
    assert (refused(kind, stops, papers=(paper,), password_confirmed=True) == ()) is lifts


@pytest.mark.parametrize(
    ("granted", "said_no", "lifts"), [(5, 6, True), (5, 4, False), (5, 5, False), (5, None, True)]
)
def test_the_clinicians_last_word_counts(granted: int, said_no: int | None, lifts: bool) -> None:
    no = () if said_no is None else (clearance(id=2, given_on=ago(said_no), state=ClearanceState.REFUSED),)
    papers = (clearance(id=1, given_on=ago(granted)), *no)

    assert (lifting_clearance(hold(began_on=ago(10)), papers, TODAY) is not None) is lifts


def test_of_several_fitting_papers_the_newest_lifts_it() -> None:
    papers = tuple(clearance(id=n, given_on=ago(days)) for n, days in ((3, 4), (1, 2), (2, 9)))

    assert lifting_clearance(hold(began_on=ago(10)), papers, TODAY) == papers[1]
    assert lifting_clearance(hold(began_on=ago(10)), (), TODAY) is None


@pytest.mark.parametrize("stops", [HARD, MODE])
def test_an_injury_asks_for_a_talk_and_a_pain_free_outing_after_it(stops: Stops) -> None:
    assert refused(INJURY, stops) == (TALK, PAIN_FREE)
    assert refused(INJURY, stops, talk_recorded=True) == (PAIN_FREE,)
    assert refused(INJURY, stops, talk_recorded=True, pain_free_easy_on=ago(10)) == (PAIN_FREE,)
    assert refused(INJURY, stops, talk_recorded=True, pain_free_easy_on=ago(-1)) == (PAIN_FREE,)
    assert refused(INJURY, stops, talk_recorded=True, pain_free_easy_on=ago(9)) == ()
    assert refused(INJURY, stops, talk_recorded=True, pain_free_easy_on=TODAY) == ()


def test_a_session_stopped_early_asks_for_a_talk() -> None:
    assert refused(EARLY, HARD) == (TALK,)
    assert refused(EARLY, HARD, talk_recorded=True) == ()


def test_a_changed_medicine_asks_where_heart_rate_comes_from() -> None:
    asked = ("Review where heart rate comes from, and whether it can be used, first.",)

    assert refused(MEDICINE, HARD) == asked
    assert refused(MEDICINE, HARD, heart_rate_source_reviewed=True) == ()


@pytest.mark.parametrize(
    ("stops", "well", "refusals"),
    [
        (ALL, None, (ASK_SINCE,)),
        (ALL, -1, (ASK_SINCE,)),
        (ALL, 10, ("Ill on 25 September 2026: the first well day comes after it.",)),
        (ALL, 11, ("Ill on 25 September 2026: the first well day comes after it.",)),
        (ALL, 0, ("Well since 5 October 2026: not before 8 October 2026.",)),
        (ALL, 2, ("Well since 3 October 2026: not before 6 October 2026.",)),
        (ALL, 3, ()),
        (ALL, 9, ()),
        (HARD, 6, ("Well since 29 September 2026: not before 6 October 2026.",)),
        (HARD, 7, ()),
    ],
)
def test_illness_is_over_three_days_well_for_all_and_seven_for_hard_work(
    stops: Stops, well: int | None, refusals: tuple[str, ...]
) -> None:
    assert refused(ILLNESS, stops, well_since_on=None if well is None else ago(well)) == refusals


@pytest.mark.parametrize(("last_ill", "may"), [(None, True), (12, True), (6, True), (5, False), (4, False)])
def test_the_days_well_come_after_the_newest_ill_day(last_ill: int | None, may: bool) -> None:
    on = None if last_ill is None else ago(last_ill)

    assert (refused(ILLNESS, well_since_on=ago(5), last_ill_on=on) == ()) is may


@pytest.mark.parametrize(
    ("stops", "advised", "last_ill", "may"),
    [
        (ALL, None, None, False),
        (ALL, 11, None, False),
        (ALL, 10, None, True),
        (ALL, 0, None, True),
        (ALL, -1, None, False),
        (ALL, 9, 8, False),
        (ALL, 8, 8, True),
        (HARD, None, None, True),
    ],
)
def test_medical_advice_comes_first_where_it_is_asked(stops: Stops, advised, last_ill, may: bool) -> None:
    found = refused(
        ILLNESS,
        stops,
        well_since_on=ago(7),
        last_ill_on=None if last_ill is None else ago(last_ill),
        advice_because="aged 71",
        advice_on=None if advised is None else ago(advised),
    )

    assert found == (() if may else ("Medical advice comes first here (aged 71): say who gave it and on which day.",))


@pytest.mark.parametrize(
    ("kind", "stops", "well", "left"),
    [
        (ILLNESS, ALL, 6, HARD),
        (ILLNESS, ALL, 7, None),
        (ILLNESS, HARD, 3, None),
        (SYMPTOM, ALL, 3, None),
    ],
)
def test_after_fever_hard_work_waits_for_seven_days(kind: HoldKind, stops: Stops, well: int, left) -> None:
    assert remains_after_illness(hold(kind=kind, stops=stops), ago(well), TODAY) is left


# Which open hold already does all another one would do.


@pytest.mark.parametrize(
    ("open_stops", "open_mode", "stops", "mode", "covers"),
    [
        (ALL, None, ALL, None, True),
        (ALL, None, HARD, None, True),
        (ALL, None, MODE, Mode.RUN, True),
        (HARD, None, HARD, None, True),
        (HARD, None, ALL, None, False),
        (HARD, None, MODE, Mode.RUN, False),
        (MODE, Mode.RUN, MODE, Mode.RUN, True),
        (MODE, Mode.RUN, MODE, Mode.WALK, False),
        (MODE, Mode.RUN, HARD, None, True),
        (MODE, Mode.RUN, ALL, None, False),
    ],
)
def test_a_hold_covers_what_stops_no_more(open_stops, open_mode, stops, mode, covers: bool) -> None:
    standing = (hold(kind=HoldKind.COACH, stops=open_stops, mode=open_mode, began_on=ago(3)),)
    found = covering_hold(standing, kind=HoldKind.COACH, stops=stops, mode=mode, began_on=TODAY)

    assert (found is not None) is covers


@pytest.mark.parametrize(
    ("kind", "covers_later"),
    [
        (SYMPTOM, False),
        (CLEARANCE, False),
        (PREGNANCY, False),
        (INJURY, False),
        (ILLNESS, True),
        (EARLY, True),
        (MEDICINE, True),
        (HoldKind.HEAT, True),
        (HoldKind.COACH, True),
    ],
)
def test_where_later_evidence_is_asked_a_later_day_is_not_covered(kind: HoldKind, covers_later: bool) -> None:
    standing = (hold(kind=kind, began_on=ago(3)),)

    assert (covering_hold(standing, kind=kind, stops=ALL, mode=None, began_on=ago(2)) is not None) is covers_later
    assert covering_hold(standing, kind=kind, stops=ALL, mode=None, began_on=ago(3)) == standing[0]
    assert covering_hold(standing, kind=kind, stops=ALL, mode=None, began_on=ago(4)) == standing[0]


def test_a_lifted_hold_or_one_of_another_kind_covers_nothing() -> None:
    lifted, other = hold(lifted_at=at(TODAY)), hold(id=2, kind=ILLNESS)
    fitting = hold(id=3)

    assert covering_hold((lifted, other), kind=SYMPTOM, stops=ALL, mode=None, began_on=ago(1)) is None
    assert covering_hold((lifted, other, fitting), kind=SYMPTOM, stops=ALL, mode=None, began_on=ago(1)) == fitting


# What is stopped, and in whose words.


def screening(active=YesNo.YES, symptoms=YesNo.NO) -> Screening:
    wishes = (Intensity.LIGHT_MODERATE, Intensity.VIGOROUS)
    return Screening(*(screen(ScreeningInputs(active, symptoms, YesNo.NO, wish)) for wish in wishes))


FREE = screening()
NO_STOP = StoppedWork((), (), ())


def test_each_hold_is_sorted_by_what_it_stops() -> None:
    holds = (
        hold(kind=HoldKind.COACH, stops=HARD, cause="Busy"),
        hold(kind=INJURY, stops=MODE, mode=Mode.RUN, cause="Knee"),
        hold(kind=ILLNESS, stops=ALL, cause="Fever"),
        hold(kind=INJURY, stops=MODE, mode=None, cause="Hip"),
        hold(kind=SYMPTOM, stops=ALL, cause="Gone", lifted_at=at(TODAY)),
    )
    found = stopped_work(holds, FREE)

    assert [words.split("(")[1].split(")")[0] for words in found.all_because] == ["Fever", "Hip"]
    assert [words.split("(")[1].split(")")[0] for words in found.hard_because] == ["Busy", "Knee"]
    assert [mode for mode, _ in found.modes] == [Mode.RUN]
    assert found.mode_because(Mode.RUN) == found.hard_because[1:]
    assert found.mode_because(Mode.WALK) == ()


def test_a_hold_on_hard_work_with_a_way_of_moving_stops_hard_work_alone() -> None:
    assert stopped_work((hold(kind=HoldKind.COACH, stops=HARD, mode=Mode.RUN),), FREE).modes == ()


@pytest.mark.parametrize(
    ("stops", "mode", "everything"),
    [(ALL, None, True), (ALL, Mode.RUN, True), (MODE, None, True), (MODE, Mode.RUN, False), (HARD, None, False)],
)
def test_a_way_of_moving_that_is_not_named_is_every_way(stops: Stops, mode: Mode | None, everything: bool) -> None:
    assert stops_everything(hold(stops=stops, mode=mode)) is everything


def test_a_hold_is_told_with_its_cause_and_what_lifts_it() -> None:
    found = stopped_work((hold(kind=HoldKind.COACH, cause="Busy"),), FREE)

    assert found.all_because == (f"{HOLD_WORDS[HoldKind.COACH]} (Busy). Lifted by {LIFTED_BY[HoldKind.COACH]}.",)


def test_the_screening_stops_all_hard_work_or_nothing() -> None:
    later = stopped_work((), screening(active=YesNo.NO))
    stopped = stopped_work((), screening(symptoms=YesNo.YES))
    waits = stopped_work((), screening(symptoms=YesNo.UNKNOWN))

    assert stopped_work((), FREE) == NO_STOP
    assert [words[:27] for words in later.hard_because] == ["hard work comes later. Star"]
    assert [words[:40] for words in stopped.all_because] == ["the screening asks for something first. "]
    assert [words[:40] for words in waits.hard_because] == ["the screening asks for something first. "]
    assert (later.all_because, stopped.hard_because, waits.all_because) == ((), (), ())


def test_another_voice_tells_the_same() -> None:
    voice = Voice(lambda one: f"we paused for {one.cause}", lambda decision: f"row {decision.branch}")
    found = stopped_work((hold(cause="Fever"),), screening(active=YesNo.NO), voice=voice)

    assert found == StoppedWork(("we paused for Fever",), ("row 2",), ())


def test_one_more_stop_is_added_where_it_belongs() -> None:
    both = with_stop(with_stop(NO_STOP, ComputedStop(ALL, "all")), ComputedStop(HARD, "hard"))

    assert both == StoppedWork(("all",), ("hard",), ())
    assert with_stop(both, ComputedStop(ALL, "more")) == StoppedWork(("all", "more"), ("hard",), ())
    assert with_stop(both, ComputedStop(HARD, "more")) == StoppedWork(("all",), ("hard", "more"), ())
    assert with_stop(both, None) is both
    assert stopped_work((), FREE, ComputedStop(HARD, "reading")).hard_because == ("reading",)


@pytest.mark.parametrize(
    ("stopped", "session", "sentence", "instead"),
    [
        (NO_STOP, planned_hard(), "As planned.", None),
        (
            StoppedWork(("a", "b", "a"), ("c",), ()),
            planned(),
            "Your plan is paused, not cancelled: a Also: b",
            "Rest. Everyday walking only if it feels right; no training.",
        ),
        (
            StoppedWork(("a",), (), ((Mode.WALK, "b"),)),
            planned(),
            "Your plan is paused, not cancelled: a",
            "Rest. Walking is paused too: no more of it than the day needs; no training.",
        ),
        (
            StoppedWork((), ("c",), ((Mode.WALK, "d"),)),
            planned(),
            "This session is paused, not cancelled: d",
            "Something easy another way that does not hurt, or rest.",
        ),
        (
            StoppedWork((), ("c",), ()),
            planned_hard(),
            "The hard part is paused, not cancelled: c",
            "30 min easy instead.",
        ),
        (
            StoppedWork((), ("c",), ()),
            planned_hard(easy_version=None),
            "The hard part is paused, not cancelled: c",
            "30 minutes easy, easy enough to chat.",
        ),
        (StoppedWork((), ("c",), ((Mode.RUN, "d"),)), planned(), "As planned.", None),
    ],
)
def test_what_is_left_of_a_session_and_what_to_do_instead(stopped, session, sentence: str, instead) -> None:
    found = may_train_within(stopped, session)

    assert (found.sentence, found.instead) == (sentence, instead)
    assert found.is_paused is (sentence != "As planned.")


def test_a_coach_reads_of_the_coach_and_not_of_theirs() -> None:
    found = may_train_within(StoppedWork(("Your coach ends it; ask your coach.",), (), ()), planned())

    assert found.for_coach == "Your plan is paused, not cancelled: The coach ends it; ask the coach."
