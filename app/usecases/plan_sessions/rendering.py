"""One planned session with its steps, as a table or as text to take along, and whether it may be done now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.heat import HeatCaution, by_effort_in_heat, caution_on
from app.coaching.hold_rules import MayTrain
from app.coaching.leave_to_train import may_train_now
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import history, illness
from app.usecases.gate import open_planned_session

#: As far back as the client's Today looks, so that both say the same.
WINDOW_BACK = timedelta(days=400)


@dataclass(frozen=True, slots=True)
class SessionSteps:
    """A session's newest version and what the client may do of it now."""

    client: Client
    session: PlannedSession
    may: MayTrain
    #: What heat asks of it on its day; None when nothing.
    heat: HeatCaution | None

    @property
    def given(self) -> PlannedSession:
        """The session as it is given to the client: by effort alone on a hot day."""
        return by_effort_in_heat(self.session, self.heat)


def open_steps(db: Session, *, actor: Actor, planned_session_id: int, rules: Rules, now: datetime) -> SessionSteps:
    """The session, for somebody who may read it."""
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.READ, now=now
    )
    today = local_day(now, client.zone)
    known = history.load(db, client_ids=[client.id], from_on=today - WINDOW_BACK, until_on=today)[0]
    heat = caution_on(known, illness.heat_on(db, day=session.planned_on), session.planned_on)
    return SessionSteps(client, session, may_train_now(known, session, today, rules), heat)
