"""The coach's phase decisions, by the practice's own rules on the record as it stands.

The rules are asked only when a cheap count of weeks says that they may be met; nobody is promoted without them.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import timedelta

from app.coaching.base_weeks import count_held
from app.coaching.condition import Condition, Group, evidence_json
from app.coaching.people import ClientState
from app.coaching.phases import DecisionKind, Phase, PhaseDecision
from app.coaching.promotion import all_met, base_weeks_for, conditions
from app.coaching.second_week import SESSIONS_DONE, WEEKS_ON_ONE, may_take_second, second_week_conditions
from app.coaching.training_weeks import AWAY_DAYS_MOST, Held
from app.coaching.windows import WHOLE_BASE
from app.simulation.world import constants as c
from app.simulation.world.papers import prepare_for_hard_work
from app.simulation.world.record import Decided
from app.simulation.world.scene import Scene

_WEEKS_LOOKED_BACK = WHOLE_BASE.days // 7
_HOUR = 12
#: Below the practice's own limit, so that the rules decide and not the count.
ADHERENCE = 0.72


@dataclass(slots=True)
class Count:
    """A cheap count of how the weeks went, so that the rules need not be asked every week."""

    weeks: list[Held] = field(default_factory=list)
    days_done: list[int] = field(default_factory=list)
    share: list[float] = field(default_factory=list)
    hard_done: int = 0
    last_outing: int | None = None
    next_look: int = 0

    def close_week(self, *, planned: float, done: float, days: int, is_open: bool, away_days: int) -> None:
        """Count a week that is over, much as the rules do."""
        if away_days > AWAY_DAYS_MOST:
            self.weeks.append(Held.AWAY)
            return
        is_held = days >= 3 and done >= max(75.0, 0.75 * planned) and not is_open
        self.weeks.append(Held.HELD if is_held else Held.NOT_HELD)
        self.days_done.append(days)
        self.share.append(min(1.0, done / planned) if planned else 1.0)

    def looks_ready(self, asked: int) -> bool:
        """Whether it is worth asking the rules."""
        recent = [one for one in self.weeks if one is not Held.AWAY][-8:]
        is_even = len(self.days_done) >= 4 and min(self.days_done[-4:]) >= 3
        return (
            is_even
            and sum(self.share[-8:]) >= ADHERENCE * len(self.share[-8:])
            and sum(one is Held.HELD for one in recent) >= 6
            and count_held(self.weeks[-_WEEKS_LOOKED_BACK:]).weeks >= asked
        )

    @property
    def done_share(self) -> float:
        """What was done of the last four weeks that counted."""
        last = self.share[-4:]
        return sum(last) / len(last) if last else 1.0


def start_base(scene: Scene, day: int) -> None:
    """The base begins, and the client with it."""
    _keep(scene, day, DecisionKind.START, Phase.AEROBIC_BASE, reason="Begins the base.", evidence="{}")
    scene.record.change_client(state=ClientState.ACTIVE)


def look_at_phase(scene: Scene, count: Count, day: int) -> None:
    """The weekly look: one step on when every condition is met, back to base after a long stop."""
    phase, record = scene.record.phase, scene.record
    if phase is None:
        return
    if phase is not Phase.AEROBIC_BASE and _is_long_stop(count, day):
        _step_back(scene, count, day)
        return
    if day < count.next_look or scene.standing():
        return
    if phase is Phase.AEROBIC_BASE and count.looks_ready(base_weeks_for(record.client, scene.on(day), scene.rules)):
        _first_step(scene, count, day)
    elif phase is Phase.INTERVAL_ONE and scene.person.wants_two and _may_look_at_second(scene, count, day):
        _second_step(scene, count, day)


def _first_step(scene: Scene, count: Count, day: int) -> None:
    prepare_for_hard_work(scene, day)
    count.next_look = day + c.LOOKED_AGAIN_AFTER_DAYS
    today = scene.on(day)
    found = conditions(scene.record.history(today), today, scene.rules)
    if all_met(found):
        evidence = _evidence(found)
        _keep(
            scene, day, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, reason="Every condition is met.", evidence=evidence
        )
        count.hard_done, count.next_look = 0, day


def _may_look_at_second(scene: Scene, count: Count, day: int) -> bool:
    since = scene.record.phase_since_on
    is_long = since is not None and scene.on(day) - since >= timedelta(weeks=WEEKS_ON_ONE)
    return is_long and count.hard_done >= SESSIONS_DONE


def _second_step(scene: Scene, count: Count, day: int) -> None:
    prepare_for_hard_work(scene, day)
    count.next_look = day + c.SECOND_LOOKED_AGAIN_AFTER_DAYS
    today = scene.on(day)
    history = scene.record.history(today)
    safety = (one for one in conditions(history, today, scene.rules) if one.group is Group.SAFETY)
    found = (*safety, *second_week_conditions(history, today, scene.rules))
    if not may_take_second(found):
        evidence = _evidence(found)
        _keep(scene, day, DecisionKind.PROMOTE, Phase.INTERVAL_TWO, reason="One a week goes well.", evidence=evidence)


def _is_long_stop(count: Count, day: int) -> bool:
    return count.last_outing is not None and day - count.last_outing > c.STEP_BACK_AFTER_DAYS


def _step_back(scene: Scene, count: Count, day: int) -> None:
    today = scene.on(day)
    found = conditions(scene.record.history(today), today, scene.rules)
    reason = "Four weeks without an outing; the base comes first again."
    _keep(scene, day, DecisionKind.STEP_BACK, Phase.AEROBIC_BASE, reason=reason, evidence=_evidence(found))
    count.next_look = day + c.LOOKED_AGAIN_AFTER_DAYS


def _evidence(found: Sequence[Condition]) -> str:
    """The conditions as the desk keeps them with a decision."""
    kept = json.loads(evidence_json(found)) | {"override_reason": None, "until_on": None, "undoes": None}
    return json.dumps(kept, ensure_ascii=False, sort_keys=True)


def _keep(scene: Scene, day: int, kind: DecisionKind, phase: Phase, *, reason: str, evidence: str) -> None:
    record = scene.record
    decision = PhaseDecision(
        id=scene.next_id("decision"),
        client_id=scene.client_id,
        kind=kind,
        phase=phase,
        since_on=scene.on(day),
        decided_at=scene.at(day, _HOUR),
        person_id=scene.coach_id,
        reason=reason,
        evidence_json=evidence,
        attested_by=None,
        confirmed_at=None,
    )
    record.entries.append(Decided(decision, record.phase, record.phase_since_on, record.client.base_weeks_asked))
    record.decisions.append(decision)
