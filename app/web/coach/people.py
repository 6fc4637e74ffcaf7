"""Who works here, and who stands in for whom."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Role
from app.coaching.people import ClientState
from app.coaching.reasons import Refused
from app.usecases import people
from app.usecases.gate import readable_clients
from app.web.account import email_of
from app.web.coach.link_card import LinkCard, link_card
from app.web.deps import Desk, HeadDesk
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other
from app.web.security import new_token, token_sha256

router = APIRouter()

ROLES = [
    (Role.COACH.value, "Coach", "has clients of their own and decides about them"),
    (Role.STAND_IN.value, "Stand-in", "sees only clients handed over, reads and writes down, decides nothing"),
]


@router.get("/practice/people")
def show_people(desk: HeadDesk) -> Response:
    """Colleagues and handovers."""
    return _people_page(desk, Fields())


def _people_page(desk: Desk, fields: Fields) -> Response:
    return render(
        desk,
        "practice/people.html",
        status=422 if fields.errors else 200,
        colleagues=people.colleagues(desk.db, actor=desk.person, now=desk.now),
        handovers=people.handovers(desk.db, actor=desk.person, today=desk.today),
        fields=fields,
        roles=ROLES,
    )


@router.post("/practice/people")
def add_colleague(desk: HeadDesk) -> Response:
    """Add a coach or a stand-in."""
    fields = Fields(desk.form)
    name, email, role = fields.text("name"), email_of(fields), fields.choice("role", Role)
    if fields.errors or name is None or email is None or role is None:
        return _people_page(desk, fields)
    try:
        person_id = people.add_colleague(desk.db, actor=desk.person, name=name, email=email, role=role, now=desk.now)
    except Refused as refusal:
        fields.refuse("email", str(refusal))
        return _people_page(desk, fields)
    return see_other(
        desk, f"/practice/people/{person_id}", flash=f"{name} is here. Make a link for setting the password."
    )


@router.get("/practice/people/{person_id}")
def show_colleague(person_id: int, desk: HeadDesk) -> Response:
    """One colleague."""
    return _colleague_page(desk, person_id, None)


def _colleague_page(desk: Desk, person_id: int, card: LinkCard | None) -> Response:
    found = people.colleague(desk.db, actor=desk.person, person_id=person_id, now=desk.now)
    return render(desk, "practice/person.html", one=found, card=card, is_self=person_id == desk.person.person_id)


@router.post("/practice/people/{person_id}/link")
def make_link(person_id: int, desk: HeadDesk) -> Response:
    """Make a link with which a colleague sets a password; it is shown once."""
    token = new_token()
    people.make_link(desk.db, actor=desk.person, person_id=person_id, token_sha256=token_sha256(token), now=desk.now)
    desk.remember(f"/practice/people/{person_id}")
    return _colleague_page(desk, person_id, link_card(desk, token))


@router.post("/practice/people/{person_id}/switch-off")
def switch_off(person_id: int, desk: HeadDesk) -> Response:
    """End a colleague's access."""
    people.set_access(desk.db, actor=desk.person, person_id=person_id, is_active=False, now=desk.now)
    return see_other(desk, f"/practice/people/{person_id}", flash="Switched off, everywhere and at once.")


@router.post("/practice/people/{person_id}/switch-on")
def switch_on(person_id: int, desk: HeadDesk) -> Response:
    """Give a colleague access again."""
    people.set_access(desk.db, actor=desk.person, person_id=person_id, is_active=True, now=desk.now)
    return see_other(desk, f"/practice/people/{person_id}", flash="Switched on.")


@router.get("/practice/handovers/new")
def show_handover(desk: HeadDesk) -> Response:
    """The form that hands a client over."""
    return _handover_page(desk, Fields(initial={"from_on": desk.today}))


def _handover_page(desk: Desk, fields: Fields) -> Response:
    colleagues = people.colleagues(desk.db, actor=desk.person, now=desk.now)
    return render(
        desk,
        "practice/handover.html",
        status=422 if fields.errors else 200,
        fields=fields,
        clients=[
            (one.id, one.name)
            for one in readable_clients(desk.db, actor=desk.person, now=desk.now)
            if one.state is not ClientState.LEFT
        ],
        colleagues=[
            (one.person.id, one.person.name)
            for one in colleagues
            if one.person.is_active and one.person.role is not Role.HEAD_COACH
        ],
    )


@router.post("/practice/handovers/new")
def hand_over(desk: HeadDesk) -> Response:
    """Hand a client over for some days."""
    fields = Fields(desk.form)
    client_id = fields.whole("client_id", lowest=1, highest=10**12)
    person_id = fields.whole("person_id", lowest=1, highest=10**12)
    from_on = fields.day("from_on")
    until_on = fields.day("until_on", earliest=desk.today, too_early="These days are over.")
    words = fields.text("words", most=LONG_TEXT, required=False, many_lines=True)
    if fields.errors or client_id is None or person_id is None or from_on is None or until_on is None:
        return _handover_page(desk, fields)
    try:
        people.hand_over(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            person_id=person_id,
            from_on=from_on,
            until_on=until_on,
            with_private_notes=fields.yes("with_private_notes"),
            words=words,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("until_on", str(refusal))
        return _handover_page(desk, fields)
    return see_other(desk, "/practice/people", flash="Handed over.")


@router.post("/practice/handovers/{handover_id}/take-back")
def take_back(handover_id: int, desk: HeadDesk) -> Response:
    """End a handover at once."""
    people.take_back(desk.db, actor=desk.person, handover_id=handover_id, today=desk.today, now=desk.now)
    return see_other(desk, "/practice/people", flash="Taken back.")
