"""One session of rounds read whole: what was asked, the rounds of a recording or of the entry, and how they went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.coaching.easy_session import is_easy_session
from app.coaching.executed import READINESS_AFTER
from app.coaching.execution import Told, even_limit_percent, execution
from app.coaching.execution_values import Execution
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness import ReadinessNote
from app.coaching.readiness_rules import ReadinessLevel, is_down
from app.coaching.recordings import Recording
from app.coaching.round_figures import Output, RoundFigures, figures_of_log, figures_of_rounds, with_told
from app.coaching.rounds import find_rounds
from app.coaching.rounds_values import FoundRounds, RoundEdges, RoundsAsked, rounds_asked
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json
from app.coaching.set_figures import SetFigures, figures_of_set
from app.physiology.units import KILOMETRE_M
from app.physiology.values import Missing


@dataclass(frozen=True, slots=True, eq=False)
class SessionReading:
    """Everything a page shows of how a session went."""

    log: SessionLog
    planned: PlannedSession | None
    #: None without a recording; the rounds are then those of the entry.
    recording: Recording | None
    asked: RoundsAsked | None
    #: What was found in the recording; Missing with the reason, None without a recording.
    found: FoundRounds | Missing | None
    figures: SetFigures | None
    #: None when there are no rounds to judge.
    judged: Execution | None
    target: SessionTarget | None
    #: A figure for each round of the plan in the unit of the output; empty without figures.
    aims: tuple[float, ...]
    #: Lowest and highest of the range a target gives for all rounds; None without one.
    aim_range: tuple[float, float] | None
    limit_percent: float
    heart_rate_counts: bool

    @property
    def rounds(self) -> tuple[RoundFigures, ...]:
        """The rounds with their figures, in order; empty when there are none."""
        return self.figures.rounds if self.figures else ()

    @property
    def is_easy(self) -> bool:
        """Whether it was meant to be easy, whatever rounds are seen in it."""
        return is_easy_session(self.log, self.planned)

    @property
    def output(self) -> Output | None:
        """What the rounds put out; None when no figure says it."""
        return self.figures.output if self.figures else None


@dataclass(frozen=True, slots=True)
class ReadWith:
    """What a reading rests on beside the session itself."""

    heart_rate_counts: bool
    readiness: tuple[ReadinessNote, ...]
    rules: Rules


def read_session(
    log: SessionLog,
    planned: PlannedSession | None,
    recording: Recording | None,
    *,
    by_hand: Sequence[RoundEdges],
    beside: ReadWith,
) -> SessionReading:
    """A session read from its recording where there is one with rounds, else from the rounds of the entry.

    Raises: DomainError when the plan's steps or its target cannot be read.
    """
    asked = rounds_asked(planned) if planned else None
    target = target_from_json(planned.target_json) if planned else None
    found = _found(log, recording, asked, by_hand, beside) if recording is not None else None
    output, rounds = _rounds(log, recording, found, asked, beside)
    aims = _aims(target, output, len(asked.work_s) if asked else len(rounds))
    figures = figures_of_set(output, rounds, targets=aims, asked=asked) if rounds else None
    source = recording.speed_source if recording else None
    judged = None
    if figures is not None:
        judged = execution(
            figures,
            _told(log, beside),
            mode=log.mode,
            rules=beside.rules,
            rounds_asked=len(asked.work_s) if asked else None,
            targets=aims,
            speed_source=source,
        )
    return SessionReading(
        log=log,
        planned=planned,
        recording=recording,
        asked=asked,
        found=found,
        figures=figures,
        judged=_without_next(judged) if judged is not None and is_easy_session(log, planned) else judged,
        target=target,
        aims=aims,
        aim_range=_range(target, output),
        limit_percent=even_limit_percent(log.mode, output, source, beside.rules),
        heart_rate_counts=beside.heart_rate_counts,
    )


def _without_next(judged: Execution) -> Execution:
    """Rounds seen in an easy session are nobody's plan: nothing is prescribed from them."""
    return replace(judged, next_time=None)


def _found(
    log: SessionLog,
    recording: Recording,
    asked: RoundsAsked | None,
    by_hand: Sequence[RoundEdges],
    beside: ReadWith,
) -> FoundRounds | Missing:
    counts = beside.heart_rate_counts
    return find_rounds(recording, mode=log.mode, asked=asked, by_hand=by_hand, heart_rate_counts=counts)


def _rounds(
    log: SessionLog,
    recording: Recording | None,
    found: FoundRounds | Missing | None,
    asked: RoundsAsked | None,
    beside: ReadWith,
) -> tuple[Output | None, tuple[RoundFigures, ...]]:
    """The rounds of the recording with the efforts and strokes of the entry, else the entry's own."""
    if recording is None or not isinstance(found, FoundRounds):
        output, typed = figures_of_log(log.rounds)
        return output, _against_plan(typed, asked, beside)
    counts = beside.heart_rate_counts
    output, rounds = figures_of_rounds(recording, found, mode=log.mode, heart_rate_counts=counts)
    return output, with_told(rounds, log.rounds)


def _against_plan(
    rounds: tuple[RoundFigures, ...], asked: RoundsAsked | None, beside: ReadWith
) -> tuple[RoundFigures, ...]:
    """Typed rounds laid onto the plan's clock; without a plan they stand one after the other."""
    heard = tuple(one if beside.heart_rate_counts else replace(one, heart_rate_end_bpm=None) for one in rounds)
    if asked is None:
        return heard
    laid, at = [], float(asked.lead_in_s or 0)
    for place, one in enumerate(heard):
        is_asked = place < len(asked.work_s)
        wanted = asked.work_s[place] if is_asked else None
        laid.append(replace(one, start_s=at, end_s=at + one.duration_s, asked_s=wanted))
        at += max(one.duration_s, float(wanted or 0)) + (asked.recovery_s[place] if is_asked else 0)
    return tuple(laid)


def _told(log: SessionLog, beside: ReadWith) -> Told:
    level = is_down(beside.readiness, log.done_on + READINESS_AFTER, beside.rules).level
    usual = {ReadinessLevel.DOWN: False, ReadinessLevel.USUAL: True}.get(level)
    return Told(
        posture=log.posture,
        efforts=tuple(one.effort for one in sorted(log.rounds, key=lambda one: one.number)),
        effort=log.effort,
        first_30_hurt=log.first_30_hurt,
        spoilt_by=log.spoilt_by,
        readiness_usual=usual,
    )


def _aims(target: SessionTarget | None, output: Output | None, rounds: int) -> tuple[float, ...]:
    """One figure a round, in the unit of the output; empty where target and output do not speak of the same."""
    if target is None or not _is_alike(target, output):
        return ()
    figures = [target.of_round(number) for number in range(1, rounds + 1)]
    known = [_in_output(target, one) for one in figures if one is not None]
    return tuple(known) if len(known) == rounds else ()


def _range(target: SessionTarget | None, output: Output | None) -> tuple[float, float] | None:
    if target is None or target.low is None or target.high is None or not _is_alike(target, output):
        return None
    ends = sorted((_in_output(target, target.low), _in_output(target, target.high)))
    return ends[0], ends[1]


def _is_alike(target: SessionTarget, output: Output | None) -> bool:
    if target.form is TargetForm.POWER:
        return output is Output.POWER
    return target.form is TargetForm.PACE and output in (Output.SPEED, Output.SPEED_ON_THE_FLAT)


def _in_output(target: SessionTarget, figure: float) -> float:
    """Watts as they are; seconds a kilometre as metres a second."""
    return KILOMETRE_M / figure if target.form is TargetForm.PACE else figure


def same_protocol(one: PlannedSession, other: PlannedSession) -> bool:
    """Whether two sessions asked for the same rounds by the same way of moving.

    Raises: DomainError when the steps of one cannot be read.
    """
    asked, before = rounds_asked(one), rounds_asked(other)
    if asked is None or before is None or one.mode is not other.mode:
        return False
    return (asked.work_s, asked.recovery_s[:-1]) == (before.work_s, before.recovery_s[:-1])


def is_on_foot(mode: Mode) -> bool:
    """Whether speed is said as minutes a kilometre."""
    return mode in (Mode.WALK, Mode.RUN, Mode.TREADMILL)
