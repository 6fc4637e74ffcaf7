"""Hard sessions of rounds as they went, one after the other: what was asked, how it counts, and what was wrong.

From what the log holds, and from the judgement of a recording where there is one.
Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.done_work import complete_rounds
from app.coaching.execution import WRONG_AFTER_FIRST, WRONG_AFTER_SECOND, even_limit_percent
from app.coaching.execution_values import READINESS_DOWN, READINESS_USUAL, Blame, Check, CountsAs, Execution
from app.coaching.facts import facts_of
from app.coaching.history import History
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.readiness_rules import ReadinessLevel, is_down
from app.coaching.reasons import DomainError
from app.coaching.round_figures import Output
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, Posture, RoundDone, SessionLog
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json
from app.coaching.steps import Part, flatten, from_json
from app.coaching.technique import TECHNIQUE_ROUNDS_LEAST, technique_change
from app.coaching.typed_content import UPHILL
from app.coaching.words import counted

END_EFFORT_HIGHEST = 8
READINESS_AFTER = timedelta(days=2)


_BAD_WORDS = {
    Blame.TARGET_WRONG: "target wrong",
    Blame.NOT_HELD: "not held",
    Blame.NOTHING: "held, and not well executed",
}


@dataclass(frozen=True, slots=True)
class Executed:
    """One hard session of rounds: what it asked, and how it counts."""

    on: date
    mode: Mode
    title: str
    rounds: int
    work_s: int
    recovery_s: int
    target: SessionTarget | None
    counts_as: CountsAs
    blame: Blame
    had_to_bend: bool
    checks: tuple[Check, ...]
    #: Mean power of its complete rounds, W; None when not known.
    power_w: float | None = None
    #: Mean speed of its complete rounds on the flat, m/s; None when not known.
    speed_m_per_s: float | None = None

    @property
    def demand(self) -> tuple[object, ...]:
        """What makes two sessions the same for the next step."""
        return self.rounds, self.work_s, self.recovery_s, demand_of(self.target)

    @property
    def words(self) -> str:
        """How it counts, with what was not met or not said."""
        short = [one.text for one in self.checks if one.is_met is False and one.text]
        unknown = [f"{one.name}: not said" for one in self.checks if one.is_met is None]
        said = {
            CountsAs.GOOD: "well executed",
            CountsAs.BAD: _BAD_WORDS[self.blame],
            CountsAs.NEITHER: "spoilt, counts neither way",
            CountsAs.UNKNOWN: "not known",
        }[self.counts_as]
        behind = "; ".join(short or (unknown if self.counts_as is CountsAs.UNKNOWN else []))
        return f"{said}: {behind}" if behind else said


def demand_of(target: SessionTarget | None) -> tuple[object, ...]:
    """The figures of a target as two sessions are compared by them; words alone are all alike."""
    if target is None or not target.has_figures or target.form is TargetForm.EFFORT:
        return ()
    return target.form, target.value, target.low, target.rounds


def executed_sessions(
    history: History, today: date, rules: Rules, *, judged: Mapping[int, Execution] | None = None
) -> tuple[Executed, ...]:
    """Hard sessions of rounds up to a day, oldest first; easy versions and sessions not done are left out.

    judged: judgements made from recordings, by the entry's id; they take the place of what the log alone says.
    """
    known = facts_of(history, today, rules)
    found = []
    for log in sorted(history.logs, key=lambda one: (one.done_on, one.id)):
        plan = known.pairing.plan_of.get(log.id)
        is_rounds = plan is not None and plan.kind is SessionKind.INTERVALS and log.id in known.hard
        if plan is not None and is_rounds and log.done_on <= today:
            shape = _shape(plan)
            if shape is not None:
                one = _executed(log, plan, shape, rules, _readiness(log, history, today, rules))
                found.append(_as_judged(one, (judged or {}).get(log.id)))
    return tuple(found)


def _as_judged(one: Executed, judged: Execution | None) -> Executed:
    if judged is None:
        return one
    return replace(
        one,
        counts_as=judged.counts_as,
        blame=judged.blame,
        had_to_bend=judged.bent_or_sat,
        checks=judged.checks,
    )


def _shape(plan: PlannedSession) -> tuple[int, int, int] | None:
    try:
        steps = list(flatten(from_json(plan.steps_json)))
    except DomainError:
        return None
    work = [one.duration_s for one in steps if one.part is Part.WORK]
    rest = [one.duration_s for one in steps if one.part is Part.RECOVERY]
    return (len(work), work[0], rest[0] if rest else work[0]) if work else None


def _executed(
    log: SessionLog, plan: PlannedSession, shape: tuple[int, int, int], rules: Rules, readiness: tuple[Check, ...]
) -> Executed:
    target = target_from_json(plan.target_json)
    checks = (
        _all_rounds(log, shape[0]),
        _end_effort(log),
        _stood(log),
        *_evenness(log, target, rules),
        *_technique(log, rules),
        *readiness,
    )
    counts_as, blame = _judged(log, checks)
    powers = [one.power_w for one in log.rounds if one.is_complete and one.power_w is not None]
    is_uphill = plan.place == UPHILL or plan.hill_id is not None
    speeds = [one.speed_m_per_s for one in log.rounds if one.is_complete and one.speed_m_per_s and not is_uphill]
    return Executed(
        on=log.done_on,
        mode=log.mode,
        title=plan.title,
        rounds=shape[0],
        work_s=shape[1],
        recovery_s=shape[2],
        target=target,
        counts_as=counts_as,
        blame=blame,
        had_to_bend=log.posture is Posture.BENT_OR_SAT,
        checks=checks,
        power_w=sum(powers) / len(powers) if powers else None,
        speed_m_per_s=sum(speeds) / len(speeds) if speeds else None,
    )


def _judged(log: SessionLog, checks: Sequence[Check]) -> tuple[CountsAs, Blame]:
    """How it counts. A target wrong from the first rounds is not the client's failure; unknown is not good."""
    if log.spoilt_by is not None:
        return CountsAs.NEITHER, Blame.NOTHING
    if _is_target_wrong(log):
        return CountsAs.BAD, Blame.TARGET_WRONG
    failed = [one for one in checks if one.is_met is False]
    if failed:
        is_readiness_alone = all(one.name == READINESS_USUAL for one in failed)
        return CountsAs.BAD, Blame.NOTHING if is_readiness_alone else Blame.NOT_HELD
    if any(one.is_met is None for one in checks):
        return CountsAs.UNKNOWN, Blame.NOTHING
    return CountsAs.GOOD, Blame.NOTHING


def _is_target_wrong(log: SessionLog) -> bool:
    efforts = {one.number: one.effort for one in log.rounds}
    first, second = efforts.get(1), efforts.get(2)
    return (
        log.first_30_hurt is True
        or (first is not None and first > WRONG_AFTER_FIRST)
        or (second is not None and second > WRONG_AFTER_SECOND)
    )


def _all_rounds(log: SessionLog, asked: int) -> Check:
    if not log.rounds:
        return Check("all rounds", log.answer is Answer.AS_PLANNED, log.answer.value.replace("_", " "))
    done = complete_rounds(log)
    return Check("all rounds", done >= asked, f"{done} of {counted(asked, 'round')}")


def _end_effort(log: SessionLog) -> Check:
    efforts = [one.effort for one in _in_order(log) if one.effort is not None]
    effort = efforts[-1] if efforts else log.effort
    if effort is None:
        return Check("effort at the end", None, "")
    return Check("effort at the end", effort <= END_EFFORT_HIGHEST, f"effort {effort:g} at the end")


def _stood(log: SessionLog) -> Check:
    if log.posture is None:
        return Check("stood afterwards", None, "")
    return Check("stood afterwards", log.posture is Posture.STOOD, log.posture.value.replace("_", " "))


def _evenness(log: SessionLog, target: SessionTarget | None, rules: Rules) -> tuple[Check, ...]:
    """Best to worst and last against first, of power, or speed against each round's own target; silent without."""
    rounds = [one for one in _in_order(log) if one.is_complete]
    outputs = [_against(one, target) for one in rounds]
    found = [one for one in outputs if one is not None]
    if len(found) < 2 or len(found) < len(rounds):
        return ()
    output = Output.POWER if rounds[0].power_w is not None else Output.SPEED
    most = even_limit_percent(log.mode, output, None, rules) / 100
    apart = max(found) / min(found) - 1
    fade = 1 - found[-1] / found[0]
    is_even = apart <= most and fade <= most / 2
    return (Check("even", is_even, f"rounds {apart * 100:.0f} % apart, last against first {-fade * 100:+.0f} %"),)


def _against(one: RoundDone, target: SessionTarget | None) -> float | None:
    if one.power_w is not None:
        return one.power_w or None
    if one.speed_m_per_s is None or one.speed_m_per_s <= 0:
        return None
    pace = target.of_round(one.number) if target is not None and target.form is TargetForm.PACE else None
    return one.speed_m_per_s * (pace or 1.0)


def _technique(log: SessionLog, rules: Rules) -> tuple[Check, ...]:
    """Strokes, steps or turns of the last round against the second; silent when they were not counted."""
    rounds = [one for one in _in_order(log) if one.is_complete]
    change = technique_change(rounds[1], rounds[-1]) if len(rounds) >= TECHNIQUE_ROUNDS_LEAST else None
    if change is None:
        return ()
    lost = abs(change.fraction)
    said = f"{change.what} {lost * 100:.0f} % from the second round's"
    return (Check("technique", lost <= rules.technique_fraction, said),)


def _readiness(log: SessionLog, history: History, today: date, rules: Rules) -> tuple[Check, ...]:
    """Whether readiness was usual within two days; silent where notes do not say."""
    level = is_down(history.readiness, min(today, log.done_on + READINESS_AFTER), rules).level
    if level is not ReadinessLevel.DOWN:
        return ()
    return (Check(READINESS_USUAL, False, READINESS_DOWN),)


def _in_order(log: SessionLog) -> list[RoundDone]:
    return sorted(log.rounds, key=lambda one: one.number)
