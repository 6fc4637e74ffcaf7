"""A client's access: the personal link, and the phones that are signed in."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.usecases import invitations
from app.web.coach.link_card import LinkCard, link_card
from app.web.deps import CoachDesk, Desk
from app.web.render import render, see_other
from app.web.security import new_token, token_sha256

router = APIRouter()


@router.get("/clients/{client_id}/access")
def show_access(client_id: int, desk: CoachDesk) -> Response:
    """Phones and links of a client."""
    return _page(desk, client_id, None)


def _page(desk: Desk, client_id: int, card: LinkCard | None) -> Response:
    access = invitations.client_access(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return render(desk, "account/access.html", access=access, card=card)


@router.post("/clients/{client_id}/access/link")
def make_link(client_id: int, desk: CoachDesk) -> Response:
    """Make a link and show it, once: afterwards nobody can, since only its hash is kept."""
    token = new_token()
    invitations.invite(
        desk.db, actor=desk.person, client_id=client_id, token_sha256=token_sha256(token), now=desk.now
    )
    # The same form sent again leads to the page without the link; it makes no second one.
    desk.remember(f"/clients/{client_id}/access")
    return _page(desk, client_id, link_card(desk, token))


@router.post("/clients/{client_id}/access/revoke-links")
def revoke_links(client_id: int, desk: CoachDesk) -> Response:
    """Make unused links worthless."""
    invitations.revoke_links(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/access", flash="Unused links no longer work.")


@router.post("/clients/{client_id}/access/devices/{login_id}/sign-out")
def sign_out_device(client_id: int, login_id: int, desk: CoachDesk) -> Response:
    """Sign one phone out."""
    invitations.sign_out_device(desk.db, actor=desk.person, client_id=client_id, login_id=login_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/access", flash="That phone is signed out.")
