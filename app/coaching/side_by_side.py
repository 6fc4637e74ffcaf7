"""Sessions of the library side by side: work, time near VO2max as assumed, and what they would be for one client."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

import numpy as np

from app.coaching.execution_values import Execution
from app.coaching.first_rounds import rounds_worth
from app.coaching.history import History
from app.coaching.hold_rules import may_train_within
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.measured import Measured
from app.coaching.people import Mode, age_on
from app.coaching.plan_changes import is_first_of_phase, new_session
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocol_values import IntervalProtocol
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.session_shapes import protocol_content
from app.coaching.session_steps import NOUNS
from app.coaching.target_values import Option, TargetWishes
from app.coaching.targets import proposed_of, target_options, target_scene
from app.coaching.weeks import local_day
from app.coaching.words import counted, duration_words
from app.physiology.kinetics import TIME_CONSTANTS
from app.physiology.near_vo2max import TimeNearVo2max, time_near_vo2max

MOST_SIDE_BY_SIDE = 4
#: What of the look-ahead is told here: whether such a session may be at all, whatever day it is on.
_TOLD = frozenset({"rounds", "phase"})
#: Oxygen uptake a round of 4 min asks for, and how far off that may be (house choice).
TARGET_FRACTION, TARGET_OFF = 1.0, 0.05
#: Oxygen uptake of easy recoveries and after the warm-up (house choice).
RECOVERY_FRACTION, START_FRACTION = 0.45, 0.35
#: What people hold in rounds of a length beside rounds of 4 min: running speed with equal rest, for 1 and 2 min
#: (93, 88 and 86 % of the speed of VO2max, Seiler & Sjursen 2004), power for 8 and 16 min (117, 106 and 95 % of
#: 40-min power, Seiler & Sylta 2017).
_BESIDE_FOUR_MIN = ((60, 93 / 86), (120, 88 / 86), (240, 1.0), (480, 106 / 117), (960, 95 / 117))
_NEAR_RULE = (
    "Oxygen uptake rises and falls towards what work and recovery ask for, with one time constant; the seconds above "
    "90 % of VO2max are counted. Rounds of 4 min are taken to ask for all of VO2max, shorter ones for more and "
    "longer ones for less, as people paced themselves; sets are reckoned each from the beginning. To compare "
    "sessions, not to foretell a measurement."
)
_FITS_RULE = (
    "Two rounds of 4 min at first, then three, then four; a round longer than 5 min counts as two. The coach decides."
)


@dataclass(frozen=True, slots=True)
class Assumed:
    """What the time near VO2max is reckoned with."""

    tau_s: float
    who: str
    target_fraction: float = TARGET_FRACTION


ASSUMED = {one.who: Assumed(one.tau_s, one.who) for one in TIME_CONSTANTS}
USUALLY_ASSUMED = "older, recreationally active"


@dataclass(frozen=True, slots=True)
class NearTime:
    """Expected seconds above 90 % of VO2max, from a little less asked of the rounds to a little more."""

    seconds: float
    low_s: float
    high_s: float
    share_of_work: float
    why: Why


@dataclass(frozen=True, slots=True)
class ForClient:
    """What one session would be for one client; never more than what may be done now."""

    session: PlannedSession | None
    #: Why it is not to be done as it stands: a pause, a way it is not done; "" when nothing speaks against it.
    against: str
    target: Option | None
    found: tuple[Breach, ...]
    fits_why: Why | None


@dataclass(frozen=True, slots=True)
class Side:
    """One session beside the others."""

    protocol: IntervalProtocol
    work_s: int
    rest_s: int
    near: NearTime
    of_client: ForClient | None


@dataclass(frozen=True, slots=True)
class Asker:
    """For whom sessions are compared."""

    known: History
    measured: tuple[Measured, ...]
    mode: Mode
    wishes: TargetWishes
    #: Judgements made from recordings, by the entry's id.
    judged: Mapping[int, Execution] = field(default_factory=dict)


def side_of(protocol: IntervalProtocol, assumed: Assumed, asker: Asker | None, rules: Rules, at: datetime) -> Side:
    """One session of the library with its usual rounds, for nobody or for one client."""
    sets = (protocol.rounds - 1) // protocol.set_of if protocol.has_sets else 0
    return Side(
        protocol=protocol,
        work_s=protocol.rounds * protocol.work_s,
        rest_s=(protocol.rounds - 1 - sets) * protocol.recovery_s + sets * protocol.set_recovery_s,
        near=near_time(protocol, assumed),
        of_client=None if asker is None else _for_client(protocol, asker, rules, at),
    )


def near_time(protocol: IntervalProtocol, assumed: Assumed) -> NearTime:
    """Expected time above 90 % of VO2max with the usual rounds."""
    asked = assumed.target_fraction * beside_four_minutes(protocol.work_s)
    low, middle, high = (_near(protocol, assumed.tau_s, asked + off) for off in (-TARGET_OFF, 0.0, TARGET_OFF))
    first = middle[1]
    figures = (
        Figure("rounds", f"{protocol.rounds} × {duration_words(protocol.work_s)}"),
        Figure("time constant", f"{assumed.tau_s:g} s, as measured in people {assumed.who}"),
        Figure("rounds ask for", f"{asked * 100:.0f} % of VO2max; range from 5 % less to 5 % more"),
        Figure("recoveries, warm-up", f"{RECOVERY_FRACTION * 100:.0f} %, {START_FRACTION * 100:.0f} % of VO2max"),
        Figure("first above 90 %", "never" if first is None else f"after {first:.0f} s of the rounds"),
        Figure("measured", "4 × 3 min 328 s, 24 × 30/30 s 201 s (Fleckenstein et al. 2025)"),
    )
    why = Why(
        figures,
        _NEAR_RULE,
        Provenance.HOUSE,
        "George et al. 2018; Seiler & Sjursen 2004; Seiler & Sylta 2017",
        "Another time constant; a session measured with a gas analyser.",
        ("time_near_vo2max",),
    )
    work_s = protocol.rounds * protocol.work_s
    return NearTime(middle[0], low[0], high[0], middle[0] / work_s, why)


def beside_four_minutes(work_s: float) -> float:
    """What a round of a length asks for beside one of 4 min: as measured, and between lengths by their logarithm.

    Source: house choice to lay two studies end to end; shorter than a minute is taken as a minute.
    """
    lengths, shares = zip(*_BESIDE_FOUR_MIN, strict=True)
    return float(np.interp(math.log(work_s), [math.log(one) for one in lengths], shares))


def _near(protocol: IntervalProtocol, tau_s: float, target_fraction: float) -> tuple[float, float | None]:
    """Seconds above 90 % in all sets, and when it is passed first."""
    in_set = protocol.set_of or protocol.rounds
    whole, over = divmod(protocol.rounds, in_set)
    found = _rounds_near(protocol, in_set, tau_s, target_fraction)
    rest = _rounds_near(protocol, over, tau_s, target_fraction).value if over else 0.0
    return whole * found.value + rest, found.first_reached_after_s


def _rounds_near(protocol: IntervalProtocol, rounds: int, tau_s: float, target_fraction: float) -> TimeNearVo2max:
    return time_near_vo2max(
        rounds=rounds,
        work_s=protocol.work_s,
        recovery_s=protocol.recovery_s,
        tau_s=tau_s,
        target_fraction=target_fraction,
        recovery_fraction=RECOVERY_FRACTION,
        start_fraction=START_FRACTION,
    )


def _for_client(protocol: IntervalProtocol, asker: Asker, rules: Rules, at: datetime) -> ForClient:
    if asker.mode not in protocol.modes:
        return ForClient(None, f"Not done as {NOUNS[asker.mode]}.", None, (), None)
    session = _session(protocol, asker, rules, at)
    today, known = session.planned_on, asker.known
    found = tuple(one for one in breaches(known, [session], today, rules) if one.kind in _TOLD)
    fits_why = Why(
        (
            Figure("rounds", counted(session.rounds, "round")),
            Figure("as rounds of 4 min", str(rounds_worth(session))),
        ),
        _FITS_RULE,
        Provenance.COMMON_PRACTICE,
    )
    may = may_train_within(stopped_now(known, today, rules), session)
    refused = [one.sentence for one in found if one.level is Level.REFUSES]
    if may.is_paused or refused:
        return ForClient(session, " ".join([may.sentence] if may.is_paused else refused), None, found, fits_why)
    target = None if protocol.has_sets else _target(session, asker, rules)
    return ForClient(session, "", target, found, fits_why)


def _session(protocol: IntervalProtocol, asker: Asker, rules: Rules, at: datetime) -> PlannedSession:
    """The session as it would be planned for today."""
    client = asker.known.client
    today = local_day(at, client.zone)
    content = protocol_content(
        protocol,
        asker.mode,
        protocol.rounds,
        age=age_on(client.born_on, today),
        first_of_phase=is_first_of_phase(asker.known, today),
        rules=rules,
    )
    return new_session(content, client_id=client.id, number=1, on=today, mode=asker.mode, place=None, at=at)


def _target(session: PlannedSession, asker: Asker, rules: Rules) -> Option:
    scene = target_scene(
        asker.known,
        session,
        asker.measured,
        today=session.planned_on,
        rules=rules,
        wishes=asker.wishes,
        judged=asker.judged,
    )
    return proposed_of(target_options(scene))
