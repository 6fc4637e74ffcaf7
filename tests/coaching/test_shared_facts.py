"""What rules share of one history is the same as worked out anew, whoever was asked about before."""

from __future__ import annotations

from dataclasses import replace

from app.coaching.signals import signals
from tests.bench import seeded
from tests.coaching.signal_scenes import RULES


def test_signals_do_not_depend_on_who_was_looked_at_before() -> None:
    practice = seeded.histories(12)
    # A copy is another history: nothing kept of the first one fits it.
    alone = [signals(replace(one), seeded.TODAY, replace(RULES)) for one in practice]

    assert [signals(one, seeded.TODAY, RULES) for one in practice] == alone
    assert [signals(one, seeded.TODAY, RULES) for one in reversed(practice)] == alone[::-1]
    assert [found for one in practice for found in (signals(one, seeded.TODAY, RULES),) * 2] == [
        found for found in alone for _ in range(2)
    ]
