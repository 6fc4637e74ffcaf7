"""Small scenes for tests of plans, written through the storage floor."""

from __future__ import annotations

import re
from dataclasses import fields
from datetime import timedelta
from html import unescape
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Person
from app.coaching.people import AvailableDay, Client
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.screening import ConsentKind, ScreeningAnswers
from app.storage import clients, prescriptions, safety
from tests import factories, seed
from tests.safety_scenes import agree_to

#: The Monday after the tests' Wednesday, and the one before it.
NEXT_MONDAY = seed.TODAY + timedelta(days=5)
THIS_MONDAY = seed.TODAY - timedelta(days=2)


def actor_of(person: Person) -> Actor:
    """A person as the acting one."""
    return Actor(person.id, person.name, person.role, person.client_id)


def add_answers(db: Session, client: Client, **changes: Any) -> None:
    """Screening answers of ten days ago: active, no disease, no symptoms."""
    wished = factories.answers(answered_on=seed.TODAY - timedelta(days=10), **changes)
    values = {f.name: getattr(wished, f.name) for f in fields(ScreeningAnswers)}
    for name in ("id", "client_id", "entered_at", "person_id"):
        del values[name]
    safety.add_screening(db, client_id=client.id, person_id=client.coach_id, at=wished.entered_at, **values)


def may_do_hard_work(db: Session, client: Client, phase: Phase = Phase.INTERVAL_ONE, weeks: int = 20) -> None:
    """Screened, agreed, regularly active, and promoted some weeks ago: nothing stands in the way of hard work."""
    add_answers(db, client)
    is_coached(db, client)
    day = seed.TODAY - timedelta(weeks=40)
    clients.change(db, client_id=client.id, revision=1, values={"regularly_active_confirmed_on": day})
    seed.add_phase(
        db, client=client, kind=DecisionKind.PROMOTE, phase=phase, since_on=seed.TODAY - timedelta(weeks=weeks)
    )


def is_coached(db: Session, client: Client) -> None:
    """Agreed to being coached."""
    agree_to(db, client=client, person_id=client.coach_id, kinds=(ConsentKind.COACHING,))


def in_base(db: Session, client: Client, *, has_agreed: bool = True) -> None:
    """Screened, agreed to being coached, and in the aerobic base, with three days a week."""
    add_answers(db, client)
    if has_agreed:
        is_coached(db, client)
    seed.add_phase(db, client=client)
    give_days(db, client)


def give_days(db: Session, client: Client) -> None:
    """Monday, Wednesday and Saturday."""
    days = [
        AvailableDay(client.id, weekday, slot, "the park", None) for weekday, slot in ((0, 60), (2, 60), (5, 120))
    ]
    clients.replace_available_days(db, client_id=client.id, days=days)


def add_draft(db: Session, session_id: int, **changes: Any) -> None:
    """A next version of a planned session that is not published."""
    session = versions(db, session_id)[-1]
    prescriptions.add_version(
        db,
        planned_session_id=session_id,
        client_id=session.client_id,
        draft=prescriptions.draft_from(session, **changes),
        person_id=session.person_id,
        at=seed.NOW,
    )


def versions(db: Session, session_id: int) -> list[PlannedSession]:
    """All versions of a planned session."""
    return prescriptions.versions(db, planned_session_id=session_id)


def planned_of(db: Session, client: Client) -> list[PlannedSession]:
    """The newest versions of everything planned from a month back on, cancelled ones left out."""
    found = prescriptions.newest_between(
        db,
        client_ids=[client.id],
        from_on=seed.TODAY - timedelta(days=30),
        until_on=seed.TODAY + timedelta(days=400),
    )
    return [one for one in found if not one.is_cancelled]


def words_of(page: Any) -> str:
    """A page's text without tags, spaces squeezed."""
    text = re.sub(r"<(script|style)\b.*?</\1>", " ", page.text, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def form_of(page: Any, action: str) -> dict[str, str]:
    """The values a form on a page would send as it stands: inputs, chosen options and texts, no buttons."""
    found = re.search(rf'<form action="{re.escape(action)}".*?</form>', page.text, flags=re.DOTALL)
    assert found, f"no form leads to {action}"
    return _inputs(found[0]) | _selects(found[0]) | _texts(found[0])


def _inputs(form: str) -> dict[str, str]:
    values = {}
    for tag in re.findall(r"<input\b[^>]*>", form):
        said = dict(re.findall(r'(\w[\w-]*)="([^"]*)"', tag))
        is_open = said.get("type") in ("checkbox", "radio") and " checked" not in tag
        if "name" in said and not is_open and said["name"] not in ("csrf_token", "request_id"):
            values[said["name"]] = unescape(said.get("value", ""))
    return values


def _selects(form: str) -> dict[str, str]:
    values = {}
    for name, inside in re.findall(r'<select [^>]*name="([^"]+)"[^>]*>(.*?)</select>', form, flags=re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', inside)
        first = re.search(r'<option value="([^"]*)"', inside)
        values[name] = unescape((chosen or first)[1]) if (chosen or first) else ""
    return values


def _texts(form: str) -> dict[str, str]:
    found = re.findall(r'<textarea [^>]*name="([^"]+)"[^>]*>\n?(.*?)</textarea>', form, flags=re.DOTALL)
    return {name: unescape(text) for name, text in found}
