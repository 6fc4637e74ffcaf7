"""One planned day entered for several clients at once; all rows are kept or none."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.effort import Talk
from app.coaching.look_twice import Doubt, doubt_key
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer, Posture, RoundDone, WhyNot
from app.coaching.steps import Part, flatten, from_json
from app.usecases import session_logs
from app.usecases.session_logs import GroupRow, LogEntry
from app.web.coach.entry import read_origin
from app.web.coach.ticks import ticked
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.log_form import ANSWERS, CHOICES, POSTURES, SHORTEST_ROUND_S, TALKS, read_hurt
from app.web.render import render, see_other

router = APIRouter()

ROW_ANSWERS = tuple((option[0], option[1]) for option in ANSWERS if option[0] is not Answer.SOMETHING_ELSE)
ROW_FIELDS = ("answer", "minutes", "effort", "talk")
HURT_SAID = ((YesNo.YES, "First 30 s hurt"), (YesNo.NO, "First 30 s hardly hurt"))
#: What is asked of a row with rounds beside the rounds themselves.
ROUND_ANSWERS = ("posture", "first_30_hurt")
#: The words for a round done in full whose effort was not said.
DONE_WORD = "done"
MOST_ROUNDS = 12
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
    #: How long each planned round is, one after the other; empty for a session without rounds.
    rounds: tuple[int, ...] = ()
    #: What is to be looked at twice in this row.
    doubts: tuple[Doubt, ...] = ()
    #: Whether the client stands on the printed sheet that is typed in.
    is_on_sheet: bool = False

    @property
    def doubt_key(self) -> str:
        """What the row's tick stands for."""
        return doubt_key(self.doubts)

    @property
    def at(self) -> str:
        """What the names of the row's fields begin with."""
        return f"c{self.client_id}_"

    @property
    def round_names(self) -> tuple[str, ...]:
        """The names of the fields of its rounds."""
        return tuple(f"{self.at}round_{number}" for number in range(1, len(self.rounds) + 1))

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all its fields."""
        more = (*self.round_names, *(self.at + name for name in ROUND_ANSWERS)) if self.rounds else ()
        return (*(self.at + name for name in ROW_FIELDS), *more)


@router.get("/entry/group")
def show(desk: CoachDesk, day: str = "") -> Response:
    """The table for a day."""
    fields = Fields({"day": day or desk.today.isoformat()})
    chosen = fields.day("day", latest=desk.today)
    rows = _rows(desk, chosen, ticked(desk.request.query_params)) if chosen else ()
    return _page(desk, fields, chosen, rows, status=200 if chosen else 422)


@router.post("/entry/group")
def keep(desk: CoachDesk) -> Response:
    """Keep every row that has an answer; one row in error keeps all of them here as typed."""
    fields = Fields(desk.form)
    day = fields.day("day", latest=desk.today)
    if day is None:
        return _page(desk, fields, None, (), status=422)
    on_sheet = ticked(desk.form)
    rows = _rows(desk, day, on_sheet)
    origin = read_origin(fields)
    entries = {row.client_id: entry for row in rows if (entry := _entry(fields, row, day)) is not None}
    if not fields.errors and not entries:
        fields.refuse("", "No row has an answer yet.")
    if fields.errors or origin is None:
        return _page(desk, fields, day, rows, status=422)
    looked = tuple(_looked_at(desk, fields, row, entries.get(row.client_id)) for row in rows)
    if fields.errors:
        return _page(desk, fields, day, looked, status=422)
    ids = session_logs.keep_group(desk.db, actor=desk.person, entries=entries, origin=origin, now=desk.now)
    counted = "1 entry is" if len(ids) == 1 else f"{len(ids)} entries are"
    return see_other(desk, entry_address(day, on_sheet), flash=f"{counted} kept.")


def entry_address(day: date, on_sheet: Sequence[int]) -> str:
    """The address of the table for a day, with those of the printed sheet first."""
    names = {f"k{client_id}": "yes" for client_id in on_sheet}
    return f"/entry/group?{urlencode({'day': day.isoformat()} | names)}"


def _rows(desk: Desk, day: date, on_sheet: Collection[int]) -> tuple[RowView, ...]:
    """Everybody of a day; those of the sheet first and in its order, by name."""
    found = session_logs.group_on(desk.db, actor=desk.person, day=day, now=desk.now)
    rows = [replace(_row(one), is_on_sheet=one.client.id in on_sheet) for one in found]
    return tuple(sorted(rows, key=lambda row: (not row.is_on_sheet, row.name.casefold() if row.is_on_sheet else "")))


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
        rounds=_round_lengths(choice.session) if choice else (),
    )


def _round_lengths(session: PlannedSession) -> tuple[int, ...]:
    work = [step.duration_s for step in flatten(from_json(session.steps_json)) if step.part is Part.WORK]
    return tuple(work[:MOST_ROUNDS])


def _entry(fields: Fields, row: RowView, day: date) -> LogEntry | None:
    """A row's entry; None when the row is left empty or something in it has to be looked at again."""
    at = row.at
    if not any(fields.value(name).strip() for name in row.names):
        return None
    before = len(fields.errors)
    answer = fields.choice(f"{at}answer", Answer)
    is_done = answer is not Answer.NOT_DONE
    needs_minutes = is_done and answer is not Answer.AS_PLANNED
    rounds = _rounds(fields, row)
    if rounds and answer in (Answer.NOT_DONE, Answer.EASY_VERSION):
        fields.refuse(row.round_names[0], "No rounds belong to this answer; empty them, or choose another.")
    entry = LogEntry(
        done_on=day,
        answer=answer or Answer.SOMETHING_ELSE,
        planned_session_id=row.planned_session_id,
        kind=SessionKind.EASY if row.planned_session_id is None else None,
        mode=Mode.OTHER if row.planned_session_id is None else None,
        minutes=fields.minutes(f"{at}minutes", required=needs_minutes) if is_done else None,
        effort=fields.number(f"{at}effort", lowest=0, highest=10, required=False),
        talk=fields.choice(f"{at}talk", Talk, required=False),
        posture=fields.choice(f"{at}posture", Posture, required=False) if row.rounds else None,
        first_30_hurt=read_hurt(fields, f"{at}first_30_hurt") if row.rounds else None,
        why_not=None if is_done else WhyNot.OTHER,
        rounds=rounds,
    )
    return entry if len(fields.errors) == before else None


def _rounds(fields: Fields, row: RowView) -> tuple[RoundDone, ...]:
    """The rounds of one person as they stand on the sheet; a round left empty was not done."""
    found: list[RoundDone] = []
    for name, planned_s in zip(row.round_names, row.rounds, strict=True):
        typed = fields.value(name).strip().casefold()
        if not typed:
            continue
        stopped_s = fields.pace_s(name, lowest=SHORTEST_ROUND_S, highest=planned_s) if ":" in typed else None
        has_effort = stopped_s is None and typed != DONE_WORD
        effort = fields.number(name, lowest=0, highest=10) if has_effort and ":" not in typed else None
        found.append(
            RoundDone(
                number=len(found) + 1,
                duration_s=planned_s if stopped_s is None else int(stopped_s),
                is_complete=stopped_s is None,
                power_w=None,
                speed_m_per_s=None,
                heart_rate_end_bpm=None,
                cadence_per_min=None,
                effort=effort,
            )
        )
    return tuple(found)


def _looked_at(desk: Desk, fields: Fields, row: RowView, entry: LogEntry | None) -> RowView:
    """The row with what is to be looked at twice, its sentences beside its fields; as it was once that is ticked."""
    if entry is None:
        return row
    found = session_logs.doubts(
        desk.db, actor=desk.person, client_id=row.client_id, entry=entry, rules=desk.rules, now=desk.now
    )
    is_ticked = fields.yes(f"{row.at}is_right") and fields.value(f"{row.at}looked_at") == doubt_key(found)
    for one in () if is_ticked else found:
        name = one.field if one.field in ROW_FIELDS else "answer"
        fields.refuse(row.at + name, f"{one.sentence} If it is right, tick so in the row.")
    return replace(row, doubts=found)


def _parts(rows: Sequence[RowView]) -> tuple[tuple[str, tuple[RowView, ...]], ...]:
    """The rows under their headings; one part without a heading when no sheet is typed in."""
    there, others = tuple(row for row in rows if row.is_on_sheet), tuple(row for row in rows if not row.is_on_sheet)
    if not there:
        return (("", others),)
    return (("On the sheet", there), ("Everybody else", others)) if others else (("On the sheet", there),)


def _page(desk: Desk, fields: Fields, day: date | None, rows: tuple[RowView, ...], status: int = 200) -> Response:
    return render(
        desk,
        "entry/group.html",
        part="entry/_group_form.html",
        status=status,
        fields=fields,
        day=day,
        rows=rows,
        parts=_parts(rows),
        has_rounds=any(row.rounds for row in rows),
        postures=POSTURES,
        talks=TALKS,
        origins=CHOICES["origins"],
        hurt=HURT_SAID,
    )
