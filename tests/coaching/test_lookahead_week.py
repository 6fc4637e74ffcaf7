"""Looking ahead at a week's hard sessions: from Monday to Sunday no more than the phase goes by.

Common practice, no published source.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.facts import FactsOnDemand
from app.coaching.lookahead import as_if_sent, breaches
from app.coaching.lookahead_mend_values import Ahead, Way
from app.coaching.lookahead_mends import mends
from app.coaching.lookahead_values import HARD_WEEK, Breach, Level
from app.coaching.lookahead_week import week_breaches
from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.reasons import Provenance
from app.coaching.swaps import swap_options
from app.coaching.weeks import week_start
from tests import factories as make
from tests.coaching.test_lookahead_hard import RULES, done, easy, hard, somebody
from tests.factories import TODAY

#: Days from today to the next Monday and the one after.
NEXT = 7 - (TODAY - week_start(TODAY)).days
ONE, TWO, KEEPING = Phase.INTERVAL_ONE, Phase.INTERVAL_TWO, Phase.KEEPING


def found(history, *drafts, standing=()) -> list[Breach]:
    return week_breaches(history, standing, drafts, TODAY, RULES)


@pytest.mark.parametrize(
    ("phase", "days", "count"),
    [
        (ONE, (0,), 0),
        (ONE, (0, 6), 1),
        (KEEPING, (0, 6), 1),
        # Sunday and Monday are two weeks.
        (ONE, (6, 7), 0),
        (TWO, (0, 3), 0),
        (TWO, (0, 3, 6), 1),
        (ONE, (0, 4, 7, 12), 2),
        # Hard work outside its phases is refused as such.
        (Phase.AEROBIC_BASE, (0, 3), 0),
    ],
)
def test_a_week_holds_no_more_hard_sessions_than_its_phase(phase: Phase, days, count: int) -> None:
    said = found(somebody(phase), *(hard(NEXT + day) for day in days))

    assert [one.level for one in said] == [Level.ASKS] * count


def test_it_is_told_on_the_last_draft_with_the_days_and_the_phase() -> None:
    [said] = found(somebody(ONE), hard(NEXT + 1), hard(NEXT + 4))

    monday = TODAY + timedelta(days=NEXT)
    assert (said.kind, said.on) == (HARD_WEEK, monday + timedelta(days=4))
    assert said.sentence == ("Week of Mon 12 Oct: 2 hard sessions (Tue 13 Oct, Fri 16 Oct) where 1 a week is agreed.")
    assert [one.text for one in said.why.figures] == ["Tue 13 Oct, Fri 16 Oct", PHASE_WORDS[ONE]]
    assert (said.why.provenance, said.why.source) == (Provenance.COMMON_PRACTICE, None)


def test_what_was_done_and_what_stands_published_counts_planned_or_not() -> None:
    monday = (week_start(TODAY) - TODAY).days

    assert len(found(somebody(ONE, logs=done(monday)), hard(1))) == 1
    assert found(somebody(ONE, logs=done(monday - 1)), hard(1)) == []
    assert len(found(somebody(ONE), hard(NEXT + 4), standing=(hard(NEXT),))) == 1
    assert found(somebody(ONE), easy(NEXT + 4), standing=(hard(NEXT), hard(NEXT + 2))) == []


def test_every_look_ahead_says_it() -> None:
    history = somebody(ONE, planned=(hard(NEXT, id=1, published_at=make.at(TODAY)),))
    kinds = [one.kind for one in breaches(history, [hard(NEXT + 4)], TODAY, RULES)]

    assert kinds.count(HARD_WEEK) == 1


def test_a_swap_that_brings_two_into_one_week_asks() -> None:
    sent = {"published_at": make.at(TODAY)}
    planned = (easy(0, id=1, **sent), hard(1, id=2, **sent), hard(NEXT, id=3, **sent))
    options = swap_options(somebody(ONE, planned=planned), planned[0], TODAY, RULES)

    asked = {option.session.id: [one.kind for one in option.asks if one.kind == HARD_WEEK] for option in options}
    assert asked[3] == [HARD_WEEK]
    assert asked[2] == []


def test_it_is_mended_by_another_week_or_by_making_it_easy() -> None:
    available = tuple(make.available(weekday=day, minutes=90) for day in range(7))
    drafts = (hard(NEXT + 1), hard(NEXT + 5))
    history = as_if_sent(somebody(ONE, available=available, drafts=drafts, logs=done(-6)), TODAY)
    ids = frozenset(one.id for one in drafts)
    plan = Ahead(history, history.planned, ids, TODAY, RULES, FactsOnDemand(history, TODAY, RULES))
    whole = plan.found()

    offered = mends(plan, [one for one in whole if one.kind == HARD_WEEK], whole)

    assert Way.EASE in {one.way for one in offered}
    for mend in offered:
        assert HARD_WEEK not in {one.kind for one in plan.changed(mend.changes).found()}
        assert mend.reason.endswith("so that a week holds no more hard sessions than agreed.")
