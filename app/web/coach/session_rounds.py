"""How a session went on the coach's side: beside an earlier one, on paper, and where its rounds lie."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.reasons import DomainError
from app.coaching.rounds_values import FoundRounds, RoundEdges
from app.usecases.gate import NotYours
from app.usecases.recordings import keeping, reading
from app.usecases.recordings.reading import ReadLog
from app.web.coach import client_words as words
from app.web.coach.went_compared import compared_rows
from app.web.deps import CoachDesk, Desk
from app.web.easy_view import EasyView, easy_view
from app.web.forms import Fields
from app.web.how_it_went import WentView, went_view
from app.web.render import render, see_other
from app.web.went_drawings import NOTHING, Drawn, clock_of
from app.web.went_set import two_sets

router = APIRouter()

BASE = "/clients/{client_id}/sessions/{log_id}"
#: Rows beyond those found, for rounds that were not.
MORE_ROWS = 2
_TIME = re.compile(r"([0-9]{1,4}):([0-5][0-9])")


@dataclass(frozen=True, slots=True)
class SessionRounds:
    """What the session's page shows of how it went."""

    view: WentView
    #: Addresses and names of earlier sessions of the same rounds.
    earlier: tuple[tuple[str, str], ...]
    beside: WentView | None
    beside_name: str
    #: Both sets in one drawing.
    over: Drawn
    #: Figure by figure: its name, this session, the earlier one.
    compared: tuple[tuple[str, str, str], ...]
    may_set: bool
    #: Whether the coach set where they lie, so that the recording's own reading can be brought back.
    is_by_hand: bool
    has_anything: bool
    #: Of an easy session with a recording; None for others.
    easy: EasyView | None


def session_rounds(desk: Desk, *, client_id: int, log_id: int, beside_id: int | None) -> SessionRounds:
    """How the session went, beside an earlier one where one is asked for. Raises: NotYours."""
    found = _open(desk, client_id, log_id, beside_id)
    here = f"/clients/{client_id}/sessions/{log_id}"
    names = {one.log.id: f"{words.short(one.log.done_on)}: {one.planned.title}" for one in found.earlier}
    return SessionRounds(
        view=went_view(found.reading, key="went", left=found.left),
        earlier=tuple((f"{here}?beside={number}#beside", name) for number, name in names.items()),
        beside=went_view(found.compared, key="beside") if found.compared else None,
        compared=compared_rows(found.reading, found.compared) if found.compared else (),
        beside_name=names.get(beside_id or 0, ""),
        over=_over(found),
        may_set=found.may_set and found.reading.recording is not None,
        is_by_hand=_is_by_hand(found),
        has_anything=found.has_anything,
        easy=easy_view(found.easy) if found.easy else None,
    )


def _is_by_hand(found: ReadLog) -> bool:
    rounds = found.reading.found
    return isinstance(rounds, FoundRounds) and rounds.signal is None


def _over(found: ReadLog) -> Drawn:
    if found.compared is None:
        return NOTHING
    name = words.short(found.compared.log.done_on)
    return two_sets(found.reading, found.compared, name=name, key="over")


@router.get(BASE + "/print")
def print_page(desk: CoachDesk, client_id: int, log_id: int) -> Response:
    """How it went, on paper."""
    found = _open(desk, client_id, log_id, None)
    planned = found.reading.planned
    return render(
        desk,
        "sessions/print.html",
        client=found.client,
        log=found.reading.log,
        day=words.long(found.reading.log.done_on),
        title=planned.title if planned else "",
        easy=easy_view(found.easy) if found.easy else None,
        went=went_view(found.reading, key="went", left=found.left),
    )


@router.get(BASE + "/rounds")
def edges_page(desk: CoachDesk, client_id: int, log_id: int) -> Response:
    """Where the rounds of the recording lie, to be set by hand."""
    found = _open(desk, client_id, log_id, None)
    return _edges(desk, found, Fields(initial=_initial(found)), status=200)


@router.post(BASE + "/rounds")
def edges_form(desk: CoachDesk, client_id: int, log_id: int) -> Response:
    """Keep the edges, or let the reading's own count again."""
    found = _open(desk, client_id, log_id, None)
    here = f"/clients/{client_id}/sessions/{log_id}"
    if desk.form.get("reading") == "own":
        keeping.set_edges(desk.db, actor=desk.person, log_id=log_id, edges=None, now=desk.now)
        return see_other(desk, here, flash="The rounds are read from the recording again.")
    fields = Fields(desk.form)
    edges = _read(fields, _rows(found))
    if not edges and not fields.errors:
        fields.refuse("start_1", "Give at least one round.")
    if not fields.errors:
        try:
            keeping.set_edges(desk.db, actor=desk.person, log_id=log_id, edges=edges, now=desk.now)
        except DomainError as refusal:
            if isinstance(refusal, NotYours):
                raise
            fields.refuse("start_1", str(refusal))
    if fields.errors:
        return _edges(desk, found, fields, status=422)
    return see_other(desk, here, flash="Kept. These rounds stay, whatever is read again.")


def _open(desk: Desk, client_id: int, log_id: int, beside_id: int | None) -> ReadLog:
    found = reading.read_log(
        desk.db, actor=desk.person, log_id=log_id, beside_id=beside_id, rules=desk.rules, now=desk.now
    )
    if found.client.id != client_id:
        raise NotYours("There is no such entry here.")
    return found


def _rows(found: ReadLog) -> int:
    rounds = found.reading.found
    known = len(rounds.rounds) if isinstance(rounds, FoundRounds) else 0
    asked = len(found.reading.asked.work_s) if found.reading.asked else 0
    return max(known, asked) + MORE_ROWS


def _initial(found: ReadLog) -> dict[str, object]:
    rounds = found.reading.found
    if not isinstance(rounds, FoundRounds):
        return {}
    values: dict[str, object] = {}
    for one in rounds.rounds:
        values |= {f"start_{one.number}": clock_of(one.start_s), f"end_{one.number}": clock_of(one.end_s)}
    return values


def _read(fields: Fields, rows: int) -> list[RoundEdges]:
    """The rounds that were typed; a row left empty is no round."""
    edges = []
    for row in range(1, rows + 1):
        with fields.named_in_errors(f"Round {row}"):
            start, end = _second(fields, f"start_{row}"), _second(fields, f"end_{row}")
        if start is not None and end is not None:
            edges.append(RoundEdges(start, end))
        elif (start is None) != (end is None) and not (fields.error(f"start_{row}") or fields.error(f"end_{row}")):
            left_empty = f"start_{row}" if start is None else f"end_{row}"
            fields.refuse(left_empty, f"Round {row} has a beginning and an end.")
    return edges


def _second(fields: Fields, name: str) -> float | None:
    typed = fields.text(name, most=8, required=False)
    if typed is None:
        return None
    found = _TIME.fullmatch(typed)
    if found is None:
        fields.refuse(name, "Write minutes and seconds from the first sample, as 17:05.")
        return None
    return float(int(found[1]) * 60 + int(found[2]))


def _edges(desk: Desk, found: ReadLog, fields: Fields, *, status: int) -> Response:
    log = found.reading.log
    return render(
        desk,
        "sessions/rounds.html",
        status=status,
        client=found.client,
        log=log,
        day=words.long(log.done_on),
        fields=fields,
        rows=range(1, _rows(found) + 1),
        went=went_view(found.reading, key="went", left=found.left),
        may_set=found.may_set and found.reading.recording is not None,
        is_by_hand=_is_by_hand(found),
        last_s=int(found.reading.recording.duration_s) if found.reading.recording else 0,
    )
