"""Month: the practice's table, a client's sheet, both on paper, and the files to take away."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.month_inputs import of_all
from app.coaching.reasons import StaleEdit
from app.usecases import months as use
from app.usecases.months import ClientPage, Month, NoSuchMonth, Reader
from app.web.coach import month_views as views
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import lead_on, render, see_other

router = APIRouter()

LONGEST_REMARK = 2000


@router.get("/month")
def this_month(desk: CoachDesk) -> Response:
    """Lead to the month that runs."""
    return lead_on(desk.request, f"/month/{desk.today:%Y-%m}")


@router.get("/month/{month}")
def show_practice(month: str, desk: CoachDesk) -> Response:
    """The practice's month, a row a client."""
    return _practice_page(desk, month, "month/page.html")


@router.get("/month/{month}/print")
def print_practice(month: str, desk: CoachDesk) -> Response:
    """The same on paper."""
    return _practice_page(desk, month, "month/practice_print.html")


@router.get("/month/{month}/practice.csv")
def practice_file(month: str, desk: CoachDesk) -> Response:
    """A row a client, as a file."""
    return _download(desk, month, use.PRACTICE_FILE)


@router.get("/month/{month}/sessions.csv")
def sessions_file(month: str, desk: CoachDesk) -> Response:
    """A row a session, as a file."""
    return _download(desk, month, use.SESSIONS_FILE)


@router.get("/month/{month}/clients/{client_id}")
def show_client(month: str, client_id: int, desk: CoachDesk) -> Response:
    """One client's month with the remark's form."""
    return _client_page(desk, month, client_id, "month/client.html")


@router.get("/month/{month}/clients/{client_id}/print")
def print_client(month: str, client_id: int, desk: CoachDesk) -> Response:
    """The same on paper."""
    return _client_page(desk, month, client_id, "month/client_print.html")


@router.post("/month/{month}/clients/{client_id}/remark")
def keep_remark(month: str, client_id: int, desk: CoachDesk) -> Response:
    """Keep the coach's remark; an empty one takes it away."""
    page = _open_client(desk, month, client_id)
    fields = Fields(desk.form)
    text = fields.text("text", most=LONGEST_REMARK, required=False, many_lines=True) or ""
    if fields.errors:
        return _remark_again(desk, page, fields, 422)
    seen = desk.form.get("seen", "")
    try:
        use.keep_remark(
            desk.db, actor=desk.person, client_id=client_id, month=page.month, text=text, seen=seen, now=desk.now
        )
    except StaleEdit as problem:
        fields.refuse("text", str(problem))
        return _remark_again(desk, page, fields, 409)
    return see_other(desk, f"/month/{month}/clients/{client_id}", flash="The remark is kept.")


def _month(desk: Desk, key: str) -> Month:
    return use.month_of(key, today=desk.today)


def _no_month(desk: Desk, problem: NoSuchMonth) -> Response:
    return render(desk, "month/none.html", status=404, sentence=str(problem), this_month=f"{desk.today:%Y-%m}")


def _practice_page(desk: Desk, key: str, template: str) -> Response:
    try:
        month = _month(desk, key)
    except NoSuchMonth as problem:
        return _no_month(desk, problem)
    page = use.open_practice(desk.db, actor=desk.person, month=month, rules=desk.rules, now=desk.now)
    made = of_all([one.fingerprint for one in page.months])
    return render(
        desk,
        template,
        month=month,
        sentence=views.practice_sentence(page.practice),
        rows=views.practice_rows(page),
        totals=views.totals_row(page.practice),
        easy=page.practice.easy_share.why,
        adherence=page.practice.adherence.why,
        made=views.made_view(made, desk.rules) if made else None,
        is_over=all(one.summary.is_over for one in page.months),
        may_export=page.may_export,
    )


def _open_client(desk: Desk, key: str, client_id: int) -> ClientPage:
    month = _month(desk, key)
    return use.open_client(
        desk.db, actor=desk.person, client_id=client_id, month=month, rules=desk.rules, now=desk.now
    )


def _client_page(desk: Desk, key: str, client_id: int, template: str) -> Response:
    try:
        page = _open_client(desk, key, client_id)
    except NoSuchMonth as problem:
        return _no_month(desk, problem)
    fields = Fields(initial={"text": page.remark})
    return render(desk, template, **_client_context(desk, page), fields=fields)


def _remark_again(desk: Desk, page: ClientPage, fields: Fields, status: int) -> Response:
    context = _client_context(desk, page)
    return render(desk, "month/client.html", part="month/_remark.html", status=status, **context, fields=fields)


def _client_context(desk: Desk, page: ClientPage) -> dict[str, Any]:
    return {
        "month": page.month,
        "client": views.client_view(page),
        "made": views.made_view(page.one.fingerprint, desk.rules),
        "remark": page.remark,
        "seen": page.remark_seen,
        "may_decide": page.may_decide,
        "longest": LONGEST_REMARK,
    }


def _download(desk: Desk, key: str, name: str) -> Response:
    try:
        month = _month(desk, key)
    except NoSuchMonth as problem:
        return _no_month(desk, problem)
    asked = desk.request.query_params.get("for", Reader.SPREADSHEETS)
    reader = Reader.MACHINES if asked == Reader.MACHINES else Reader.SPREADSHEETS
    content = use.month_file(
        desk.db, actor=desk.person, month=month, name=name, reader=reader, rules=desk.rules, now=desk.now
    )
    actor, now = desk.person, desk.now
    desk.request.state.journal.append(lambda db: use.note_export(db, actor=actor, month=month, name=name, now=now))
    file_name = f"foothill-{month.key}-{name}"
    headers = {
        "Content-Disposition": f"attachment; filename=\"{file_name}\"; filename*=UTF-8''{file_name}",
        "Cache-Control": "no-store",
    }
    return Response(content, media_type=use.MEDIA_TYPE, headers=headers)
