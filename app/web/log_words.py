"""What an entry says, line by line, as the phone and the coach's side read it back."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.effort import TALK_WORDS
from app.coaching.prescriptions import KIND_WORDS, PlannedSession, SessionKind
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.words import done_minutes_words
from app.web.log_form import ANSWERS, KINDS, MODES, POSTURES, WHY_NOT

ANSWER_WORDS = {option[0]: option[1] for option in ANSWERS}
POSTURE_WORDS = dict(POSTURES)
HURT_WORDS = {True: "hurt", False: "did not hurt"}
WHY_NOT_WORDS = dict(WHY_NOT)
MODE_WORDS = dict(MODES)
_KINDS_SAID = {kind: words.capitalize() for kind, words in KIND_WORDS.items()} | dict(KINDS)
FELT_HARD = "It felt hard"


@dataclass(frozen=True, slots=True)
class Said:
    """One line of what was understood."""

    name: str
    text: str


def title_of(log: SessionLog) -> str:
    """What an entry goes by when no plan names it: "Walk, easy, 40 min"."""
    minutes = () if log.minutes is None else (done_minutes_words(log.minutes),)
    kind = _kind_said(log)
    return ", ".join((MODE_WORDS[log.mode], kind[0].lower() + kind[1:], *minutes))


def said_lines(log: SessionLog, planned: PlannedSession | None = None) -> tuple[Said, ...]:
    """What an entry says, line by line."""
    is_extra = log.planned_session_id is None and log.answer is Answer.SOMETHING_ELSE
    lines = (
        [Said("Planned", "no, an extra outing")]
        if is_extra
        else [Said("What became of it", ANSWER_WORDS[log.answer])]
    )
    if log.answer is not Answer.NOT_DONE:
        lines += _done_lines(log)
    rounds = _rounds_words(log, planned)
    if rounds:
        lines.append(Said("Rounds", rounds))
    if log.posture is not None:
        lines.append(Said("After the last round", POSTURE_WORDS[log.posture]))
    if log.first_30_hurt is not None:
        lines.append(Said("First half minute of a round", HURT_WORDS[log.first_30_hurt]))
    if log.why_not is not None:
        lines.append(Said("Why not", WHY_NOT_WORDS[log.why_not]))
    if log.spoilt_by is not None:
        lines.append(Said("Spoilt by", log.spoilt_by.value))
    if log.note:
        lines.append(Said("Your note", log.note))
    return tuple(lines)


def _kind_said(log: SessionLog) -> str:
    """What was said, and no rounds where none were spoken of."""
    is_without_rounds = log.answer is Answer.SOMETHING_ELSE and not log.rounds
    return FELT_HARD if is_without_rounds and log.kind is SessionKind.INTERVALS else _KINDS_SAID[log.kind]


def _rounds_words(log: SessionLog, planned: PlannedSession | None) -> str | None:
    asked = planned.rounds if planned is not None and log.answer is not Answer.SOMETHING_ELSE else 0
    if log.rounds:
        whole = sum(one.is_complete for one in log.rounds)
        cut = len(log.rounds) - whole
        done = f"{whole} of {max(asked, len(log.rounds))} rounds in full"
        return f"{done}, {cut} more cut short" if cut else done
    return f"all {asked}, as planned" if asked and log.answer is Answer.AS_PLANNED else None


def _done_lines(log: SessionLog) -> list[Said]:
    """What it was, how long and how it felt; what was not said is named too."""
    minutes = "not said" if log.minutes is None else done_minutes_words(log.minutes)
    talk = "not said" if log.talk is None else TALK_WORDS[log.talk]
    effort = "not said" if log.effort is None else f"{log.effort:g}"
    lines = [
        Said("Kind", _kind_said(log)),
        Said("Moved by", MODE_WORDS[log.mode]),
        Said("Time", minutes),
        Said("In the main part", talk),
        Said("Effort, 0 to 10", effort),
    ]
    if log.felt_all_out:
        lines.append(Said("Felt", "all out, like a race"))
    if log.heavy_legs:
        lines.append(Said("Legs", "heavy work: leg strength or a long hill"))
    return lines
