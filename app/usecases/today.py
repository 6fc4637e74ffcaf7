"""The client's Today: what to do, why, how hard, what is paused, and what is still unanswered."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.check_ins import week_asked_about
from app.coaching.client_voice import client_voice, has_named_a_symptom, waits_only_for_answers
from app.coaching.clinician_limit import ClinicianLimit, clinician_limit
from app.coaching.hard_spacing import TooSoon, too_soon_after_done
from app.coaching.heart_rate_trust import trust_of
from app.coaching.heat import caution_today
from app.coaching.heavy_legs import heavy_before, legs_words
from app.coaching.hills import Hill
from app.coaching.history import History
from app.coaching.hold_rules import MayTrain, StoppedWork, may_train_within
from app.coaching.holds import Hold
from app.coaching.illness_return import has_cold, return_lines, within_a_cold
from app.coaching.leave_to_train import stopped_now
from app.coaching.matching import is_on_leave
from app.coaching.note_beside_pause import NoteShown, notes_shown
from app.coaching.pairing import match
from app.coaching.people import Client, ClientState, Visibility
from app.coaching.plan_sending import is_coached
from app.coaching.plan_told import ToldChange, told_changes
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness_rules import HardDayAnswer, hard_day
from app.coaching.reasons import StaleEdit
from app.coaching.rules import Rules
from app.coaching.screening_decision import newest_answers, screening_due
from app.coaching.session_logs import SessionLog
from app.coaching.told_away import waiting_words
from app.coaching.weeks import local_day, start_of_day, week_days, week_start
from app.storage import clients, hills, history, illness, plan_window, prescriptions, safety
from app.storage.audit import leave_trace
from app.storage.reading import grouped
from app.usecases.gate import NotYours, open_record

#: Long enough for the transition weeks and the gaps that decide about hard work.
WINDOW_BACK_DAYS = 400
UNANSWERED_DAYS = 6
#: How far ahead the first session of a plan is looked for, and how many are named when none is near.
WINDOW_AHEAD_DAYS = 400
NAMED_WHEN_FAR = 3


@dataclass(frozen=True, slots=True)
class TodaySession:
    """One session of today as it stands now."""

    session: PlannedSession
    may: MayTrain
    #: The entry that answers it already.
    log_id: int | None
    #: The version before the one shown, when the coach changed it.
    before: PlannedSession | None
    #: What today's readiness note says about a hard session.
    readiness: HardDayAnswer | None
    #: Heavy leg work within a day of a hard session; None without.
    legs: str | None
    #: Hard work that was really done too short before it; None without.
    too_soon: TooSoon | None
    #: The hill its rounds are done on; None without.
    hill: Hill | None = None

    @property
    def is_demanding(self) -> bool:
        """Whether it holds middle or hard work."""
        return is_hard_or_middle(self.session)


@dataclass(frozen=True, slots=True)
class TodayView:
    """Everything the page shows."""

    client: Client
    today: date
    stopped: StoppedWork
    sessions: tuple[TodaySession, ...]
    #: Sessions that stood today and were cancelled or moved to another day.
    taken_away: tuple[PlannedSession, ...]
    coming: tuple[PlannedSession, ...]
    #: What became of sessions to come after the client had them.
    changed_ahead: tuple[ToldChange, ...]
    unanswered: tuple[PlannedSession, ...]
    notes: tuple[NoteShown, ...]
    is_on_leave: bool
    open_holds: tuple[Hold, ...]
    #: Nothing is wrong; the first questions are open.
    waits_only_for_answers: bool
    has_named_a_symptom: bool
    #: Whether any block is written from today on, so that an empty day is a day of rest.
    has_plan: bool
    #: A plan that has not begun, or goes on after a pause: its first session. None while sessions are near.
    begins_with: PlannedSession | None
    is_first_plan: bool
    #: The dated steps back after illness; empty when nobody is on the way back.
    return_lines: tuple[str, ...]
    limit: ClinicianLimit | None
    #: What heat asks of a hard session today; None when nothing.
    heat: str | None
    #: The heavy leg work that hard sessions wait for; None without.
    heavy: SessionLog | None
    #: What was told of days away and waits for the coach; empty when nothing does.
    told_words: str
    #: Why the screening questions are due; None while the answers are fresh.
    questions_due: str | None
    #: The week may be told and was not yet.
    asks_of_the_week: bool
    #: Answered, and being coached is not agreed to: what was promised is a talk first.
    coaching_is_open: bool

    def pause_of(self, session: PlannedSession) -> MayTrain | None:
        """Why a session to come would not be done as it stands; None when it would."""
        may = may_train_within(self.stopped, session)
        return may if may.is_paused else None

    @property
    def has_cold(self) -> bool:
        """Whether a cold stands: what is planned easy is done short and alone, or not at all."""
        return has_cold(self.open_holds)

    @property
    def changed_to_tell(self) -> tuple[ToldChange, ...]:
        """What the coach changed, without work that is paused: nothing stopped is named as if it stood."""
        if self.stopped.all_because:
            return ()
        return tuple(one for one in self.changed_ahead if one.now.is_cancelled or self.pause_of(one.now) is None)

    def waits_for_legs(self, session: PlannedSession) -> bool:
        """Whether a hard session to come lies within a day of heavy leg work."""
        is_near = self.heavy is not None and session.planned_on - self.heavy.done_on <= timedelta(days=1)
        return session.is_hard and is_near

    @property
    def unseen_version_ids(self) -> tuple[int, ...]:
        """Versions shown in full that the client had not seen before."""
        shown = (*(one.session for one in self.sessions), *self.taken_away)
        return tuple(one.version_id for one in shown if one.seen_at is None)


def load(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> TodayView:
    """Today for one client."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    end = max(week_days(week_start(today))[-1], today + timedelta(days=3))
    [found] = history.load(db, client_ids=[client_id], from_on=today - timedelta(days=WINDOW_BACK_DAYS), until_on=end)
    versions = _versions_ahead(db, client_id, today)
    standing = _standing(versions)
    of_today = [one for one in standing if one.planned_on == today]
    answered = match(of_today, found.logs, today)
    stopped = stopped_now(found, today, rules, voice=client_voice(found, today, rules))
    sessions = [
        _session(one, versions[one.id], answered.get(one.id), found, stopped=stopped, today=today, rules=rules)
        for one in of_today
    ]
    return TodayView(
        client=client,
        today=today,
        stopped=stopped,
        sessions=_on_hills(db, sessions),
        taken_away=tuple(_taken_away(versions, today, client.zone)),
        coming=_coming(standing, today, end),
        changed_ahead=told_changes(versions.values(), today=today, until=end, zone=client.zone),
        unanswered=_unanswered(found, today),
        notes=notes_shown([one for one in found.notes if one.read_at is None], found, today, rules),
        is_on_leave=is_on_leave(found.leaves, today),
        open_holds=found.open_holds,
        waits_only_for_answers=waits_only_for_answers(found, stopped),
        has_named_a_symptom=has_named_a_symptom(found),
        has_plan=bool(standing) or _was_planned_lately(found, today),
        begins_with=None if of_today or _was_planned_lately(found, today) else _first_ahead(standing, today),
        is_first_plan=not any(one.planned_on < today for one in found.planned),
        return_lines=return_lines(found.illness_returns, today),
        limit=clinician_limit(found, today),
        heat=caution_today(found, illness.heat_on(db, day=today), today),
        heavy=heavy_before(found, today),
        told_words=waiting_words(found.told_away),
        questions_due=screening_due(found, today, rules),
        asks_of_the_week=_asks_of_the_week(found, today),
        coaching_is_open=newest_answers(found) is not None and not is_coached(found.consents),
    )


def _asks_of_the_week(found: History, today: date) -> bool:
    week_on = week_asked_about(today) if found.client.state is ClientState.ACTIVE else None
    return week_on is not None and all(one.week_on != week_on for one in found.check_ins)


def _versions_ahead(db: Session, client_id: int, today: date) -> dict[int, tuple[PlannedSession, ...]]:
    """Every published version of the sessions from today on, by session, oldest version first."""
    until_on = today + timedelta(days=WINDOW_AHEAD_DAYS)
    published = plan_window.published_between(db, client_ids=[client_id], from_on=today, until_on=until_on)
    return grouped(published, lambda one: one.id)


def note_versions_seen(db: Session, *, client_id: int, version_ids: tuple[int, ...], now: datetime) -> None:
    """Note that the client saw some versions; runs in the journal's own transaction."""
    for version_id in version_ids:
        prescriptions.mark_seen(db, version_id=version_id, client_id=client_id, at=now)


def note_holds_seen(db: Session, *, client_id: int, hold_ids: tuple[int, ...], now: datetime) -> None:
    """Note that the client saw some holds; runs in the journal's own transaction."""
    safety.mark_holds_seen(db, client_id=client_id, hold_ids=hold_ids, at=now)


def mark_note_read(db: Session, *, actor: Actor, client_id: int, note_id: int, now: datetime) -> None:
    """Mark a coach's note as read. Raises: NotYours for a note that is not shown to this client."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    note = next((one for one in clients.notes(db, client_id=client_id) if one.id == note_id), None)
    if note is None or note.visibility is not Visibility.CLIENT:
        raise NotYours("There is no such note here.")
    if not clients.mark_note_read(db, note_id=note_id, client_id=client_id, at=now):
        raise StaleEdit("This note is marked as read already.")
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="read",
        subject="note",
        subject_id=note_id,
    )


def _session(
    session: PlannedSession,
    versions: tuple[PlannedSession, ...],
    log: SessionLog | None,
    found: History,
    *,
    stopped: StoppedWork,
    today: date,
    rules: Rules,
) -> TodaySession:
    direct = [one.id for one in found.logs if one.planned_session_id == session.id]
    return TodaySession(
        session=session,
        may=within_a_cold(may_train_within(stopped, session), found.open_holds),
        log_id=direct[0] if direct else (log.id if log else None),
        before=_before(session, versions),
        readiness=(
            hard_day(found.readiness, today, rules, trust_of(found, today)) if is_hard_or_middle(session) else None
        ),
        legs=_legs(found, session, today),
        too_soon=too_soon_after_done(found, session, today, rules),
    )


def _standing(versions: dict[int, tuple[PlannedSession, ...]]) -> list[PlannedSession]:
    """The last version of each session that takes place, day by day."""
    last = (one[-1] for one in versions.values())
    return sorted((one for one in last if not one.is_cancelled), key=lambda one: (one.planned_on, one.id))


def _on_hills(db: Session, sessions: list[TodaySession]) -> tuple[TodaySession, ...]:
    found = hills.of_sessions(db, sessions=[one.session for one in sessions])
    return tuple(replace(one, hill=found.get(one.session.hill_id or 0)) for one in sessions)


def _legs(found: History, session: PlannedSession, today: date) -> str | None:
    heavy = heavy_before(found, today) if session.is_hard else None
    return legs_words(heavy, today) if heavy else None


def _before(session: PlannedSession, versions: tuple[PlannedSession, ...]) -> PlannedSession | None:
    """The version that stood before the one shown."""
    earlier = [one for one in versions if one.version < session.version]
    return earlier[-1] if earlier else None


def _taken_away(versions: dict[int, tuple[PlannedSession, ...]], today: date, zone: str) -> list[PlannedSession]:
    """Last versions that are cancelled or on another day, of sessions that stood today before they were changed."""
    gone = []
    for of_one in versions.values():
        last = of_one[-1]
        stood_today = any(one.planned_on == today and not one.is_cancelled for one in of_one[:-1])
        is_gone = last.is_cancelled or last.planned_on != today
        changed_lately = last.published_at is not None and last.published_at >= start_of_day(
            today - timedelta(days=2), zone
        )
        if stood_today and is_gone and changed_lately:
            gone.append(last)
    return gone


def _first_ahead(standing: list[PlannedSession], today: date) -> PlannedSession | None:
    return next((one for one in standing if one.planned_on > today), None)


def _coming(standing: list[PlannedSession], today: date, end: date) -> tuple[PlannedSession, ...]:
    """What comes in the next days, or the first of it when all of it is later."""
    ahead = [one for one in standing if one.planned_on > today]
    return tuple(one for one in ahead if one.planned_on <= end) or tuple(ahead[:NAMED_WHEN_FAR])


def _was_planned_lately(found: History, today: date) -> bool:
    since = today - timedelta(days=UNANSWERED_DAYS)
    return any(since <= one.planned_on < today for one in found.planned)


def _unanswered(found: History, today: date) -> tuple[PlannedSession, ...]:
    """Sessions of the last days that nobody has said anything about; never on agreed leave."""
    since = today - timedelta(days=UNANSWERED_DAYS)
    answered = {one.planned_session_id for one in found.logs}
    matched: set[int] = set()
    for monday in {week_start(since), week_start(today)}:
        days = set(week_days(monday))
        planned = [one for one in found.planned if one.planned_on in days]
        matched |= match(planned, [one for one in found.logs if one.done_on in days], today).keys()
    return tuple(
        one
        for one in found.planned
        if since <= one.planned_on < today
        and one.id not in answered
        and one.id not in matched
        and not is_on_leave(found.leaves, one.planned_on)
    )
