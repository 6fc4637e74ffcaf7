"""Small histories a target is made from: hard sessions done and how they went, a race, runs, measured figures."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.history import History
from app.coaching.measured import Measured
from app.coaching.people import Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Posture, SessionLog
from app.coaching.session_target import SessionTarget, target_to_json
from app.coaching.steps import to_json
from app.coaching.target_values import TargetScene, TargetWishes
from app.coaching.targets import target_scene
from tests import factories as make

TODAY = make.TODAY
measured = make.measured
RULES = Rules()
#: Was active before the coach met her, so that effort alone does not pace her.
ACTIVE = make.client(regularly_active_confirmed_on=TODAY - timedelta(weeks=30))


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def five_km(**changes: Any) -> FitnessTest:
    """5 km in 25:00, four weeks ago."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": make.CLIENT_ID,
        "tested_on": ago(28),
        "protocol": Protocol.FIVE_KM,
        "mode": Mode.RUN,
        "distance_m": 5000.0,
        "duration_s": 1500.0,
        "heart_rate_bpm": None,
        "talk": None,
        "value": None,
        "unit": None,
        "error": None,
        "conditions": None,
        "origin": Origin.COACH,
        "entered_at": make.at(ago(28)),
        "person_id": make.COACH_ID,
    }
    return FitnessTest(**(given | changes))


def runs(weeks: int = 13) -> tuple[SessionLog, ...]:
    """An easy run in each of the weeks before this one."""
    return tuple(make.log(id=500 + n, done_on=ago(7 * n), mode=Mode.RUN) for n in range(1, weeks + 1))


def done(days: int, target: SessionTarget | None = None, **changes: Any) -> tuple[PlannedSession, SessionLog]:
    """A hard session of four rounds so many days ago that went well: all rounds, effort 7, stood."""
    rounds = changes.pop("rounds", 4)
    steps = changes.pop("steps_json", to_json(make.interval_steps(rounds)))
    mode = changes.pop("mode", Mode.INDOOR_RIDE)
    plan = make.planned_hard(
        id=1000 + days,
        planned_on=ago(days),
        mode=mode,
        rounds=rounds,
        steps_json=steps,
        target_json=target_to_json(target),
    )
    given: dict[str, Any] = {
        "id": 2000 + days,
        "planned_session_id": plan.id,
        "done_on": ago(days),
        "kind": SessionKind.INTERVALS,
        "mode": mode,
        "minutes": 57.0,
        "effort": 7.0,
        "posture": Posture.STOOD,
        "rounds": changes.pop("done_rounds", tuple(make.work_round(number=n + 1) for n in range(rounds))),
    }
    return plan, make.log(**(given | changes))


def history(*sessions: tuple[PlannedSession, SessionLog], **records: Any) -> History:
    """Promoted ten weeks ago, with hard sessions and whatever else is given."""
    promoted = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=ago(70))
    logs = (*(log for _, log in sessions), *records.pop("logs", ()))
    given: dict[str, Any] = {
        "client": ACTIVE,
        "decisions": (promoted,),
        "screening": (make.answers(),),
        "planned": tuple(plan for plan, _ in sessions),
        "logs": logs,
    }
    return make.history(**(given | records))


def scene(known: History, *figures: Measured, wishes: TargetWishes | None = None, **session: Any) -> TargetScene:
    """A session for today, four times four minutes on the indoor bike unless told otherwise."""
    return target_scene(known, make.planned_hard(**session), figures, today=TODAY, rules=RULES, wishes=wishes)
