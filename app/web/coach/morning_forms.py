"""The small forms of a line in the morning: opened in place, or as a page of their own."""

from __future__ import annotations

from datetime import timedelta

from starlette.responses import Response

from app.coaching.morning_groups import message_for
from app.coaching.people import ContactKind
from app.coaching.reasons import StaleEdit
from app.coaching.signals import needs_word
from app.usecases.morning import lines
from app.usecases.morning.lines import PUT_OFF_MOST, Standing
from app.web.coach import morning_settle as settling
from app.web.coach.move_views import MoveView
from app.web.coach.swap_views import SwapView
from app.web.deps import Desk
from app.web.forms import Fields
from app.web.render import render

HOME = "/morning"
LONGEST_LINE = 500
LONGEST_REASON = 500
CONTACT_BACK = timedelta(days=60)
PUT_OFF_BY = timedelta(days=3)
HIGHEST_ID = 2**53
CONTACT_OPTIONS = ((ContactKind.CALL, "call"), (ContactKind.VISIT, "visit"), (ContactKind.MESSAGE, "message"))


def small_form(
    desk: Desk,
    line: Standing,
    word: str,
    fields: Fields,
    *,
    move: MoveView | None = None,
    swap: SwapView | None = None,
    status: int = 200,
) -> Response:
    """One of the small forms: in its line, or as a page of its own."""
    signal = line.signal
    return render(
        desk,
        "morning/act.html",
        part=f"morning/_{word.replace('-', '_')}.html",
        status=status,
        part_name=f"morning/_{word.replace('-', '_')}.html",
        client=line.client,
        line=line,
        signal_name=signal.name if signal else "",
        signal_key=signal.key if signal else "",
        message=message_for(signal.name) if signal else "",
        settles=settling.settle_views(line),
        asks_for_a_word=signal is not None and needs_word(signal),
        move=move,
        swap=swap,
        asks_despite=bool((move and move.asks) or fields.error("despite") or fields.value("despite")),
        fields=fields,
        address=f"/morning/{line.client.id}/{word}",
        slot=f"desk-{line.client.id}",
        prefix=f"c{line.client.id}",
        contact_options=CONTACT_OPTIONS,
        earliest_contact=line.today - CONTACT_BACK,
        tomorrow=line.today + timedelta(days=1),
        latest_put_off=line.today + PUT_OFF_MOST,
        longest=LONGEST_LINE,
    )


def asked_line(desk: Desk, client_id: int, *, is_line_needed: bool = False) -> Standing:
    """The line an address asks about."""
    name = desk.request.query_params.get("signal", "")
    line = _standing(desk, client_id, name)
    if is_line_needed and line.signal is None:
        raise StaleEdit("This line no longer stands: what raised it has changed since the page was shown.")
    return line


def sent_line(desk: Desk, client_id: int) -> Standing:
    """The line a form was sent about."""
    return _standing(desk, client_id, desk.form.get("signal", ""))


def _standing(desk: Desk, client_id: int, signal: str) -> Standing:
    return lines.standing(
        desk.db, actor=desk.person, client_id=client_id, signal=signal, rules=desk.rules, now=desk.now
    )
