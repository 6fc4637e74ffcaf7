"""One planned day entered for several clients at once; all rows are kept or none."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.effort import Talk
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_logs import Answer, WhyNot
from app.usecases import session_logs
from app.usecases.session_logs import GroupRow, LogEntry
from app.web.coach.entry import read_origin
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.log_form import ANSWERS, CHOICES, TALKS
from app.web.render import render, see_other

router = APIRouter()

ROW_ANSWERS = tuple((option[0], option[1]) for option in ANSWERS if option[0] is not Answer.SOMETHING_ELSE)
EXTRA_ANSWERS = ((Answer.SOMETHING_ELSE, "Was there"),)


@dataclass(frozen=True, slots=True)
class RowView:
    """One client's row; its fields are named after the client."""

    client_id: int
    name: str
    planned: str
    planned_minutes: int | None
    planned_session_id: int | None
    is_entered: bool
    answers: tuple[tuple[Answer, str], ...]

    @property
    def at(self) -> str:
        """What the names of the row's fields begin with."""
        return f"c{self.client_id}_"


@router.get("/entry/group")
def show(desk: CoachDesk, day: str = "") -> Response:
    """The table for a day."""
    fields = Fields({"day": day or desk.today.isoformat()})
    chosen = fields.day("day", latest=desk.today)
    rows = _rows(desk, chosen) if chosen else ()
    return _page(desk, fields, chosen, rows, status=200 if chosen else 422)


@router.post("/entry/group")
def keep(desk: CoachDesk) -> Response:
    """Keep every row that has an answer; one row in error keeps all of them here as typed."""
    fields = Fields(desk.form)
    day = fields.day("day", latest=desk.today)
    if day is None:
        return _page(desk, fields, None, (), status=422)
    rows = _rows(desk, day)
    origin = read_origin(fields)
    entries = {row.client_id: entry for row in rows if (entry := _entry(fields, row, day)) is not None}
    if not fields.errors and not entries:
        fields.refuse("", "No row has an answer yet.")
    if fields.errors or origin is None:
        return _page(desk, fields, day, rows, status=422)
    ids = session_logs.keep_group(desk.db, actor=desk.person, entries=entries, origin=origin, now=desk.now)
    counted = "1 entry is" if len(ids) == 1 else f"{len(ids)} entries are"
    return see_other(desk, f"/entry/group?day={day.isoformat()}", flash=f"{counted} kept.")


def _rows(desk: Desk, day: date) -> tuple[RowView, ...]:
    return tuple(_row(one) for one in session_logs.group_on(desk.db, actor=desk.person, day=day, now=desk.now))


def _row(one: GroupRow) -> RowView:
    choice = one.choice
    return RowView(
        client_id=one.client.id,
        name=one.client.name,
        planned=choice.session.title if choice else "nothing planned",
        planned_minutes=choice.session.minutes if choice else None,
        planned_session_id=choice.session.id if choice else None,
        is_entered=choice is not None and choice.log_id is not None,
        answers=ROW_ANSWERS if choice else EXTRA_ANSWERS,
    )


def _entry(fields: Fields, row: RowView, day: date) -> LogEntry | None:
    """A row's entry; None when the row is left empty or something in it has to be looked at again."""
    at = row.at
    names = ("answer", "minutes", "effort", "talk")
    if not any(fields.value(at + name).strip() for name in names):
        return None
    before = len(fields.errors)
    answer = fields.choice(f"{at}answer", Answer)
    is_done = answer is not Answer.NOT_DONE
    needs_minutes = is_done and answer is not Answer.AS_PLANNED
    entry = LogEntry(
        done_on=day,
        answer=answer or Answer.SOMETHING_ELSE,
        planned_session_id=row.planned_session_id,
        kind=SessionKind.EASY if row.planned_session_id is None else None,
        mode=Mode.OTHER if row.planned_session_id is None else None,
        minutes=fields.minutes(f"{at}minutes", required=needs_minutes) if is_done else None,
        effort=fields.number(f"{at}effort", lowest=0, highest=10, required=False),
        talk=fields.choice(f"{at}talk", Talk, required=False),
        why_not=None if is_done else WhyNot.OTHER,
    )
    return entry if len(fields.errors) == before else None


def _page(desk: Desk, fields: Fields, day: date | None, rows: tuple[RowView, ...], status: int = 200) -> Response:
    return render(
        desk,
        "entry/group.html",
        part="entry/_group_form.html",
        status=status,
        fields=fields,
        day=day,
        rows=rows,
        talks=TALKS,
        origins=CHOICES["origins"],
    )
