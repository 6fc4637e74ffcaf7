"""A month as two tables: one row a client, and one row a session."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from app.coaching.matching import Pair
from app.coaching.month import MonthSummary, PracticeMonth
from app.coaching.month_inputs import Fingerprint
from app.coaching.month_words import line_title, status_words
from app.coaching.phases import PHASE_WORDS
from app.coaching.session_logs import Answer
from app.files.to_csv import Cell, Reader, csv_bytes

PRACTICE_HEADERS = (
    *("month", "client_id", "client", "phase", "until_on"),
    *("planned_sessions", "done_sessions", "planned_minutes", "done_minutes"),
    *("missed", "moved", "extra", "kept_as_agreed", "not_logged", "paused", "entered_from_memory"),
    *("no_plan_kept_sessions", "no_plan_kept_minutes"),
    *("strength_planned", "strength_done"),
    *("easy_minutes", "middle_minutes", "hard_minutes", "effort_unknown_minutes"),
    *("easy_share_fraction", "easy_share_not_defined", "adherence_fraction", "adherence_not_defined"),
    *("hard_sessions", "fullest_fortnight", "fortnight_ceiling", "held_weeks", "weeks"),
    *("phase_decisions", "tests", "holds", "leaves", "contacts"),
    *("read_as_of", "method", "settings_sha256", "inputs_sha256"),
)
SESSIONS_HEADERS = (
    *("client_id", "client", "planned_on", "done_on", "status", "kind", "mode", "title"),
    *("planned_minutes", "done_minutes", "planned_rounds", "done_rounds", "planned_hard"),
    *("done_band", "effort", "talk", "posture", "why_not", "origin", "entered_from_memory", "note"),
)

Row: TypeAlias = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class ClientMonth:
    """One client's month with the fingerprint of what it was made from, and its lines where they are asked for."""

    summary: MonthSummary
    fingerprint: Fingerprint
    lines: tuple[Pair, ...]


def practice_csv(practice: PracticeMonth, months: Sequence[ClientMonth], *, reader: Reader) -> bytes:
    """One row a client with a stable id; a spreadsheet gets the totals below, a program sums by itself."""
    rows = [_practice_row(one) for one in months]
    if reader is Reader.SPREADSHEETS:
        rows.append(_totals_row(practice))
    return csv_bytes(PRACTICE_HEADERS, rows, reader=reader)


def sessions_csv(months: Sequence[ClientMonth], *, reader: Reader) -> bytes:
    """One row a planned session or entry that touches the month; what was done counts on `done_on`."""
    rows = [_session_row(one.summary, pair) for one in months for pair in one.lines]
    return csv_bytes(SESSIONS_HEADERS, rows, reader=reader)


def _practice_row(one: ClientMonth) -> Row:
    summary, made = one.summary, one.fingerprint
    counts, bands = summary.counts, summary.by_band
    return (
        *(summary.month, summary.client.id, summary.client.name),
        *(PHASE_WORDS[summary.phase] if summary.phase else None, summary.until_on),
        *(counts.planned_sessions, counts.done_sessions, counts.planned_minutes, counts.done_minutes),
        *(counts.missed, counts.moved, counts.extra, counts.kept_as_agreed, counts.not_logged, counts.paused),
        *(counts.from_memory, counts.without_plan, counts.without_plan_minutes),
        *(counts.strength_planned, counts.strength_done),
        *(bands.easy, bands.middle, bands.hard, bands.unknown),
        *(summary.easy_share.fraction, summary.easy_share.not_defined),
        *(summary.adherence.fraction, summary.adherence.not_defined),
        *(summary.hard_sessions, summary.fullest.count if summary.fullest else 0, summary.ceiling),
        *(summary.held_weeks, len(summary.weeks), len(summary.decisions), len(summary.tests)),
        *(len(summary.holds), len(summary.leaves), len(summary.contacts)),
        *(made.as_of, made.method, made.settings_sha256, made.inputs_sha256),
    )


def _totals_row(practice: PracticeMonth) -> Row:
    counts = practice.counts
    known: dict[str, Cell] = {
        "month": practice.month,
        "client": f"all {practice.clients} clients",
        "planned_sessions": counts.planned_sessions,
        "done_sessions": counts.done_sessions,
        "planned_minutes": counts.planned_minutes,
        "done_minutes": counts.done_minutes,
        "no_plan_kept_sessions": counts.without_plan,
        "no_plan_kept_minutes": counts.without_plan_minutes,
        "easy_share_fraction": practice.easy_share.fraction,
        "easy_share_not_defined": practice.easy_share.not_defined,
        "adherence_fraction": practice.adherence.fraction,
        "adherence_not_defined": practice.adherence.not_defined,
        "hard_sessions": practice.hard_sessions,
        "held_weeks": practice.held_weeks,
    }
    return tuple(known.get(header) for header in PRACTICE_HEADERS)


def _session_row(summary: MonthSummary, pair: Pair) -> Row:
    return (summary.client.id, summary.client.name, *_what(summary, pair), *_figures(pair), *_answers(pair))


def _what(summary: MonthSummary, pair: Pair) -> Row:
    planned, log = pair.planned, pair.log
    is_done = log is not None and log.answer is not Answer.NOT_DONE
    thing = planned or log
    return (
        planned.planned_on if planned else None,
        log.done_on if log is not None and is_done else None,
        status_words(pair, summary),
        thing.kind.value if thing else None,
        thing.mode.value if thing else None,
        line_title(pair),
    )


def _figures(pair: Pair) -> Row:
    planned, log = pair.planned, pair.log
    return (
        planned.minutes if planned else None,
        log.minutes if log is not None and log.answer is not Answer.NOT_DONE else None,
        planned.rounds if planned else None,
        pair.rounds_done,
        _yes_no(planned.is_hard) if planned else None,
    )


def _answers(pair: Pair) -> Row:
    log = pair.log
    if log is None:
        return (None,) * 8
    return (
        pair.done_band.value if pair.done_band else None,
        log.effort,
        log.talk.value if log.talk else None,
        log.posture.value if log.posture else None,
        log.why_not.value if log.why_not else None,
        log.origin.value,
        _yes_no(log.from_memory),
        log.note,
    )


def _yes_no(value: bool) -> str:
    return "yes" if value else "no"
