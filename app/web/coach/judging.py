"""What recordings say of the sessions before a draft, for the pages that look ahead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.coaching.execution_values import Execution
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession
from app.coaching.target_eased import Judge
from app.usecases.plan_sessions.judged import judged_before
from app.web.deps import Desk


def judge_of(desk: Desk) -> Judge:
    """Reads the recordings of those asked about; publishing and the board ask it the same."""

    def judge(asking: Sequence[tuple[History, Sequence[PlannedSession]]]) -> Mapping[int, Execution]:
        return judged_before(desk.db, asking, rules=desk.rules, now=desk.now)

    return judge
