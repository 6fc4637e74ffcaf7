"""Weeks kept as templates for the whole practice: keeping one, naming it anew, taking it away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.prescriptions import PlannedSession
from app.coaching.week_templates import TemplateSession, WeekTemplate, template_session
from app.storage import prescriptions, week_templates
from app.storage.audit import leave_trace
from app.storage.reading import grouped
from app.usecases.gate import NotAllowed, NotYours, open_record


@dataclass(frozen=True, slots=True)
class TemplateLine:
    """A template with its sessions, day by day."""

    template: WeekTemplate
    sessions: tuple[TemplateSession, ...]


def require_planner(actor: Actor) -> None:
    """Templates are for those who plan. Raises: NotAllowed for a stand-in."""
    if not may_plan(actor):
        raise NotAllowed("A stand-in looks after clients; plans are written by their coach.")


def may_plan(actor: Actor) -> bool:
    """Whether a person plans for clients of their own."""
    return Action.DECIDE in actions_for(actor.role, Relation.OWN_CLIENT)


def every_template(db: Session) -> tuple[TemplateLine, ...]:
    """All templates of the practice, by name."""
    found = week_templates.every(db)
    sessions = week_templates.sessions_of(db, week_template_ids=[one.id for one in found])
    by_template = grouped(sessions, lambda one: one.week_template_id)
    return tuple(TemplateLine(one, by_template.get(one.id, ())) for one in found)


def open_template(db: Session, *, template_id: int) -> TemplateLine:
    """One template. Raises: NotYours when there is none."""
    found = week_templates.one(db, week_template_id=template_id)
    if found is None:
        raise NotYours("There is no such template here.")
    return TemplateLine(found, tuple(week_templates.sessions_of(db, week_template_ids=[template_id])))


def going_in(db: Session, *, client_id: int, monday: date) -> list[PlannedSession]:
    """What takes place in a client's week as it is planned, drafts included."""
    newest = prescriptions.newest_between(
        db, client_ids=[client_id], from_on=monday, until_on=monday + timedelta(days=6)
    )
    return [one for one in newest if not one.is_cancelled]


def keep_template(
    db: Session, *, actor: Actor, client_id: int, monday: date, name: str, now: datetime
) -> tuple[int | None, str]:
    """Keep a client's week under a name; returns the template, or what stands in its way in a sentence."""
    require_planner(actor)
    open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    going = going_in(db, client_id=client_id, monday=monday)
    if not going:
        return None, "Nothing is planned in this week; there is nothing to keep."
    if week_templates.by_name(db, name=name) is not None:
        return None, _taken(name)
    template_id = week_templates.add(
        db, name=name, sessions=[template_session(one) for one in going], person_id=actor.person_id, at=now
    )
    change = {"after": {"name": name, "sessions": len(going)}}
    _trace(db, actor, template_id, action="kept", change=change, now=now)
    return template_id, ""


def rename_template(db: Session, *, actor: Actor, template_id: int, name: str, now: datetime) -> str:
    """Give a template another name; returns what stands in its way in a sentence, "" when nothing does."""
    require_planner(actor)
    before = open_template(db, template_id=template_id).template
    same = week_templates.by_name(db, name=name)
    if same is not None and same.id != template_id:
        return _taken(name)
    week_templates.rename(db, week_template_id=template_id, name=name)
    change = {"before": {"name": before.name}, "after": {"name": name}}
    _trace(db, actor, template_id, action="renamed", change=change, now=now)
    return ""


def remove_template(db: Session, *, actor: Actor, template_id: int, now: datetime) -> str:
    """Take a template away; what was laid from it stays. Returns its name."""
    require_planner(actor)
    found = open_template(db, template_id=template_id)
    week_templates.remove(db, week_template_id=template_id)
    told = [f"{one.weekday}: {one.title}, {one.minutes} min" for one in found.sessions]
    change = {"before": {"name": found.template.name, "sessions": told}}
    _trace(db, actor, template_id, action="removed", change=change, now=now)
    return found.template.name


def _taken(name: str) -> str:
    return f"A template is called {name} already; give this one another name."


def _trace(
    db: Session, actor: Actor, template_id: int, *, action: str, change: Mapping[str, object], now: datetime
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=action,
        subject="week template",
        subject_id=template_id,
        change=change,
    )
