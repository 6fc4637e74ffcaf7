"""What stops a client's hard work today, for pages that are about something else."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.client_voice import client_voice, has_named_a_symptom
from app.coaching.history import History
from app.coaching.hold_rules import stops_everything
from app.coaching.leave_to_train import stopped_now
from app.coaching.paused_together import paused_together
from app.coaching.people import ClientState
from app.coaching.phases import HARD_WORK_PHASES, current_phase
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import history
from app.usecases.gate import open_record

#: Long enough for the transition weeks and the gaps that decide about hard work.
WINDOW_BACK = timedelta(days=400)
#: Where no hold says since when, an outing of these days belongs to what is stopped now.
LATELY = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class HardPause:
    """Why a client does nothing hard now."""

    #: Coaching rests by agreement.
    is_break: bool
    stops_all: bool
    #: In the client's words; empty on an agreed break with nothing else open.
    because: tuple[str, ...]
    #: The first day an outing falls under it.
    since_on: date
    #: Nothing hard was ever planned or due and nothing is held: the plan is simply easy so far.
    never_had_any: bool
    #: A hold stops all training, easy work included.
    is_all_held: bool
    #: A sign for a clinician stands unsettled.
    has_named_a_symptom: bool
    #: Walking is paused by itself, so that no walk is offered instead.
    is_walking_paused: bool


def today(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> HardPause | None:
    """The pause of hard work that holds today; None when hard work may be done."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    day = local_day(now, client.zone)
    found = history.load(db, client_ids=[client_id], from_on=day - WINDOW_BACK, until_on=day)[0]
    stopped = stopped_now(found, day, rules, voice=client_voice(found, day, rules))
    because = (*stopped.all_because, *stopped.hard_because)
    is_break = client.state is ClientState.PAUSED
    if not because and not is_break:
        return None
    began = [one.began_on for one in found.open_holds]
    return HardPause(
        is_break=is_break,
        stops_all=bool(stopped.all_because),
        because=tuple(dict.fromkeys(because)),
        since_on=min(began, default=day - LATELY),
        never_had_any=not found.open_holds and not stopped.all_because and not _had_hard_work(found),
        is_all_held=any(stops_everything(one) for one in found.open_holds),
        has_named_a_symptom=has_named_a_symptom(found),
        is_walking_paused=paused_together(stopped).is_walking_paused,
    )


def _had_hard_work(found: History) -> bool:
    phase = current_phase(found.decisions)
    is_in_hard_phase = phase is not None and phase.phase in HARD_WORK_PHASES
    return is_in_hard_phase or any(one.is_hard for one in found.planned)
