"""Heart rate as a check on the end of a round: never in the first sessions, never out of a formula.

Source: common practice, no published source; the literature aims higher, at 90 to 95 % of a measured maximum.
"""

from __future__ import annotations

import math

from app.coaching.measured import HOW_WORDS, Measured, MeasuredKind
from app.coaching.people import HeartRateUse, Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_by_words import effort_first
from app.coaching.target_values import Option, TargetScene, missing_option
from app.coaching.weeks import day_words
from app.coaching.words import counted

#: In so many hard sessions heart rate is recorded only.
RECORDED_ONLY_SESSIONS = 3
LOW_FRACTION, HIGH_FRACTION = 0.85, 0.92
#: The check stands in the last ninety seconds, and not before the second minute is over.
LAST_S, NOT_BEFORE_S = 90, 120
#: A window shorter than this says nothing (house choice).
SHORTEST_WINDOW_S = 30
_ON_FOOT = frozenset({Mode.RUN, Mode.WALK, Mode.TREADMILL})
_WHEELS = frozenset({Mode.RIDE, Mode.INDOOR_RIDE})
_RULE = (
    "Recorded only in the first three sessions, never from a formula alone, then the last 90 seconds of a round at "
    "85 to 92 % of a measured maximum, as a check; off when not reliable. Effort and talk still lead."
)


def window_s(work_s: int) -> tuple[int, int] | None:
    """From which second of a round to its end heart rate is looked at; None for rounds too short for it."""
    begins = max(NOT_BEFORE_S, work_s - LAST_S)
    return (begins, work_s) if work_s - begins >= SHORTEST_WINDOW_S else None


def heart_rate_option(scene: TargetScene) -> Option:
    """A range of heart rate for the end of a round, from a measured maximum, or everything missing for it."""
    title = "Heart rate, as a check"
    highest = scene.newest(MeasuredKind.HIGHEST_HEART_RATE, None)
    window = window_s(scene.asked.work_s)
    missing = _missing(scene, highest, window)
    if missing or highest is None or window is None:
        return missing_option("heart_rate", TargetForm.HEART_RATE, title, missing, rule=_RULE)
    low, high = heart_rate_range(highest.value)
    why = Why(
        (
            Figure("highest heart rate measured", f"{highest.value:.0f} beats/min"),
            Figure("when and how", f"{day_words(highest.measured_on)}, {HOW_WORDS[highest.how]}"),
            Figure("85 to 92 % of it", f"{low:.0f} to {high:.0f} beats/min"),
            Figure("looked at", f"from {_clock(window[0])} to {_clock(window[1])} of a round"),
        ),
        _RULE,
        Provenance.COMMON_PRACTICE,
        None,
        "A change of medicine, a higher measured maximum, or a heart rate that is not reliable any more.",
    )
    basis = f"highest heart rate measured on {day_words(highest.measured_on)}"
    return Option(
        "heart_rate",
        TargetForm.HEART_RATE,
        title,
        SessionTarget(TargetForm.HEART_RATE, None, low, high, (), None, basis, why, highest.id),
        (),
        f"{low:.0f} to {high:.0f} beats a minute in the last {window[1] - window[0]} seconds of each round.",
        "It follows effort by a minute or two, and heat, sleep and coffee move it by several beats: a check, no aim.",
        why,
    )


def heart_rate_range(highest_bpm: float) -> tuple[float, float]:
    """85 to 92 % of a measured maximum, in whole beats inside the range."""
    return float(math.ceil(LOW_FRACTION * highest_bpm - 1e-9)), float(math.floor(HIGH_FRACTION * highest_bpm + 1e-9))


def _missing(scene: TargetScene, highest: Measured | None, window: tuple[int, int] | None) -> tuple[str, ...]:
    found = [
        effort_first(scene) if scene.is_paced_by_effort_only else "",
        _not_trusted(scene),
        _too_early(scene),
        _not_measured(scene, highest),
        "rounds too short: heart rate arrives after two minutes" if window is None else "",
        "no heart rate in the water" if scene.mode is Mode.SWIM else "",
    ]
    return tuple(one for one in found if one)


def _not_trusted(scene: TargetScene) -> str:
    if scene.heart_rate.is_off:
        return scene.heart_rate.sentence
    if scene.history.client.heart_rate_use is not HeartRateUse.RELIABLE:
        return "it is not recorded that heart rate is reliable for this client"
    return ""


def _too_early(scene: TargetScene) -> str:
    if scene.is_brought_in or scene.hard_done >= RECORDED_ONLY_SESSIONS:
        return ""
    done = counted(scene.hard_done, "hard session")
    return f"recorded only in the first {RECORDED_ONLY_SESSIONS} hard sessions; {done} done"


def _not_measured(scene: TargetScene, highest: Measured | None) -> str:
    if highest is None:
        return "no measured maximum; a formula from age is 10 to 12 beats away for many, and gives no target"
    if stale := scene.gone_stale(highest):
        return f"the maximum was measured on {day_words(highest.measured_on)}, {stale}"
    if not scene.heart_rate.may_compare(highest.measured_on, scene.day):
        return f"a medicine that may act on heart rate changed after {day_words(highest.measured_on)}"
    if not _is_alike(highest.mode, scene.mode):
        return "the maximum was measured another way of moving, where it lies elsewhere"
    return ""


def _is_alike(measured: Mode, asked: Mode) -> bool:
    return measured is asked or any({measured, asked} <= group for group in (_ON_FOOT, _WHEELS))


def _clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"
