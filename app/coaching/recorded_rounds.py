"""The rounds read from a recording as they are kept, and how they stand beside rounds that were typed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from app.coaching.people import Mode
from app.coaching.recordings import Recording
from app.coaching.round_figures import figures_of_rounds, rounds_done
from app.coaching.rounds import find_rounds
from app.coaching.rounds_values import RoundEdges, RoundsAsked, Sureness
from app.coaching.session_logs import RoundDone
from app.physiology.values import Missing

#: Which version of finding rounds this is; what an earlier one read is read again.
ROUNDS_VERSION = 3
#: What a recording knows of a round and a person hardly does; a typed figure stays all the same.
_MEASURED = ("power_w", "speed_m_per_s", "heart_rate_end_bpm", "heart_rate_mean_bpm", "cadence_per_min")
#: Longer or quicker rounds than an entry may hold are no rounds.
_LONGEST_S, _FASTEST_M_PER_S = 7200, 20.0


def rounds_recorded(
    recording: Recording,
    *,
    mode: Mode,
    asked: RoundsAsked | None,
    by_hand: Sequence[RoundEdges] = (),
    heart_rate_counts: bool = True,
) -> tuple[RoundDone, ...]:
    """The rounds a recording shows, as an entry keeps them; none where it shows none, or nobody can be sure."""
    found = find_rounds(recording, mode=mode, asked=asked, by_hand=by_hand, heart_rate_counts=heart_rate_counts)
    if isinstance(found, Missing) or found.sureness is Sureness.UNSURE:
        return ()
    output, figures = figures_of_rounds(recording, found, mode=mode, heart_rate_counts=heart_rate_counts)
    rounds = rounds_done(output, figures)
    return rounds if all(_can_be(one) for one in rounds) else ()


def together(typed: Sequence[RoundDone], recorded: Sequence[RoundDone]) -> tuple[RoundDone, ...]:
    """Typed and recorded rounds as one: the recorded ones where nobody typed any, else what was typed, with the
    figures nobody typed filled in where both count the same rounds."""
    if not typed:
        return tuple(recorded)
    if [one.number for one in typed] != [one.number for one in recorded]:
        return tuple(typed)
    return tuple(_filled_in(one, other) for one, other in zip(typed, recorded, strict=True))


def to_json(rounds: Sequence[RoundDone]) -> str:
    """The rounds as JSON text; `from_json` gives them back. Effort and posture are a person's and never in it."""
    return json.dumps(
        [
            {
                "number": one.number,
                "s": one.duration_s,
                "complete": one.is_complete,
                **{name: getattr(one, name) for name in _MEASURED},
            }
            for one in rounds
        ]
    )


def from_json(text: str) -> tuple[RoundDone, ...]:
    """The rounds from their JSON text, which this desk wrote."""
    return tuple(
        RoundDone(
            number=int(raw["number"]),
            duration_s=int(raw["s"]),
            is_complete=bool(raw["complete"]),
            effort=None,
            **{name: raw[name] for name in _MEASURED},
        )
        for raw in json.loads(text)
    )


def _filled_in(typed: RoundDone, recorded: RoundDone) -> RoundDone:
    missing = {name: getattr(recorded, name) for name in _MEASURED if getattr(typed, name) is None}
    return replace(typed, **missing)


def _can_be(one: RoundDone) -> bool:
    return one.duration_s <= _LONGEST_S and (one.speed_m_per_s is None or one.speed_m_per_s <= _FASTEST_M_PER_S)
