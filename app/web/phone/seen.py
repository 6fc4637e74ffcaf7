"""What a client has seen on the phone, noted in the journal after the page was made."""

from __future__ import annotations

from collections.abc import Sequence

from app.coaching.holds import Hold
from app.usecases import today
from app.web.deps import Desk


def note_holds_seen(desk: Desk, holds: Sequence[Hold]) -> None:
    """Note open holds that stand on this page for the first time."""
    new = tuple(one.id for one in holds if one.seen_at is None and one.lifted_at is None)
    if new:
        client_id, now = holds[0].client_id, desk.now
        desk.request.state.journal.append(
            lambda db: today.note_holds_seen(db, client_id=client_id, hold_ids=new, now=now)
        )
