"""What stands on top of a client's page: what waits for the coach, and today's session."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.asked_afresh import unasked_words
from app.coaching.consents import missing_words
from app.coaching.matching import STATUS_WORDS, Status
from app.coaching.people import Client, ClientState
from app.coaching.phases import waiting_decision
from app.coaching.prescriptions import KIND_WORDS, PlannedSession
from app.coaching.signals import Shelf
from app.usecases.client_file import ClientFile, ExtraToday, TodaysSession
from app.web.coach.brought_in import BroughtInView, brought_in_view
from app.web.coach.client_words import MODE_WORDS, minutes_words
from app.web.filters import minutes

#: Lines of the morning that the page says by itself.
_SAID_ON_TOP = frozenset(
    {"symptom", "clearance_missing", "questions_due", "waiting_for_questions", "days_away_told", "quiet"}
    | {"waits_for_confirmation", "contact_overdue", "block_ending"}
)
_NOT_TRAINING = frozenset({ClientState.LEFT, ClientState.PAUSED})


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing that waits for the coach, with the pages where it is done."""

    sentence: str
    links: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class TodayView:
    """One session of today as the coach reads it."""

    address: str
    title: str
    is_hard: bool
    says: str


@dataclass(frozen=True, slots=True)
class ExtraView:
    """One entry of today that was not planned."""

    address: str
    title: str
    is_hard: bool


def to_do(file: ClientFile) -> tuple[ToDo, ...]:
    """What waits for the coach, the pressing first; nothing for somebody who paused or left."""
    if file.head.client.state in _NOT_TRAINING:
        return ()
    found = (_phase(file), _questions(file), _consents(file), _days_away(file))
    return tuple(one for one in found if one is not None)


def _phase(file: ClientFile) -> ToDo | None:
    history, may_decide = file.history, file.head.may_decide
    if history.phase is not None or waiting_decision(history.decisions) is not None or not may_decide:
        return None
    base = f"/clients/{file.head.client.id}"
    return ToDo("No phase is decided yet.", ((f"{base}/start", "Start in aerobic base"),))


def _questions(file: ClientFile) -> ToDo | None:
    said = unasked_words(file.history, file.screening.light) or file.due
    if said is None:
        return None
    return ToDo(said, ways_to_ask(file.head.client, is_signed_in=file.is_signed_in) if file.head.may_log else ())


def _consents(file: ClientFile) -> ToDo | None:
    said = missing_words(file.history.consents)
    if said is None:
        return None
    return ToDo(said, ways_to_agree(file.head.client, is_signed_in=file.is_signed_in, may_log=file.head.may_log))


def _days_away(file: ClientFile) -> ToDo | None:
    waiting = [one.words for one in file.history.told_away if one.is_open]
    if not waiting:
        return None
    links = ((f"/clients/{file.head.client.id}/days-away", "Look at the changed plan"),)
    return ToDo(f"{'; '.join(waiting)}. A changed plan waits for your answer.", links if file.head.may_decide else ())


def ways_to_ask(client: Client, *, is_signed_in: bool) -> tuple[tuple[str, str], ...]:
    """How the health questions come to be answered: by telephone now, or on the phone."""
    base = f"/clients/{client.id}"
    now = (f"{base}/entry/questions", "Ask now and enter the answers")
    return (now, *_by_phone(client, "questions", "Send them to the phone", is_signed_in=is_signed_in))


def ways_to_agree(client: Client, *, is_signed_in: bool, may_log: bool = True) -> tuple[tuple[str, str], ...]:
    """How a consent is given: on paper, entered here, or on the phone."""
    base = f"/clients/{client.id}"
    paper = ((f"{base}/safety/consents", "Print the texts to sign"), (f"{base}/safety#consents-title", "Consents"))
    return (
        *paper,
        *(_by_phone(client, "consents", "Ask on the phone", is_signed_in=is_signed_in) if may_log else ()),
    )


def _by_phone(client: Client, about: str, label: str, *, is_signed_in: bool) -> tuple[tuple[str, str], ...]:
    base = f"/clients/{client.id}"
    if is_signed_in:
        return ((f"{base}/note?about={about}", label),)
    return ((f"{base}/access", "Invite to a phone"),) if client.has_phone else ()


def brought_in(file: ClientFile) -> BroughtInView | None:
    """What was brought in and waits to be confirmed."""
    found = waiting_decision(file.history.decisions)
    if found is None:
        return None
    return brought_in_view(found, by=file.name_of(found.person_id), zone=file.head.client.zone)


def todays(file: ClientFile) -> tuple[TodayView, ...]:
    """Today's planned sessions, with what may be done of each."""
    return tuple(_today(one, has_phone=file.head.client.has_phone) for one in file.todays)


def asked(file: ClientFile, shelf: Shelf) -> tuple[str, ...]:
    """What the morning asks on a shelf, without what the page says on top anyhow."""
    return tuple(one.sentence for one in file.asked if one.shelf is shelf and one.name not in _SAID_ON_TOP)


def extra_today(file: ClientFile) -> tuple[ExtraView, ...]:
    """What was done today beside the plan."""
    base = f"/clients/{file.head.client.id}/sessions"
    return tuple(
        ExtraView(f"{base}/{one.log.id}", f"{KIND_WORDS[one.log.kind]}, {_length(one)}", one.is_hard)
        for one in file.extra_today
    )


def _length(one: ExtraToday) -> str:
    return f"{MODE_WORDS[one.log.mode]}, {minutes_words(one.log.minutes)}"


def _seen(planned: PlannedSession) -> str:
    """Whether this very version stood on the phone."""
    return " Seen on the phone." if planned.seen_at is not None else " Not seen on the phone yet."


def _today(one: TodaysSession, *, has_phone: bool) -> TodayView:
    planned = one.planned
    is_open = one.status in (Status.AHEAD, Status.PAUSED)
    says = one.may.for_coach if is_open else f"{STATUS_WORDS[one.status].capitalize()}."
    instead = f" Instead: {one.may.instead}" if is_open and one.may.instead else ""
    return TodayView(
        address=f"/plan/sessions/{planned.id}",
        title=f"{planned.title}, {minutes(planned.minutes)}",
        is_hard=planned.is_hard,
        says=f"{says}{instead}{_seen(planned) if is_open and has_phone else ''}",
    )
