"""One logged session for the coach: planned beside done, rounds, versions and corrections."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.effort import TALK_WORDS
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.matching import STATUS_WORDS, EffortCompare, Pair
from app.coaching.people import ENTRY_ORIGIN_WORDS, Mode
from app.coaching.prescriptions import KIND_WORDS, PlannedSession
from app.coaching.session_logs import RoundDone, SessionLog
from app.coaching.trail import Change
from app.coaching.words import done_minutes_words
from app.usecases import logged_session as use
from app.usecases.logged_session import LoggedSession
from app.web.coach import client_words as words
from app.web.coach.client_views import VISIBILITY_WORDS
from app.web.coach.session_rounds import session_rounds
from app.web.deps import AskedId, CoachDesk
from app.web.filters import minutes
from app.web.log_words import ANSWER_WORDS, HURT_WORDS, POSTURE_WORDS
from app.web.render import render
from app.web.session_view import session_view

router = APIRouter()

SECONDS_AN_HOUR = 3600
M_A_KM = 1000
ON_FOOT = frozenset({Mode.WALK, Mode.RUN, Mode.TREADMILL})
EFFORT_COMPARED = {
    EffortCompare.SAME: "the band that was planned",
    EffortCompare.ABOVE: "a harder band than planned",
    EffortCompare.BELOW: "an easier band than planned",
}


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round as a row."""

    number: int
    time: str
    is_complete: bool
    power: str
    speed: str
    heart_rate: str
    cadence: str
    effort: str
    #: Mean heart rate, strokes and posture: typed only now and then.
    more: str


@dataclass(frozen=True, slots=True)
class VersionView:
    """One published version of the plan."""

    number: int
    what: str
    who: str
    published: str
    reason: str
    is_compared: bool


@dataclass(frozen=True, slots=True)
class WrittenView:
    """A note or a correction: when, who, what."""

    at: str
    who: str
    text: str
    changes: tuple[Change, ...] = ()


@router.get("/clients/{client_id}/sessions/{log_id}")
def page(desk: CoachDesk, client_id: int, log_id: int, beside: AskedId = None) -> Response:
    """What was planned beside what was done, and how each round went."""
    found = use.open_logged(
        desk.db, actor=desk.person, client_id=client_id, log_id=log_id, rules=desk.rules, now=desk.now
    )
    planned = found.pair.planned if found.pair else None
    log, zone = found.log, found.client.zone
    return render(
        desk,
        "sessions/log.html",
        client=found.client,
        log_id=log.id,
        may_log=Action.LOG in found.may,
        day=words.long(log.done_on),
        sentence=_sentence(found.pair, log),
        planned=session_view(planned) if planned else None,
        planned_on=words.short(planned.planned_on) if planned else "",
        facts=_facts(found),
        heart_rate=found.heart_rate,
        rounds_read=session_rounds(desk, client_id=client_id, log_id=log.id, beside_id=beside),
        here_at=f"/clients/{client_id}/sessions/{log.id}",
        rounds=[_round(one, log.mode, found.heart_rate) for one in log.rounds],
        note=log.note or "",
        versions=[_version(found, one, planned) for one in found.versions],
        corrections=[
            WrittenView(words.at_local(one.at, zone), one.who, one.action, one.changes) for one in found.corrections
        ],
        notes=[
            WrittenView(
                words.at_local(one.written_at, zone),
                f"{found.name_of(one.person_id)}, {VISIBILITY_WORDS[one.visibility]}",
                one.text,
            )
            for one in found.notes
        ],
    )


def _sentence(pair: Pair | None, log: SessionLog) -> str:
    if pair is None or pair.planned is None:
        return "Done beside the plan: nothing planned answers to it."
    moved = f" from {words.short(pair.moved_from)}" if pair.moved_from else ""
    status = STATUS_WORDS[pair.status].capitalize() + moved
    if log.minutes is None:
        return f"{status}: {minutes(pair.planned.minutes)} were planned."
    share = f"{minutes(log.minutes)} of {minutes(pair.planned.minutes)}"
    effort = f", in {EFFORT_COMPARED[pair.effort]}" if pair.effort else ", effort not said"
    return f"{status}: {share}{effort}."


def _facts(found: LoggedSession) -> list[tuple[str, str]]:
    log = found.log
    entered = f"{words.at_local(log.entered_at, found.client.zone)}, {ENTRY_ORIGIN_WORDS[log.origin]}"
    rows = [
        ("What", f"{KIND_WORDS[log.kind]}, {words.MODE_WORDS[log.mode]}"),
        ("Answer", ANSWER_WORDS[log.answer]),
        ("Time", "none" if log.minutes is None else done_minutes_words(log.minutes)),
        ("Effort, 0-10", "not said" if log.effort is None else f"{log.effort:g}"),
        ("Talk", TALK_WORDS[log.talk] if log.talk else "not said"),
        ("After the last round", POSTURE_WORDS[log.posture] if log.posture else ""),
        ("First half minute of a round", "" if log.first_30_hurt is None else HURT_WORDS[log.first_30_hurt]),
        ("Felt", "all out, whatever was planned" if log.felt_all_out else ""),
        ("Why not", words.WHY_NOT_WORDS[log.why_not] if log.why_not else ""),
        ("Beside", words.SPOILT_WORDS[log.spoilt_by] if log.spoilt_by else ""),
        ("Entered", f"{entered}{', from memory' if log.from_memory else ''}"),
    ]
    return [(name, text) for name, text in rows if text]


def _round(one: RoundDone, mode: Mode, heart_rate: HeartRateTrust) -> RoundView:
    rate = one.heart_rate_end_bpm
    return RoundView(
        number=one.number,
        time=words.clock_words(one.duration_s),
        is_complete=one.is_complete,
        power=_plain(one.power_w),
        speed=_speed(one.speed_m_per_s, mode),
        heart_rate=heart_rate.beside(_plain(rate)) if rate is not None else "",
        cadence=_plain(one.cadence_per_min),
        effort=_plain(one.effort),
        more=_more(one, heart_rate),
    )


def _more(one: RoundDone, heart_rate: HeartRateTrust) -> str:
    mean = one.heart_rate_mean_bpm
    said = (
        heart_rate.beside(f"mean heart rate {mean}") if mean is not None else "",
        f"{one.strokes} strokes" if one.strokes is not None else "",
        POSTURE_WORDS[one.posture].lower() if one.posture is not None else "",
    )
    return ", ".join(part for part in said if part)


def _speed(speed_m_per_s: float | None, mode: Mode) -> str:
    """Minutes a kilometre on foot, kilometres an hour otherwise."""
    if not speed_m_per_s:
        return ""
    if mode in ON_FOOT:
        return f"{words.clock_words(M_A_KM / speed_m_per_s)} /km"
    return f"{speed_m_per_s * SECONDS_AN_HOUR / M_A_KM:.1f} km/h"


def _plain(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _version(found: LoggedSession, one: PlannedSession, compared: PlannedSession | None) -> VersionView:
    gone = "cancelled, " if one.is_cancelled else ""
    published = words.at_local(one.published_at, found.client.zone) if one.published_at else ""
    return VersionView(
        number=one.version,
        what=f"{gone}{one.title}, {minutes(one.minutes)}, {words.short(one.planned_on)}",
        who=found.name_of(one.person_id),
        published=published,
        reason=one.reason or "",
        is_compared=compared is not None and one.version_id == compared.version_id,
    )
