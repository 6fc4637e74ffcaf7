"""Publishing for many clients in one go, and taking it back on the same day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.plan_sending import TODAY_CHANGED, Waiting, week_to_send
from app.coaching.plan_weeks import PlanEntry
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.typed_values import NotUnderstood, iso_day
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day
from app.usecases.plan_many import sending as use
from app.usecases.plan_many import undoing
from app.usecases.plan_many.templates import require_planner
from app.usecases.plan_many.undoing import Sent, Undo, UndoRow
from app.web.coach.board_views import dated_words, session_words
from app.web.coach.judging import judge_of
from app.web.coach.plan_views import BreachView, breach_views, near
from app.web.coach.ticks import ticked
from app.web.deps import AskedId, CoachDesk, Desk
from app.web.filters import clock
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

NEW, CHANGED, TAKEN_AWAY = KINDS = ("new", "changed", "taken away")
WEEK_OPTIONS = tuple((number, counted(number, "week")) for number in (1, 2, 4, 8))


@dataclass(frozen=True, slots=True)
class ChangeView:
    """One session: what the client has seen, what would be sent."""

    kind: str
    seen: str
    sent: str
    address: str


@dataclass(frozen=True, slots=True)
class SendingView:
    """One client's part of the sending."""

    id: int
    name: str
    seen: str
    is_ticked: bool
    asks_reason: bool
    changes: tuple[ChangeView, ...]
    found: tuple[BreachView, ...]
    #: Why a change of today asks for a reason; "" when today stays.
    today_words: str
    #: Whether the client would read a reason there that is still to be written.
    is_unexplained: bool
    #: Which consents are missing for it; None when none is.
    not_agreed: str | None
    #: Why a talk comes first; "" when it need not.
    talk_first: str

    @property
    def summary(self) -> str:
        """How many of each kind, in words."""
        counts = Counter(one.kind for one in self.changes)
        return ", ".join(f"{counts[kind]} {kind}" for kind in KINDS if counts[kind])

    @property
    def is_open(self) -> bool:
        """Whether something the client has seen changes, so that it is shown unasked."""
        return any(one.kind != NEW for one in self.changes)


@dataclass(frozen=True, slots=True)
class UndoView:
    """What undoing makes of one client's plan."""

    name: str
    back: tuple[str, ...]
    left: tuple[str, ...]


@router.get("/plan/publish-many")
def publish_many_page(desk: CoachDesk) -> Response:
    """What waits for everybody in some weeks."""
    monday, weeks = _asked(desk)
    return _page(desk, monday, weeks, _look(desk, monday, weeks), Fields(initial={"said": True}), status=200)


@router.post("/plan/publish-many")
def publish_many_form(desk: CoachDesk) -> Response:
    """Publish for everybody ticked."""
    monday, weeks = _asked(desk)
    rows = _look(desk, monday, weeks)
    fields = Fields(desk.form)
    reason = fields.text("reason", most=LONG_TEXT, required=False, many_lines=True)
    if fields.errors:
        return _page(desk, monday, weeks, rows, fields, status=422)
    try:
        sessions, clients = use.publish_many(
            desk.db,
            actor=desk.person,
            rows=rows,
            seen=_looked_at(desk.form),
            reason=reason,
            is_said=fields.yes("said"),
            now=desk.now,
        )
    except ReasonNeeded as needed:
        fields.refuse("reason", str(needed))
        return _page(desk, monday, weeks, rows, fields, status=422)
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        return _page(desk, monday, weeks, rows, fields, status=409 if isinstance(refusal, StaleEdit) else 422)
    flash = f"Published: {counted(sessions, 'change')} for {counted(clients, 'client')}. It can be taken back today."
    return see_other(desk, _address(monday, weeks), flash=flash)


@router.get("/plan/publish-many/undo")
def undo_page(desk: CoachDesk, sent: AskedId = None) -> Response:
    """What taking one sending of today back would do."""
    require_planner(desk.person)
    if sent is None:
        return render(desk, "plan/undo_choose.html", sent=[_sent_words(desk, one) for one in _sent(desk)])
    return _undo_page(desk, _undoing(desk, sent), Fields(initial={}), status=200)


@router.post("/plan/publish-many/undo")
def undo_form(desk: CoachDesk, sent: AskedId = None) -> Response:
    """Take it back."""
    require_planner(desk.person)
    found = _undoing(desk, sent or 0)
    fields = Fields(desk.form)
    try:
        sessions, clients = undoing.undo(
            desk.db, actor=desk.person, undoing=found, seen=desk.form.get("seen", ""), now=desk.now
        )
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        return _undo_page(desk, found, fields, status=409 if isinstance(refusal, StaleEdit) else 422)
    flash = (
        f"Taken back: {counted(sessions, 'session')} of {counted(clients, 'client')}; what was sent is a draft again."
    )
    return see_other(desk, "/plan/publish-many", flash=flash)


def _asked(desk: Desk) -> tuple[date, int]:
    asked = desk.request.query_params
    try:
        day = iso_day(asked.get("week", ""))
    except NotUnderstood:
        day = week_to_send(desk.today)
    number = asked.get("weeks", "")
    weeks = int(number) if number in {str(one) for one, _words in WEEK_OPTIONS} else 1
    return week_start(near(day, desk.today)), weeks


def _address(monday: date, weeks: int) -> str:
    return f"/plan/publish-many?week={monday.isoformat()}&weeks={weeks}"


def _look(desk: Desk, monday: date, weeks: int) -> tuple[Waiting, ...]:
    return use.look_at_many(
        desk.db,
        actor=desk.person,
        monday=monday,
        weeks=weeks,
        judge=judge_of(desk),
        rules=desk.rules,
        now=desk.now,
    )


def _looked_at(form: Mapping[str, str]) -> dict[int, str]:
    """The versions looked at of everybody ticked."""
    return {one: form.get(f"s{one}", "") for one in ticked(form)}


def _page(desk: Desk, monday: date, weeks: int, rows: Sequence[Waiting], fields: Fields, *, status: int) -> Response:
    chosen = set(_looked_at(desk.form)) if desk.request.method == "POST" else {row.client.id for row in rows}
    views = [_view(row, is_ticked=row.client.id in chosen) for row in rows if not row.is_refused]
    return render(
        desk,
        "plan/publish_many.html",
        status=status,
        fields=fields,
        address=_address(monday, weeks),
        monday=monday,
        sunday=monday + timedelta(weeks=weeks) - timedelta(days=1),
        weeks=weeks,
        week_options=WEEK_OPTIONS,
        this=_address(week_start(desk.today), weeks),
        before=_address(monday - timedelta(weeks=1), weeks),
        after=_address(monday + timedelta(weeks=1), weeks),
        rows=views,
        refused=[_view(row, is_ticked=False) for row in rows if row.is_refused],
        asked_of=[view.name for view in views if view.asks_reason],
        sent=[_sent_words(desk, one) for one in _sent(desk)],
    )


def _sent(desk: Desk) -> tuple[Sent, ...]:
    return undoing.sent_today(desk.db, actor=desk.person, zone=desk.zone, now=desk.now)


def _sent_words(desk: Desk, one: Sent) -> tuple[int, str]:
    at = one.at.astimezone(desk.now_local.tzinfo)
    return one.id, f"Published at {clock(at)} for {counted(one.clients, 'client')}."


def _view(row: Waiting, *, is_ticked: bool) -> SendingView:
    return SendingView(
        id=row.client.id,
        name=row.client.name,
        seen=row.seen,
        is_ticked=is_ticked,
        asks_reason=row.asks_reason,
        changes=tuple(_change(entry) for entry in row.entries),
        found=breach_views(row.told, row.client.id),
        today_words="" if row.is_refused else _today_words(row),
        is_unexplained=bool(row.unexplained),
        not_agreed=row.not_agreed,
        talk_first=row.talk_first,
    )


def _today_words(row: Waiting) -> str:
    """What changes today, and what the client reads beside it where nobody wrote a reason for it."""
    if not row.unexplained:
        return row.today_words
    return f"{row.today_words} No reason of its own stands with it: the phone says “{TODAY_CHANGED}”"


def _change(entry: PlanEntry) -> ChangeView:
    session, seen = entry.session, entry.seen_by_client
    said = f"{short_day(session.planned_on)}: {session_words(session)}"
    has_seen = seen is not None and not seen.is_cancelled
    before = f"{short_day(seen.planned_on)}: {session_words(seen)}" if has_seen and seen is not None else ""
    kind = TAKEN_AWAY if session.is_cancelled else (CHANGED if has_seen else NEW)
    return ChangeView(kind, before, "" if session.is_cancelled else said, f"/plan/sessions/{session.id}")


def _undoing(desk: Desk, sent_id: int) -> Undo:
    return undoing.open_undo(
        desk.db, actor=desk.person, sent_id=sent_id, zone=desk.zone, rules=desk.rules, now=desk.now
    )


def _undo_page(desk: Desk, found: Undo, fields: Fields, *, status: int) -> Response:
    return render(
        desk,
        "plan/undo_many.html",
        status=status,
        fields=fields,
        words=_sent_words(desk, found.sent)[1],
        address=f"/plan/publish-many/undo?sent={found.sent.id}",
        rows=[_undo_view(row) for row in found.rows],
        seen=found.seen,
        may_undo=bool(found.changes),
    )


def _undo_view(row: UndoRow) -> UndoView:
    left = [
        f"{short_day(one.session.planned_on)}, {one.session.title}: {one.left_because}"
        for one in row.sessions
        if one.change is None
    ]
    return UndoView(
        name=row.client.name,
        back=tuple(dated_words(change) for change in row.changes),
        left=(f"All of it stays: {row.left_because}",) if row.left_because else tuple(left),
    )
