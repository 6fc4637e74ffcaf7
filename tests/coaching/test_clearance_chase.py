"""Which papers are chased, since when, and in which order."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.clearance_chase import CHASE_AFTER_DAYS, Wanting, chase_list
from app.coaching.history import History
from app.coaching.holds import HoldKind
from app.coaching.people import ClientState
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, YesNo
from app.coaching.signals_papers import ENDING_DAYS
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()


def _ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def _asked(days: int, **changes) -> History:
    paper = make.clearance(
        state=ClearanceState.REQUESTED,
        requested_on=_ago(days),
        given_on=None,
        signer=None,
        profession=None,
        **changes,
    )
    return make.history(clearances=(paper,))


def _given(days: int, **changes) -> History:
    return make.history(clearances=(make.clearance(given_on=_ago(days), **changes),))


def _only(history: History):
    lines = chase_list([history], TODAY, RULES)
    assert len(lines) == 1
    return lines[0]


@pytest.mark.parametrize(("days", "is_due"), [(0, False), (CHASE_AFTER_DAYS - 1, False), (CHASE_AFTER_DAYS, True)])
def test_a_request_is_asked_after_in_two_weeks(days: int, is_due: bool) -> None:
    line = _only(_asked(days))

    assert (line.wanting, line.days, line.is_due) == (Wanting.WAITING, days, is_due)


def test_an_answer_ends_the_wait() -> None:
    history = make.history(
        clearances=(
            make.clearance(id=1, state=ClearanceState.REQUESTED, requested_on=_ago(20), given_on=None),
            make.clearance(id=2, given_on=_ago(2)),
        )
    )

    assert chase_list([history], TODAY, RULES) == ()


@pytest.mark.parametrize(
    ("left", "wanting"),
    [(ENDING_DAYS + 1, None), (ENDING_DAYS, Wanting.ENDING), (0, Wanting.ENDING), (-1, Wanting.RUN_OUT)],
)
def test_a_paper_is_renewed_in_time(left: int, wanting: Wanting | None) -> None:
    lines = chase_list([_given(RULES.clearance_days - left)], TODAY, RULES)

    assert [line.wanting for line in lines] == ([] if wanting is None else [wanting])


def test_a_papers_own_end_counts_when_it_is_the_earlier() -> None:
    assert _only(_given(30, ends_on=TODAY + timedelta(days=3))).days == 3


def test_a_refusal_stands_first() -> None:
    refused = _given(3, state=ClearanceState.REFUSED)

    assert [line.wanting for line in chase_list([_asked(40), refused], TODAY, RULES)] == [
        Wanting.REFUSED,
        Wanting.WAITING,
    ]


def test_who_needs_one_and_has_not_asked_is_named() -> None:
    history = make.history(screening=(make.answers(active=YesNo.NO, disease=YesNo.YES, answered_on=_ago(9)),))

    assert (_only(history).wanting, _only(history).days) == (Wanting.NOT_ASKED, 9)


def test_after_a_symptom_the_wait_counts_from_the_day_it_was_felt() -> None:
    history = make.history(
        screening=(make.answers(answered_on=_ago(70)),),
        holds=(make.hold(kind=HoldKind.SYMPTOM, began_on=_ago(1), cause="Chest"),),
    )

    assert (_only(history).wanting, _only(history).days) == (Wanting.NOT_ASKED, 1)
    assert "something felt wrong" in _only(history).sentence


@pytest.mark.parametrize("answers", [make.answers(active=YesNo.NO, disease=YesNo.NO), None], ids=["well", "unasked"])
def test_who_needs_none_is_not_named(answers) -> None:
    history = make.history(screening=(answers,) if answers else ())

    assert chase_list([history], TODAY, RULES) == ()


def test_who_has_left_is_not_chased() -> None:
    history = make.history(client=make.client(state=ClientState.LEFT), clearances=_asked(40).clearances)

    assert chase_list([history], TODAY, RULES) == ()


def test_the_longest_wait_stands_first_whatever_the_order_given() -> None:
    histories = [_asked(3), _asked(30), _asked(12)]

    assert [line.days for line in chase_list(histories, TODAY, RULES)] == [30, 12, 3]
    assert chase_list(histories, TODAY, RULES) == chase_list(histories[::-1], TODAY, RULES)
