"""A recording read on the command line: its series, the rounds found in it, and how they were executed."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

import numpy as np

from app.coaching.execution import Told, execution
from app.coaching.execution_values import VERDICT_WORDS, Execution
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.coaching.recording_series import Laid, lay
from app.coaching.recordings import Recording, Series
from app.coaching.round_figures import figures_of_rounds
from app.coaching.rounds import find_rounds
from app.coaching.rounds_signal import moves_like_a_ride
from app.coaching.rounds_values import FoundRounds, RoundsAsked
from app.coaching.rules import Rules
from app.coaching.session_renderings import clock_words
from app.coaching.set_figures import figures_of_set
from app.files import recordings
from app.physiology.values import Missing

_WELL = 0
_DECIMALS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """A recording with its rounds and how they went; or why there are none."""

    laid: Laid
    rounds: FoundRounds | Missing
    execution: Execution | None


def take(one: argparse.ArgumentParser, *, now: Callable[[], datetime]) -> None:
    """What the command takes; now: the clock that tells whether the recorder's was set."""
    one.add_argument("file", type=Path, metavar="FILE", help="GPX, or a table in CSV")
    one.add_argument("--rounds", type=int, metavar="N", help="rounds that were planned")
    one.add_argument("--work", type=int, metavar="S", help="seconds of work in each")
    one.add_argument("--recovery", type=int, metavar="S", help="seconds of recovery after each")
    one.add_argument(
        "--mode",
        type=Mode,
        choices=list(Mode),
        metavar="MODE",
        help=f"moved by: {', '.join(Mode)}; else told by the channels",
    )
    one.add_argument(
        "--say",
        action="append",
        default=[],
        metavar="WHAT=ANSWER",
        help="what a table does not say by itself, such as speed_m_per_s=km/h",
    )
    one.add_argument("--json", action="store_true", help="answer in JSON")
    one.set_defaults(command=partial(read_recording, now=now))


def read_recording(given: argparse.Namespace, *, now: Callable[[], datetime]) -> int:
    """Read one file and print what was understood. Raises: DomainError with a sentence for a bad file."""
    asked = _asked(given)
    laid = _laid(given.file, _answers(given.say), now())
    mode = given.mode or _mode_of(laid.recording)
    found = reading(laid, asked=asked, mode=mode)
    print(json.dumps(_data(found), allow_nan=False) if given.json else _text(found))
    return _WELL


def reading(laid: Laid, *, asked: RoundsAsked | None, mode: Mode) -> Reading:
    """The rounds of a recording and how they were executed, as far as a recording alone can say."""
    recording = laid.recording
    rounds = find_rounds(recording, mode=mode, asked=asked)
    if isinstance(rounds, Missing):
        return Reading(laid, rounds, None)
    output, figures = figures_of_rounds(recording, rounds, mode=mode)
    whole = figures_of_set(output, figures, asked=asked)
    judged = execution(
        whole,
        Told(),
        mode=mode,
        rules=Rules(),
        rounds_asked=len(asked.work_s) if asked else None,
        speed_source=recording.speed_source,
    )
    return Reading(laid, rounds, judged)


def _laid(path: Path, answers: Mapping[str, str], now: datetime) -> Laid:
    try:
        with path.open("rb") as source:
            content = recordings.whole(source)
    except OSError as problem:
        raise DomainError(
            f"{path} cannot be read: {(problem.strerror or 'no reason is given').lower()}."
        ) from problem
    found = recordings.read(content, answers)
    if found.samples is None:
        asked = "; ".join(
            f"{one.sentence} --say {one.name}={'|'.join(value for value, _ in one.choices)}"
            for one in found.questions
        )
        raise DomainError(f"The table does not say everything by itself. {asked}")
    return lay(found.samples, latest_at=now)


def _answers(said: Sequence[str]) -> dict[str, str]:
    answers = {}
    for one in said:
        what, sign, answer = one.partition("=")
        if not sign:
            raise DomainError(f"“{one[:60]}” is not written as what=answer.")
        answers[what] = answer
    return answers


def _asked(given: argparse.Namespace) -> RoundsAsked | None:
    """The rounds that were planned. Raises: DomainError unless all three are given, or none."""
    parts = (given.rounds, given.work, given.recovery)
    if all(one is None for one in parts):
        return None
    if any(one is None for one in parts):
        raise DomainError("--rounds, --work and --recovery belong together.")
    return RoundsAsked.alike(*parts)


def _mode_of(recording: Recording) -> Mode:
    """What was moved by, told from what was recorded: power is a bike's, one without speed stands indoors."""
    if recording.power_w is not None:
        return Mode.INDOOR_RIDE if recording.speed_m_per_s is None else Mode.RIDE
    return Mode.RIDE if moves_like_a_ride(recording.speed_m_per_s) else Mode.RUN


def _data(found: Reading) -> dict[str, object]:
    recording, judged = found.laid.recording, found.execution
    return {
        "series": _series(found.laid),
        "rounds": [] if isinstance(found.rounds, Missing) else _rounds(recording, found.rounds),
        "verdict": None if judged is None else judged.verdict.value,
        "reasons": _reasons(found),
    }


def _series(laid: Laid) -> dict[str, object]:
    recording = laid.recording
    return {
        "started_at": recording.started_at.isoformat() if recording.started_at else None,
        "duration_s": recording.duration_s,
        "speed_source": recording.speed_source,
        "time_s": recording.time_s.tolist(),
        **{name: _plain(values) for name in recording.channels if (values := recording.channel(name)) is not None},
        "faults": [
            {
                "kind": one.kind,
                "start_s": one.start_s,
                "end_s": one.end_s,
                "channel": one.channel,
                "says": one.sentence,
            }
            for one in recording.faults
        ],
        "notes": list(laid.notes),
    }


def _plain(values: Series) -> list[float | None]:
    return [None if np.isnan(one) else round(float(one), _DECIMALS) for one in values]


def _rounds(recording: Recording, found: FoundRounds) -> list[dict[str, object]]:
    return [
        {
            "number": one.number,
            "start_s": one.start_s,
            "end_s": one.end_s,
            "asked_number": one.asked_number,
            "asked_s": one.asked_s,
            "mean": _means(recording, one.start_s, one.end_s),
        }
        for one in found.rounds
    ]


def _means(recording: Recording, start_s: float, end_s: float) -> dict[str, float]:
    """Each channel's mean over a round, where it is known at all."""
    found = {}
    for name in recording.channels:
        values = recording.channel(name)
        part = values[int(start_s) : int(np.ceil(end_s))] if values is not None else np.empty(0)
        known = part[~np.isnan(part)]
        if known.size:
            found[name] = round(float(known.mean()), _DECIMALS)
    return found


def _reasons(found: Reading) -> list[str]:
    """Why the rounds are these, and why they went so, in sentences."""
    if isinstance(found.rounds, Missing):
        return [found.rounds.reason]
    said = list(found.rounds.because)
    if found.execution is not None:
        said.append(found.execution.sentence)
        said += [f"{one.name}: {one.text}" for one in found.execution.reasons]
    return said


def _text(found: Reading) -> str:
    recording = found.laid.recording
    lines = [f"{clock_words(int(recording.duration_s))} recorded: {', '.join(recording.channels)}."]
    lines += [one.sentence for one in recording.faults]
    lines += found.laid.notes
    if not isinstance(found.rounds, Missing):
        lines += [
            f"Round {one.number}: {clock_words(int(one.start_s))} to {clock_words(int(one.end_s))}."
            for one in found.rounds.rounds
        ]
    if found.execution is not None:
        lines.append(f"Verdict: {VERDICT_WORDS[found.execution.verdict]}.")
    return "\n".join((*lines, *_reasons(found)))
