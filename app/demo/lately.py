"""What happened in the last days: the events each story leads up to."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta

from app.coaching.data_requests import DataRequestKind
from app.coaching.effort import Talk
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.readiness import Illness
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayKind
from app.demo import papers
from app.demo.answers import extra, how
from app.demo.diary import Diary
from app.storage import clients, phases, session_logs
from app.storage.audit import leave_trace
from app.storage.felt_wrong import raise_traced
from app.usecases import data_requests, felt_wrong, promoting
from app.usecases.plan_sessions import days_away

WEEKS_BROUGHT_IN = 30


def _hedda(diary: Diary) -> None:
    """Pressure in the chest on yesterday's hill."""
    yesterday = diary.day(-1)
    told = felt_wrong.Report(
        "chest",
        yesterday,
        Mode.WALK,
        "A tight band across the chest on the steep bit. Gone after I stood still. Walked home slowly.",
    )
    felt_wrong.report(
        diary.db,
        actor=diary.me,
        client_id=diary.client.id,
        report=told,
        origin=Origin.CLIENT,
        now=diary.at(yesterday, 18, 40),
    )


def _ruud(diary: Diary) -> None:
    """A club race ten days ago, and an easy run with the club yesterday that was none."""
    extra(
        diary,
        10,
        minutes=38,
        effort=9,
        talk=Talk.FEW_WORDS,
        note="Club evening, 7 km. Doesn't count, just fun.",
        is_race=True,
    )
    extra(
        diary,
        1,
        minutes=46,
        effort=7,
        talk=Talk.FEW_WORDS,
        note="Easy run with the club, on top. They pushed a bit at the end.",
        is_race=False,
    )


def _mirela(diary: Diary) -> None:
    """A bad night before today's rounds."""
    how(
        diary,
        diary.today,
        sleep=6,
        fatigue=6,
        stress=4,
        soreness=2,
        mood=3,
        slept_h=4.5,
        text="Two emergencies, home late. I can ride if you say so.",
    )


def _sanne(diary: Diary) -> None:
    """Fever since yesterday; everything pauses."""
    yesterday = diary.day(-1)
    how(
        diary,
        yesterday,
        sleep=6,
        fatigue=6,
        stress=3,
        soreness=5,
        mood=2,
        illness=Illness.FEVER_OR_BELOW,
        not_right_today=True,
        text="38.6 this morning, aching all over.",
    )
    raise_traced(
        diary.db,
        client_id=diary.client.id,
        kind=HoldKind.ILLNESS,
        stops=Stops.ALL,
        mode=None,
        cause="Fever or ill below the neck",
        began_on=yesterday,
        person_id=diary.me.person_id,
        at=diary.at(yesterday, 7),
    )


def _bruno(diary: Diary) -> None:
    """The knee, two days ago, on the way down."""
    day = diary.day(-2)
    told = felt_wrong.Report("joint", day, Mode.RUN, "Left knee, outside, going down the steps. Walking is fine.")
    felt_wrong.report(
        diary.db,
        actor=diary.me,
        client_id=diary.client.id,
        report=told,
        origin=Origin.CLIENT,
        now=diary.at(day, 19, 10),
    )


def _petra(diary: Diary) -> None:
    """The letter went out eleven days ago."""
    papers.request_clearance(diary, diary.day(-11))


def _nils(diary: Diary) -> None:
    """Agreed time off since three days ago."""
    clients.add_leave(
        diary.db,
        client_id=diary.client.id,
        from_on=diary.day(-3),
        until_on=diary.day(8),
        reason="With the children at the sea; the watch stays at home.",
    )


def _helmut(diary: Diary) -> None:
    """Stays at one a week: a decision, not an omission."""
    monday = diary.monday(-6)
    promoting.decide(
        diary.db,
        actor=diary.coach,
        client_id=diary.client.id,
        kind=DecisionKind.STAY,
        phase=Phase.INTERVAL_ONE,
        since_on=monday,
        reason="Stays at one a week, by his own wish and mine: at 72 that is a good end.",
        override_reason=None,
        now=diary.at(monday, 9),
    )


def _piotr(diary: Diary) -> None:
    """The flu that began nine weeks ago, lifted when he was well again."""
    from_on, until_on = diary.monday(-8), diary.monday(-3) - timedelta(days=1)
    clients.add_leave(
        diary.db, client_id=diary.client.id, from_on=from_on, until_on=until_on, reason="Flu and what came after"
    )


def _dagny(diary: Diary) -> None:
    """Half a year of another coach's records, brought in with a page that vouches for them."""
    first = diary.monday(-1) - timedelta(weeks=WEEKS_BROUGHT_IN)
    since = diary.monday(-26)
    entered = diary.joined_on + timedelta(days=1)
    for week in range(WEEKS_BROUGHT_IN):
        for offset in diary.part.days:
            day = first + timedelta(weeks=week, days=diary.day(offset).weekday())
            if day < diary.joined_on:
                session_logs.add(diary.db, log=_brought_in(diary, day, entered))
    for week in range(WEEKS_BROUGHT_IN):
        day = first + timedelta(weeks=week, days=6)
        if day < diary.joined_on:
            how(diary, day, origin=Origin.FILE, entered_at=diary.at(entered, 14))
    decision_id = phases.decide(
        diary.db,
        client_id=diary.client.id,
        kind=DecisionKind.BROUGHT_IN,
        phase=Phase.INTERVAL_ONE,
        since_on=since,
        reason="Brought in with her spreadsheet.",
        evidence_json=json.dumps({}),
        person_id=diary.coach.person_id,
        at=diary.at(entered, 14),
        attested_by="a letter of her coach on the coast",
    )
    leave_trace(
        diary.db,
        at=diary.at(entered, 14),
        person_id=diary.coach.person_id,
        client_id=diary.client.id,
        action="brought in",
        subject="phase",
        subject_id=decision_id,
    )


def _brought_in(diary: Diary, day: date, entered: date) -> SessionLog:
    return SessionLog(
        id=0,
        client_id=diary.client.id,
        planned_session_id=None,
        done_on=day,
        answer=Answer.SOMETHING_ELSE,
        kind=SessionKind.EASY,
        mode=diary.part.mode,
        minutes=float(diary.rng.randint(44, 72)),
        effort=float(diary.rng.choice((2, 3, 3, 4))),
        talk=Talk.CHAT,
        felt_all_out=False,
        posture=None,
        why_not=None,
        spoilt_by=None,
        note=None,
        origin=Origin.FILE,
        entered_at=diary.at(entered, 14),
        person_id=diary.coach.person_id,
        from_memory=False,
        rounds=(),
        revision=1,
    )


def _gerda(diary: Diary) -> None:
    """Paused by her own wish five weeks ago."""
    _set_state(diary, ClientState.PAUSED, diary.day(-37), "Her husband is in hospital.")


def _lionel(diary: Diary) -> None:
    """Left eleven weeks ago, and wrote two weeks ago that his records may go."""
    _set_state(diary, ClientState.LEFT, diary.day(-77), "Moved abroad for work.")
    data_requests.record(
        diary.db,
        actor=diary.coach,
        client_id=diary.client.id,
        kind=DataRequestKind.ERASURE,
        asked_on=diary.day(-16),
        text="All settled here and running with a club by the water. Please delete what you still keep of me.",
        origin=Origin.FROM_PAPER,
        now=diary.at(diary.day(-15), 12),
    )


def _frauke(diary: Diary) -> None:
    """Said last night that she is on the road next week."""
    evening = diary.day(-1)
    road = days_away.Telling(
        AwayKind.TRAVEL,
        diary.day(5),
        diary.day(9),
        Possible.LESS,
        text="Three hotels in five days. The second one says it has a treadmill.",
    )
    days_away.tell(
        diary.db,
        actor=diary.me,
        client_id=diary.client.id,
        telling=road,
        origin=Origin.CLIENT,
        now=diary.at(evening, 21, 5),
    )


def _set_state(diary: Diary, state: ClientState, day: date, reason: str) -> None:
    clients.set_state(diary.db, client_id=diary.client.id, state=state)
    leave_trace(
        diary.db,
        at=diary.at(day, 12),
        person_id=diary.coach.person_id,
        client_id=diary.client.id,
        action="changed",
        subject="state",
        subject_id=diary.client.id,
        change={"after": {"state": state}},
        reason=reason,
    )


_EVENTS: dict[str, Callable[[Diary], None]] = {
    "hedda": _hedda,
    "ruud": _ruud,
    "mirela": _mirela,
    "sanne": _sanne,
    "bruno": _bruno,
    "petra": _petra,
    "nils": _nils,
    "helmut": _helmut,
    "piotr": _piotr,
    "dagny": _dagny,
    "gerda": _gerda,
    "lionel": _lionel,
    "frauke": _frauke,
}


def tell(diary: Diary) -> None:
    """What happened to a client lately, if anything did."""
    event = _EVENTS.get(diary.part.key)
    if event is not None:
        event(diary)
