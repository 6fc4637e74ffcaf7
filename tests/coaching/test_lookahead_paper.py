"""Middle and hard sessions after the last day of the clearance are refused, and stop by themselves on their day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.hold_rules import Answer
from app.coaching.leave_to_train import may_train_now
from app.coaching.lookahead import breaches
from app.coaching.lookahead_mend_values import Way, ahead_of
from app.coaching.lookahead_mends import mends
from app.coaching.lookahead_values import PAPER_ENDS, Breach, Level
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.screening import Intensity, YesNo
from app.coaching.weeks import day_words
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
HARD_14 = make.planned_hard(id=14, planned_on=TODAY + timedelta(days=14), published_at=None)


def on(days):
    return TODAY + timedelta(days=days)


def cleared(**changes):
    """With known heart disease, on one hard session a week, under a paper that ends in a fortnight less a day."""
    paper = make.clearance(**({"ends_on": on(13)} | changes))
    return make.history(
        client=make.client(born_on=date(1985, 10, 7), regularly_active_confirmed_on=on(-280)),
        decisions=(make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=on(-70)),),
        screening=(make.answers(disease=YesNo.YES),),
        clearances=(paper,),
        drafts=(HARD_14,),
    )


def found(history, *drafts) -> list[Breach]:
    return [one for one in breaches(history, drafts, TODAY, RULES) if one.kind == PAPER_ENDS]


def test_every_middle_and_hard_session_after_the_last_day_is_refused_and_easy_ones_go() -> None:
    covered = make.planned_hard(id=13, planned_on=on(13), published_at=None)
    easy = make.planned(id=15, planned_on=on(15), published_at=None)
    middle = make.planned(id=16, planned_on=on(16), kind=SessionKind.MIDDLE, published_at=None)

    one, other = found(cleared(), covered, HARD_14, easy, middle)

    assert [(each.level, each.on) for each in (one, other)] == [(Level.REFUSES, on(14)), (Level.REFUSES, on(16))]
    assert (
        one.shared
        == other.shared
        == (
            f"the clearance ends on {day_words(on(13))}. A new clearance for vigorous work comes first; "
            "easy sessions may go out."
        )
    )


def test_a_paper_without_an_end_ends_by_its_age() -> None:
    given_on = on(13) - timedelta(days=RULES.clearance_days)

    assert len(found(cleared(given_on=given_on, ends_on=None), HARD_14)) == 1
    assert found(cleared(given_on=given_on + timedelta(days=1), ends_on=None), HARD_14) == []


@pytest.mark.parametrize("changes", [{"ends_on": on(-1)}, {"scope": Intensity.LIGHT_MODERATE}])
def test_what_is_stopped_today_already_is_said_once(changes) -> None:
    assert found(cleared(**changes), HARD_14) == []


def test_the_only_mend_is_the_easy_version() -> None:
    plan = ahead_of(cleared(), frozenset({14}), TODAY, RULES)
    whole = plan.found()

    assert [mend.way for mend in mends(plan, [one for one in whole if one.kind == PAPER_ENDS], whole)] == [Way.EASE]


def test_the_phone_stops_hard_work_by_itself_on_the_day_after_the_last() -> None:
    history = cleared()

    assert may_train_now(history, HARD_14, on(13), RULES).answer is Answer.AS_PLANNED
    assert may_train_now(history, HARD_14, on(14), RULES).is_paused
