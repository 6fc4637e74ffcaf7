"""What was measured of the demo's quicker clients, and the targets given from it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from app.coaching.measured import KnownHow, Measured, MeasuredKind, Trial, trials_to_json
from app.coaching.people import Mode, Origin
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.target_values import TargetWishes
from app.coaching.weeks import week_start
from app.demo.diary import Diary
from app.storage import prescriptions
from app.usecases import measured
from app.usecases.plan_sessions import targets

#: All-out trials, so many days ago, of whoever did them: seconds and watts.
_TRIALS: Mapping[str, tuple[int, tuple[Trial, ...]]] = {
    "matthis": (46, (Trial(184, 331.0), Trial(428, 274.0), Trial(871, 249.0))),
}
#: The power at which talking was still possible, though rather not, so many days ago.
_TALK: Mapping[str, tuple[int, float]] = {"mirela": (60, 172.0)}
#: Who is given which form of target for the next session of rounds.
_GIVEN: Mapping[str, tuple[str, str]] = {
    "matthis": ("power_curve", "From your three trials in October."),
    "ruud": ("pace_ladder", "From your 5 km: begin slower than you think."),
}
_AHEAD = timedelta(days=13)
_GIVEN_AHEAD = 2


def write_targets(diary: Diary) -> None:
    """Measured figures of one client, and a target on the next session of rounds."""
    key = diary.part.key
    if key in _TRIALS:
        days, trials = _TRIALS[key]
        measured.keep_fitted(
            diary.db,
            actor=diary.coach,
            figure=_figure(diary, days, MeasuredKind.CRITICAL_POWER, diary.part.mode, KnownHow.TRIALS),
            trials=trials,
            rules=Rules(),
            now=diary.at(diary.day(-days), 18),
            looked_twice=True,
        )
    if key in _TALK:
        days, power_w = _TALK[key]
        figure = _figure(diary, days, MeasuredKind.TALK_POWER, Mode.INDOOR_RIDE, KnownHow.TALK_TEST, value=power_w)
        measured.keep_figure(
            diary.db, actor=diary.coach, figure=figure, rules=Rules(), now=diary.at(diary.day(-days), 18)
        )
    if key in _GIVEN:
        _give(diary, *_GIVEN[key])


def _figure(
    diary: Diary, days: int, kind: MeasuredKind, mode: Mode, how: KnownHow, *, value: float = 1.0
) -> Measured:
    return Measured(
        id=0,
        client_id=diary.client.id,
        kind=kind,
        mode=mode,
        measured_on=diary.day(-days),
        value=value,
        value_error=None,
        capacity=None,
        capacity_error=None,
        covariance=None,
        how=how,
        fitted_form=None,
        trials_json=trials_to_json(()),
        note=None,
        origin=Origin.COACH,
        entered_at=diary.at(diary.day(-days), 18),
        person_id=diary.coach.person_id,
    )


def _give(diary: Diary, key: str, reason: str) -> None:
    """Give the next sessions of rounds a target, so that the phone has today's and the one to come."""
    ahead = prescriptions.newest_between(
        diary.db, client_ids=[diary.client.id], from_on=diary.today, until_on=diary.today + _AHEAD
    )
    rounds = [one for one in ahead if one.kind is SessionKind.INTERVALS and not one.is_cancelled]
    for session in sorted(rounds, key=lambda one: (one.planned_on, one.id))[:_GIVEN_AHEAD]:
        _give_one(diary, session, key, reason)


def _give_one(diary: Diary, session: PlannedSession, key: str, reason: str) -> None:
    """Give a target on yesterday's evening and send it."""
    yesterday = diary.day(-1)
    at = diary.at(yesterday, 19)
    try:
        targets.choose_target(
            diary.db,
            actor=diary.coach,
            planned_session_id=session.id,
            version=session.version,
            key=key,
            typed=None,
            wishes=TargetWishes(),
            reason=reason,
            rules=diary.rules,
            now=at,
        )
    except Refused:
        return
    kept = prescriptions.newest(diary.db, planned_session_id=session.id)
    if kept is not None and session.published_at is not None:
        prescriptions.publish(diary.db, version_ids=[kept.version_id], at=at)
        seen_at = diary.at(yesterday, 20)
        prescriptions.mark_seen(diary.db, version_id=kept.version_id, client_id=diary.client.id, at=seen_at)
        prescriptions.bump_week(
            diary.db, client_id=diary.client.id, starts_on=week_start(kept.planned_on), revision=None
        )
