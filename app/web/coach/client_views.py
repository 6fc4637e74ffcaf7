"""The parts of a client's page as values that templates only print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from app.coaching.condition import STATE_WORDS, evidence_from
from app.coaching.consents import current_consent, missing_words
from app.coaching.effort import TALK_WORDS
from app.coaching.matching import STATUS_WORDS, Pair, Status, WeekComparison
from app.coaching.people import ORIGIN_WORDS, Visibility, age_on
from app.coaching.phases import PHASE_WORDS, PhaseDecision, current_phase, waiting_decision
from app.coaching.prescriptions import KIND_WORDS
from app.coaching.reasons import DomainError
from app.coaching.screening import BloodPressure, Clearance, ConsentKind
from app.coaching.screening_decision import newest_answers, newest_paper
from app.coaching.session_logs import SessionLog
from app.coaching.words import counted, short_day
from app.usecases.client_file import ClientFile
from app.web.coach import client_words as words
from app.web.filters import minutes

SESSIONS_SHOWN = 12
READINESS_SHOWN = 14
READINESS_LABELS = ("Sleep", "Fatigue", "Stress", "Sore", "Mood", "Slept, h", "Rest, bpm")
NOTES_SHOWN = 8
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
VISIBILITY_WORDS = {
    Visibility.PRIVATE: "private",
    Visibility.CLIENT: "to the client",
    Visibility.CLINIC: "may go to the clinic",
}


@dataclass(frozen=True, slots=True)
class Line:
    """A day, a few words, and what stands beside them."""

    day: str
    text: str
    beside: str = ""
    extra: str = ""


@dataclass(frozen=True, slots=True)
class EvidenceLine:
    """One condition as it stood when a decision was taken."""

    title: str
    state: str
    value: str
    limit: str


@dataclass(frozen=True, slots=True)
class DecisionView:
    """One step of the story of phases."""

    id: int
    headline: str
    who: str
    reason: str
    attested_by: str
    evidence: tuple[EvidenceLine, ...]
    is_now: bool
    is_waiting: bool


@dataclass(frozen=True, slots=True)
class SessionView:
    """One entry in the list of last sessions."""

    id: int
    day: str
    what: str
    minutes: str
    effort: str
    talk: str
    rounds: str
    origin: str


@dataclass(frozen=True, slots=True)
class WeekView:
    """One week of the plan, a line a day."""

    title: str
    summary: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class ReadinessView:
    """One readiness note as a row."""

    day: str
    items: tuple[str, ...]
    remarks: str


def lede(file: ClientFile) -> str:
    """Age, phase, state and coach in one sentence or two."""
    client, history = file.head.client, file.history
    age = age_on(client.born_on, file.head.today)
    parts = ["Age unknown" if age is None else str(age)]
    since = history.phase_since_on
    if history.phase is None or since is None:
        parts.append("No phase decided yet")
    else:
        week = max(0, (file.head.today - since).days) // 7 + 1
        name = PHASE_WORDS[history.phase]
        parts.append(f"{name[0].upper()}{name[1:]} since {words.long(since)}, week {week}")
    parts.append(client.state.value.replace("_", " ").capitalize())
    return f"{'. '.join(parts)}. Coached by {file.name_of(client.coach_id)}."


def block_end(file: ClientFile) -> str:
    """When the running block ends, and whether another follows."""
    today = file.head.today
    running = [b for b in file.history.blocks if b.starts_on <= today < b.starts_on + timedelta(weeks=b.weeks)]
    later = [block for block in file.history.blocks if block.starts_on > today]
    if not running:
        return f"The next block begins {words.short(later[0].starts_on)}." if later else "No block is planned."
    end = running[-1].starts_on + timedelta(weeks=running[-1].weeks, days=-1)
    follows = "another follows" if later else "nothing follows yet"
    return f"This block ends {words.short(end)}; {follows}."


def contact_sentence(file: ClientFile) -> str:
    """When coach and client last spoke."""
    last = file.silence.last_contact_on
    if last is None:
        return "No contact is kept yet."
    days = (file.head.today - last).days
    ago = "today" if days == 0 else ("yesterday" if days == 1 else f"{days} days ago")
    return f"You last spoke {ago}."


def story(file: ClientFile) -> tuple[DecisionView, ...]:
    """The phase history, newest first."""
    now = current_phase(file.history.decisions)
    return tuple(_decision(file, one, now) for one in reversed(file.history.decisions))


def _decision(file: ClientFile, one: PhaseDecision, now: PhaseDecision | None) -> DecisionView:
    zone = file.head.client.zone
    waiting = waiting_decision(file.history.decisions)
    return DecisionView(
        id=one.id,
        headline=f"{words.DECISION_WORDS[one.kind]} {PHASE_WORDS[one.phase]}, since {words.long(one.since_on)}",
        who=f"{file.name_of(one.person_id)}, {words.at_local(one.decided_at, zone)}",
        reason=one.reason,
        attested_by=one.attested_by or "",
        evidence=_evidence(one.evidence_json),
        is_now=now is not None and one.id == now.id,
        is_waiting=waiting is not None and waiting.id == one.id,
    )


def _evidence(text: str) -> tuple[EvidenceLine, ...]:
    try:
        conditions = evidence_from(text)
    except DomainError:
        return (EvidenceLine("kept evidence", "cannot be read here", "", ""),)
    return tuple(EvidenceLine(c.title, STATE_WORDS[c.state], c.value, c.limit) for c in conditions)


def sessions(file: ClientFile) -> tuple[SessionView, ...]:
    """The last entries, newest first."""
    return tuple(_session(log) for log in reversed(file.history.logs[-SESSIONS_SHOWN:]))


def last_session(file: ClientFile) -> str:
    """The newest entry in a sentence; empty when there is none."""
    if not file.history.logs:
        return ""
    one = _session(file.history.logs[-1])
    said = ", ".join(part for part in (one.minutes, f"effort {one.effort}" if one.effort else "", one.talk) if part)
    return f"The last on {one.day}: {one.what}{f', {said}' if said else ''}."


def _session(log: SessionLog) -> SessionView:
    what = f"{KIND_WORDS[log.kind]}, {words.MODE_WORDS[log.mode]}"
    if log.minutes is None:
        why = f": {words.WHY_NOT_WORDS[log.why_not]}" if log.why_not else ""
        what = f"{what}, not done{why}"
    memory = ", from memory" if log.from_memory else ""
    return SessionView(
        id=log.id,
        day=words.short(log.done_on),
        what=what,
        minutes=words.minutes_words(log.minutes),
        effort="" if log.effort is None else f"{log.effort:g}",
        talk=TALK_WORDS[log.talk] if log.talk else "",
        rounds=words.rounds_words(log),
        origin=f"{ORIGIN_WORDS[log.origin]}{memory}",
    )


def week(title: str, compared: WeekComparison) -> WeekView:
    """One week, planned beside done; strength is listed, but left out of the sums."""
    lines = tuple(_pair(pair) for pair in compared.pairs)
    planned, done = compared.planned_minutes, compared.done_minutes
    if not lines:
        return WeekView(title, "Nothing planned yet.", ())
    if all(pair.status is Status.PAUSED for pair in compared.pairs):
        return WeekView(title, "Paused, not cancelled.", lines)
    if all(pair.status is Status.AHEAD for pair in compared.pairs):
        return WeekView(title, f"{minutes(planned)} planned.", lines)
    is_paused = any(pair.status is Status.PAUSED for pair in compared.pairs)
    beside = ", paused days left out" if is_paused else ""
    return WeekView(title, f"{minutes(planned)} planned{beside}; {minutes(done)} done.", lines)


def drafts_wait(file: ClientFile) -> str:
    """How many sessions of the plan wait as drafts from today on; "" when none."""
    waiting = [one for one in file.history.drafts if one.planned_on >= file.head.today and not one.is_cancelled]
    if not waiting:
        return ""
    wait = "waits" if len(waiting) == 1 else "wait"
    first = short_day(min(one.planned_on for one in waiting))
    return f"{counted(len(waiting), 'draft')} {wait} on the plan, the first on {first}; the client does not see them."


def _pair(pair: Pair) -> Line:
    plan, log = pair.planned, pair.log
    text = f"{plan.title}, {minutes(plan.minutes)}" if plan is not None else "not planned"
    done = f"{minutes(log.minutes)} done" if log is not None and log.minutes is not None else ""
    moved = f" from {words.short(pair.moved_from)}" if pair.moved_from else ""
    hard = "hard" if plan is not None and plan.is_hard else ""
    return Line(
        words.short(pair.day), text, ", ".join(p for p in (STATUS_WORDS[pair.status] + moved, done) if p), hard
    )


def readiness(file: ClientFile) -> tuple[ReadinessView, ...]:
    """The last notes, newest first; an empty item was not asked or not answered."""
    rows = []
    for note in reversed(file.history.readiness[-READINESS_SHOWN:]):
        four = (note.sleep, note.fatigue, note.stress, note.soreness)
        items = (*four, note.mood, note.slept_h)
        rate = note.resting_heart_rate_bpm
        remarks = (
            words.ILLNESS_WORDS[note.illness],
            "a medicine changed" if note.medicine_changed else "",
            "the usual heart rate begins anew" if note.noted_on in file.heart_rate.breaks else "",
            "not right today" if note.not_right_today else "",
            note.text or "",
        )
        shown = tuple("" if item is None else f"{item:g}" for item in items)
        shown = (*shown, "" if rate is None else file.heart_rate.beside(f"{rate}"))
        rows.append(ReadinessView(words.short(note.noted_on), shown, "; ".join(part for part in remarks if part)))
    return tuple(rows)


def tests(file: ClientFile) -> tuple[Line, ...]:
    """The last results, newest first."""
    return tuple(
        Line(words.long(one.tested_on), words.result_words(one, file.heart_rate), words.protocol_words(one))
        for one in reversed(file.history.tests[-4:])
    )


def notes(file: ClientFile) -> tuple[Line, ...]:
    """The last notes that may be read, newest first."""
    zone = file.head.client.zone
    return tuple(
        Line(
            words.at_local(one.written_at, zone),
            one.text,
            f"{file.name_of(one.person_id)}, {VISIBILITY_WORDS[one.visibility]}",
            "read" if one.read_at else "",
        )
        for one in reversed(file.history.notes[-NOTES_SHOWN:])
    )


def contacts(file: ClientFile) -> tuple[Line, ...]:
    """The last contacts, newest first."""
    return tuple(
        Line(words.long(one.contact_on), one.text, f"{one.kind.value}, {file.name_of(one.person_id)}")
        for one in reversed(file.history.contacts[-NOTES_SHOWN:])
    )


def goals(file: ClientFile) -> tuple[Line, ...]:
    """Open goals, newest first."""
    return tuple(
        Line(
            words.long(one.agreed_on),
            one.text,
            f"by {words.long(one.due_on)}" if one.due_on else "",
            f"sure of it: {one.confidence} of 10" if one.confidence is not None else "",
        )
        for one in reversed(file.history.goals)
        if one.closed_on is None
    )


def real_week(file: ClientFile) -> tuple[Line, ...]:
    """The days the client really has."""
    return tuple(
        Line(WEEKDAYS[day.weekday], minutes(day.minutes), ", ".join(p for p in (day.place, day.kit) if p))
        for day in file.history.available
    )


def leaves(file: ClientFile) -> tuple[Line, ...]:
    """Agreed time off that is running or to come."""
    return tuple(
        Line(f"{words.short(one.from_on)} to {words.short(one.until_on)}", one.reason)
        for one in file.history.leaves
        if one.until_on >= file.head.today
    )


def safety(file: ClientFile) -> tuple[Line, ...]:
    """Screening, clearance, consents and pressure in a line each."""
    history, today = file.history, file.head.today
    answers, paper = newest_answers(history), newest_paper(history, today)
    pressure = history.pressures[-1] if history.pressures else None
    return (
        Line("Questions", "never answered" if answers is None else f"answered {words.long(answers.answered_on)}"),
        Line("Light to moderate", file.screening.light.comes_next),
        Line("Hard work", file.screening.vigorous.comes_next),
        Line("Clearance", _paper(paper)),
        Line("Blood pressure", _pressure(pressure)),
        Line("Consents", _consents(file)),
    )


def _paper(paper: Clearance | None) -> str:
    if paper is None:
        return "none on record"
    scope = f" for {words.SCOPE_WORDS[paper.scope]}" if paper.scope else ""
    ends = f", until {words.long(paper.ends_on)}" if paper.ends_on else ""
    return f"{words.CLEARANCE_WORDS[paper.state]}{scope}{ends}"


def _pressure(reading: BloodPressure | None) -> str:
    if reading is None:
        return "never kept"
    return f"{reading.systolic_mmhg}/{reading.diastolic_mmhg} mmHg on {words.long(reading.measured_on)}"


def _consents(file: ClientFile) -> str:
    given = [kind for kind in ConsentKind if current_consent(file.history.consents, kind) is not None]
    have = ", ".join(words.CONSENT_WORDS[kind] for kind in given) or "none"
    missing = missing_words(file.history.consents)
    return have if missing is None else f"{have}. {missing}"
