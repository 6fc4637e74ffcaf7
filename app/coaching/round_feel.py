"""How a round should feel, stretch by stretch, in the client's words, by the length of the round and how it is done.

Source: common practice, no published source.
"""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.people import Mode
from app.coaching.steps import SECONDS_A_MINUTE

#: Rounds under a minute and a half are over before breath has caught up; they are told as one.
SHORT_ROUND_S = 90
#: From here on a round has a third minute worth naming before its last ninety seconds.
LONG_ROUND_S = 210
LAST_S = 90
FIRST_S = 30


@dataclass(frozen=True, slots=True)
class Feel:
    """One stretch of a round and how it should feel."""

    when: str
    say: str


_CUES = {
    Mode.RUN: "Quick, light steps: as many a minute in the last round as in the second. Shoulders low, hands loose.",
    Mode.WALK: "Long back, short quick steps; drive the arms before you lengthen the stride.",
    Mode.TREADMILL: "Hands off the rails, clip on. If you have to hold on, take a per cent of incline off.",
    Mode.RIDE: "Seated, the same turn of the legs in the last round as in the second; hands and jaw loose.",
    Mode.INDOOR_RIDE: "Seated, the same turn of the legs in the last round as in the second; hands and jaw loose.",
    Mode.ROW: "Legs first, then back, then arms; the same strokes a minute in the last round as in the second.",
    Mode.SWIM: "Count strokes a length in the second round and in the last: they should agree.",
}
_ANY_CUE = "Keep the movement of the second round to the end: same rhythm, loose hands and jaw."
_DIPS = frozenset({Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW})


def technique_cue(mode: Mode) -> str:
    """The one thing to hold while it gets hard."""
    return _CUES.get(mode, _ANY_CUE)


def round_feel(work_s: int, mode: Mode, *, first_of_phase: bool) -> tuple[Feel, ...]:
    """How a round of so many seconds should feel, in order: its start, its middle, its end, and right after the last.

    first_of_phase: in the first sessions a round ends at effort 6, later at 7.
    """
    if work_s < SHORT_ROUND_S:
        return (*_short(work_s), *_after(mode))
    end = 6 if first_of_phase else 7
    return (
        Feel(
            "First 30 seconds",
            "Almost silly-easy: effort 4. It should hardly hurt; if it does, you started too fast.",
        ),
        *_middle(work_s, mode),
        Feel(
            f"Last {_span(min(LAST_S, work_s - 2 * FIRST_S))}",
            f"Here it gets hard: effort {end}, never above 8. As fast as before, not faster. At the end of the last "
            "round you could have gone 30 seconds more.",
        ),
        *_after(mode),
    )


def _middle(work_s: int, mode: Mode) -> tuple[Feel, ...]:
    if work_s < LONG_ROUND_S:
        return (Feel("The middle", "Breath deepens, sentences get short. Steady: no faster than you began."),)
    begins_s = work_s - LAST_S
    settle = Feel(
        _from_to(FIRST_S, min(2 * SECONDS_A_MINUTE, begins_s)), "Breath deepens, sentences get short. Steady."
    )
    if begins_s <= 2 * SECONDS_A_MINUTE:
        return (settle,)
    dip = " A small dip here that comes back in the fourth minute is usual." if mode in _DIPS else ""
    third = Feel("The third minute", f"Only a few words now. Hold it, do not push.{dip}")
    if begins_s <= 3 * SECONDS_A_MINUTE:
        return settle, third
    return (
        settle,
        third,
        Feel(_from_to(3 * SECONDS_A_MINUTE, begins_s), "The same again, minute by minute: few words, no push."),
    )


def _short(work_s: int) -> tuple[Feel, ...]:
    return (
        Feel(
            "The first rounds",
            f"Brisk and light for {work_s} seconds, never a sprint. You could still say a sentence.",
        ),
        Feel("The middle rounds", "You would rather not talk. Same speed as the first."),
        Feel("The last rounds", "Only a few words, effort 7 at most, and form as in the first."),
    )


def _after(mode: Mode) -> tuple[Feel, ...]:
    upright = (
        "Hold the rail, breathe, no sinking under: upright is the aim."
        if mode is Mode.SWIM
        else "Stay upright and keep moving; that is the aim. Having to bend or sit says it was too fast: tell us."
    )
    return Feel("Right after the last", upright), Feel("Hold on to", technique_cue(mode))


def _span(seconds: int) -> str:
    return f"{seconds} seconds"


def _from_to(begins_s: int, ends_s: int) -> str:
    return f"Minute {_minute(begins_s)} to {_minute(ends_s)}"


def _minute(seconds: int) -> str:
    whole, rest = divmod(seconds, SECONDS_A_MINUTE)
    return f"{whole}:{rest:02d}"
