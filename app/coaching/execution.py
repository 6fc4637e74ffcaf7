"""How a set of hard rounds was executed: a verdict in words with its reasons, what it counts as, and the next try."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.execution_next import Went, next_time
from app.coaching.execution_pattern import Pattern, pattern_by_satellite, pattern_of
from app.coaching.execution_values import (
    READINESS_DOWN,
    READINESS_USUAL,
    VERDICT_WORDS,
    Blame,
    Check,
    CountsAs,
    Execution,
    Verdict,
)
from app.coaching.people import Mode
from app.coaching.reasons import Figure
from app.coaching.recordings import SpeedSource
from app.coaching.round_figures import Output
from app.coaching.rules import Rules
from app.coaching.session_logs import Posture, SpoiltBy
from app.coaching.set_figures import SetFigures
from app.coaching.words import counted
from app.physiology.values import Missing

#: A target is wrong, not the client: effort above these at the end of round 1 and of round 2.
#: Source: common practice, no published source.
WRONG_AFTER_FIRST = 7
WRONG_AFTER_SECOND = 8
#: A first round this far above its target was the client's own choice (house choice).
ABOVE_TARGET_PERCENT = 5.0

#: Of a session cut short: how the rounds went that were done.
_DONE_WORDS = {
    Verdict.EVEN: "were even",
    Verdict.STARTED_HOT: "started hot",
    Verdict.SAGGED: "sagged and came back",
    Verdict.FADED: "faded",
    Verdict.BUILT: "built",
    Verdict.UNEVEN: "were uneven",
}
_INDOORS = frozenset({Mode.INDOOR_RIDE, Mode.ROW, Mode.CROSS_TRAIN, Mode.TREADMILL})
POSTURE_WORDS = {
    Posture.STOOD: "stood and walked on",
    Posture.HANDS_ON_KNEES: "hands on knees a moment",
    Posture.BENT_OR_SAT: "had to bend or sit",
}


@dataclass(frozen=True, slots=True)
class Told:
    """What the client or the coach said of the session; None is not said."""

    posture: Posture | None = None
    #: Effort at the end of each round, in order; a None in it is not said.
    efforts: tuple[float | None, ...] = ()
    #: Effort of the whole session, used for the end where no round's was said.
    effort: float | None = None
    first_30_hurt: bool | None = None
    spoilt_by: SpoiltBy | None = None
    #: Whether readiness was usual within 48 h.
    readiness_usual: bool | None = None

    @property
    def end_effort(self) -> float | None:
        """The effort at the end of the last round, else of the session."""
        said = [one for one in self.efforts if one is not None]
        return said[-1] if said else self.effort


def even_limit_percent(mode: Mode, output: Output | None, speed_source: SpeedSource | None, rules: Rules) -> float:
    """Best to worst round that still is even, %, by what was done and how it was measured.

    Source: common practice, no published source.
    """
    if mode is Mode.SWIM:
        return 100 * rules.even_pool_fraction
    if output is Output.POWER or mode in _INDOORS:
        return 100 * (rules.even_road_power_fraction if mode is Mode.RIDE else rules.even_indoor_power_fraction)
    if speed_source is SpeedSource.TRACK:
        return 100 * rules.even_track_fraction
    return 100 * rules.even_satellite_fraction


def execution(
    figures: SetFigures,
    told: Told,
    *,
    mode: Mode,
    rules: Rules,
    rounds_asked: int | None = None,
    targets: Sequence[float] = (),
    speed_source: SpeedSource | None = None,
) -> Execution:
    """The judgement of a hard session.

    targets: one for each round of the plan, or one for all, in the unit of the output; empty without figures.
    Well executed: all rounds, even, effort at the end at most 8, stood, technique kept, readiness usual. A session
    spoilt by heat, kit or traffic counts as neither good nor bad; a target that was wrong is not held against the
    client.
    Source: common practice, no published source.
    """
    limit = even_limit_percent(mode, figures.output, speed_source, rules)
    by_satellite = speed_source is SpeedSource.SATELLITE
    pattern = pattern_by_satellite(figures, limit) if by_satellite else pattern_of(figures, limit)
    done = sum(one.is_complete for one in figures.rounds)
    is_cut = done < (rounds_asked or len(figures.rounds))
    verdict = Verdict.CUT_SHORT if is_cut else pattern.verdict
    technique = _technique(figures, rules)
    is_usual = told.readiness_usual
    readiness = Check(READINESS_USUAL, is_usual, READINESS_DOWN if is_usual is False else "")
    executed = _all_rounds(figures, rounds_asked), _even(pattern), _end_effort(told, rules), _stood(told), technique
    checks = (*executed, readiness)
    counts_as, blame = _counts(checks, told, figures)
    bent = told.posture is Posture.BENT_OR_SAT
    went = Went(verdict, counts_as, blame, bent, mode)
    return Execution(
        verdict=verdict,
        counts_as=counts_as,
        blame=blame,
        sentence=_sentence(verdict, counts_as, blame, told, pattern),
        reasons=(*pattern.reasons, *_told_reasons(told)),
        checks=checks,
        next_time=next_time(figures, went, targets=targets, rounds_asked=rounds_asked),
        rounds_done=done,
        rounds_asked=rounds_asked,
        bent_or_sat=bent,
        technique_lost=technique.is_met is False,
    )


def _counts(checks: Sequence[Check], told: Told, figures: SetFigures) -> tuple[CountsAs, Blame]:
    """How it counts and what went wrong. Readiness that was not usual is nobody's fault, and still not well done."""
    if told.spoilt_by is not None:
        return CountsAs.NEITHER, Blame.NOTHING
    if _is_target_wrong(told, figures):
        return CountsAs.BAD, Blame.TARGET_WRONG
    *executed, readiness = checks
    if any(one.is_met is False for one in executed):
        return CountsAs.BAD, Blame.NOT_HELD
    if readiness.is_met is False:
        return CountsAs.BAD, Blame.NOTHING
    # What every client can say must be known; what needs a recorder or a count counts where it is there.
    if told.end_effort is None or told.posture is None:
        return CountsAs.UNKNOWN, Blame.NOTHING
    return CountsAs.GOOD, Blame.NOTHING


def _is_target_wrong(told: Told, figures: SetFigures) -> bool:
    """Too hard from the start, though the client did not start above the target."""
    first = told.efforts[0] if told.efforts else None
    second = told.efforts[1] if len(told.efforts) > 1 else None
    was_hard = (
        told.first_30_hurt is True
        or (first is not None and first > WRONG_AFTER_FIRST)
        or (second is not None and second > WRONG_AFTER_SECOND)
    )
    return was_hard and not _started_above_target(figures)


def _started_above_target(figures: SetFigures) -> bool:
    if isinstance(figures.against_target_percent, Missing) or figures.ratios is None:
        return False
    return 100 * (figures.ratios[0] - 1) > ABOVE_TARGET_PERCENT


def _all_rounds(figures: SetFigures, asked: int | None) -> Check:
    done = sum(one.is_complete for one in figures.rounds)
    wanted = asked or len(figures.rounds)
    return Check("all rounds", done >= wanted, f"{done} of {counted(wanted, 'round')}")


def _even(pattern: Pattern) -> Check:
    if pattern.verdict is Verdict.NOT_SEEN:
        return Check("even", None, pattern.words)
    return Check("even", pattern.verdict is Verdict.EVEN, pattern.words)


def _end_effort(told: Told, rules: Rules) -> Check:
    name = f"effort at the end at most {rules.end_effort_highest:g}"
    if told.end_effort is None:
        return Check(name, None, "")
    return Check(name, told.end_effort <= rules.end_effort_highest, f"effort {told.end_effort:g}")


def _stood(told: Told) -> Check:
    if told.posture is None:
        return Check("stood afterwards", None, "")
    return Check("stood afterwards", told.posture is Posture.STOOD, POSTURE_WORDS[told.posture])


def _technique(figures: SetFigures, rules: Rules) -> Check:
    """Strokes or cadence of the last round against the second; with nothing counted, or two rounds, not known."""
    lost, most = figures.technique_percent, 100 * rules.technique_fraction
    name = f"technique kept within {most:g} %"
    if isinstance(lost, Missing):
        return Check(name, None, lost.reason)
    return Check(name, abs(lost) <= most, f"the last round {lost:+z.1f} % against the second")


def _sentence(verdict: Verdict, counts_as: CountsAs, blame: Blame, told: Told, pattern: Pattern) -> str:
    said = VERDICT_WORDS[verdict]
    behind = pattern.words.partition(": ")[2] or pattern.words
    if verdict is Verdict.CUT_SHORT and pattern.verdict is not Verdict.NOT_SEEN:
        behind = f"the rounds that were done {_DONE_WORDS[pattern.verdict]}, {behind}"
    found = f"{said[:1].upper()}{said[1:]}: {behind}."
    if told.spoilt_by is not None:
        return f"{found} Spoilt by {told.spoilt_by.value}, so it counts neither way."
    if blame is Blame.TARGET_WRONG:
        return f"{found} The target was wrong, not the client."
    if counts_as is CountsAs.BAD and blame is Blame.NOTHING:
        return f"{found} Readiness was not usual within 48 h."
    return found


def _told_reasons(told: Told) -> tuple[Figure, ...]:
    efforts = ", ".join("not said" if one is None else f"{one:g}" for one in told.efforts)
    found = [Figure("effort at the end of each round", efforts)] if told.efforts else []
    if told.posture is not None:
        found.append(Figure("after the last round", POSTURE_WORDS[told.posture]))
    if told.first_30_hurt is not None:
        found.append(Figure("the first 30 s hurt", "yes" if told.first_30_hurt else "no"))
    if told.spoilt_by is not None:
        found.append(Figure("spoilt by", told.spoilt_by.value))
    return tuple(found)
