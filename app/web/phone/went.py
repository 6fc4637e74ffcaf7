"""How a client's own session went, in plain words and drawings of a phone's width."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.coaching.execution_values import Blame, CountsAs, Execution, Verdict
from app.coaching.round_figures import RoundFigures
from app.coaching.rounds_differ import rounds_that_differ
from app.coaching.session_logs import Answer
from app.coaching.session_reading import SessionReading
from app.usecases.recordings.reading import read_log
from app.web.charts.scale import NARROW, said
from app.web.deps import Desk
from app.web.went_drawings import clock_of, overlay_of, trace_of

_TO_THE_CLIENT = {
    Verdict.EVEN: "Your rounds were even from the first to the last. That is the aim.",
    Verdict.STARTED_HOT: (
        "You began faster than you went on. The first half minute is meant to feel almost silly-easy."
    ),
    Verdict.SAGGED: "The middle rounds dipped and the last came back.",
    Verdict.FADED: "The rounds grew weaker towards the end. A calmer beginning carries further.",
    Verdict.BUILT: "Each round grew a little stronger. Well kept back at the beginning.",
    Verdict.UNEVEN: "The rounds went up and down. One steady effort for all of them is the aim.",
    Verdict.CUT_SHORT: "Not every round was done in full. Stopping is always all right; your coach looks at it.",
    Verdict.NOT_SEEN: "How even your rounds were cannot be seen this time.",
}


@dataclass(frozen=True, slots=True)
class PhoneWent:
    """How it went on a client's phone."""

    words: tuple[str, ...]
    overlay: Markup
    trace: Markup
    #: One line a round of the recording; empty without one, as the entry's own rounds stand there already.
    round_lines: tuple[str, ...]


def rounds_to_show(desk: Desk, log_id: int) -> PhoneWent | None:
    """A client's own session in plain words and drawings of a phone's width; None where there is nothing to say."""
    found = read_log(desk.db, actor=desk.person, log_id=log_id, rules=desk.rules, now=desk.now)
    reading = found.reading
    if reading.judged is None:
        return None
    differ = rounds_that_differ(reading.log.rounds, reading.rounds) if reading.recording else ()
    return PhoneWent(
        words=_words(reading.log.answer, reading.judged, differ),
        overlay=overlay_of(reading, "went-rounds", NARROW),
        trace=trace_of(reading, "went-trace", NARROW),
        round_lines=tuple(_phone_line(one, reading) for one in reading.rounds) if reading.recording else (),
    )


def _words(answer: Answer, judged: Execution, differ: Sequence[str]) -> tuple[str, ...]:
    """How it went; nothing is praised on an entry that says otherwise, or on rounds that are in doubt."""
    if answer is Answer.EASY_VERSION:
        return ("You entered the easy version, so rounds are not judged. It counts as kept.", *differ)
    if not differ:
        return client_words(judged)
    return ("Your entry and the recording do not say the same:", *differ, "If the entry is wrong, change it below.")


def _phone_line(one: RoundFigures, reading: SessionReading) -> str:
    parts = [clock_of(one.duration_s)]
    parts += [said(one.output, reading.output, reading.log.mode)] if one.output else []
    parts += [f"heart rate at the end {one.heart_rate_end_bpm:.0f}"] if one.heart_rate_end_bpm else []
    return f"Round {one.number}: {', '.join(parts)}"


def client_words(judged: Execution) -> tuple[str, ...]:
    """How it went in a client's plain words: what was, never what to do next."""
    if judged.blame is Blame.TARGET_WRONG:
        return ("The target was too high that day. That is not your mistake, and saying so helps.",)
    if judged.counts_as is CountsAs.NEITHER:
        return (_TO_THE_CLIENT[judged.verdict], "Something got in the way that day, so it counts neither way.")
    return (_TO_THE_CLIENT[judged.verdict],)
