"""How the invented clients answer their plans: done, partly, not done, moved, not logged; rounds; how they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from app.coaching.effort import Talk
from app.coaching.people import HeartRateUse, Mode, Origin
from app.coaching.prescriptions import SessionKind
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.session_logs import Answer, Posture, RoundDone, SessionLog, WhyNot
from app.coaching.steps import Part as StepPart
from app.coaching.steps import flatten
from app.coaching.week_drafts import SessionDraft
from app.demo import papers
from app.demo.diary import Diary
from app.demo.words import HARD, words_for
from app.storage import readiness, session_logs

#: The last days are told by the stories alone: nothing happens in them by chance.
TOLD_DAYS = 9
#: Hard sessions are not lost by chance so near to the demo's day.
HARD_TOLD_DAYS = 35
#: In so many days nobody is worse than usual by chance.
USUAL_DAYS = 24
#: Who writes more often than that is even in it.
MANY_NOTES_EVERY = 4
WHY_NOT = (WhyNot.NO_TIME, WhyNot.NO_TIME, WhyNot.TIRED, WhyNot.WEATHER, WhyNot.CARING, WhyNot.FORGOT)
#: Shares of what happens to a session that was not done as planned (invented).
NOT_LOGGED = 0.15
#: A week is held with three quarters of its minutes; a little less may be lost.
LOST_MOST = 0.24
PARTLY = 0.09
MOVED = 0.07
LATE_EVERY = 0.08
ANSWERED_LATE = timedelta(days=3)


@dataclass(frozen=True, slots=True)
class Kept:
    """A planned session as it was kept."""

    id: int
    on: date
    draft: SessionDraft


def answer_week(diary: Diary, week: int, sessions: Sequence[Kept]) -> None:
    """What became of a week's sessions, as far as their days are over and somebody told."""
    past = [one for one in sessions if one.on < diary.today and not _is_silent(diary, one.on)]
    if not past:
        return
    missed = _missed(diary, week, past)
    for one in past:
        if one.id in missed:
            _not_done(diary, one, missed[one.id])
        else:
            _done(diary, one, is_whole=_is_told(diary, one) or diary.part.habit.keeps_weeks)
    _how_they_are(diary, past)


def _is_silent(diary: Diary, day: date) -> bool:
    silent = diary.part.habit.silent_days
    return silent is not None and day > diary.day(-silent)


def _is_told(diary: Diary, one: Kept) -> bool:
    days = HARD_TOLD_DAYS if one.draft.is_hard else TOLD_DAYS + (diary.part.habit.silent_days or 0)
    return (diary.today - one.on).days <= max(days, diary.part.habit.steady_days)


def _missed(diary: Diary, week: int, past: Sequence[Kept]) -> dict[int, WhyNot | None]:
    """Sessions that were not done, with the reason; None: nobody said."""
    habit, rng = diary.part.habit, diary.rng
    told = habit.missed or {}
    found: dict[int, WhyNot | None] = {}
    lost = (habit.lost_weeks or {}).get(week)
    for one in past:
        days_ago = (diary.today - one.on).days
        if days_ago in told:
            found[one.id] = told[days_ago]
        elif lost is not None:
            found[one.id] = lost
        elif not _is_told(diary, one) and not _is_loop(one) and rng.random() > habit.done and _may_miss(diary, past):
            found[one.id] = None if rng.random() < NOT_LOGGED and not habit.keeps_weeks else rng.choice(WHY_NOT)
    if habit.keeps_weeks and lost is None and not any((diary.today - one.on).days in told for one in past):
        return _least_lost(found, past)
    return found


def _may_miss(diary: Diary, past: Sequence[Kept]) -> bool:
    """Of three outings or fewer, somebody who keeps weeks leaves none out."""
    return not diary.part.habit.keeps_weeks or len(past) > 3


def _least_lost(found: dict[int, WhyNot | None], past: Sequence[Kept]) -> dict[int, WhyNot | None]:
    """At most one, the shortest easy one of them, and only if three quarters of the minutes stay."""
    whole = sum(one.draft.minutes for one in past)
    candidates = [one for one in past if one.id in found and not one.draft.is_hard]
    shortest = min(candidates, key=lambda one: one.draft.minutes, default=None)
    if shortest is None or shortest.draft.minutes > whole * LOST_MOST:
        return {}
    return {shortest.id: found[shortest.id]}


def _is_loop(one: Kept) -> bool:
    return one.draft.kind is SessionKind.TEST


def _not_done(diary: Diary, one: Kept, why: WhyNot | None) -> None:
    if why is None:
        return
    entry = _log(diary, one, on=one.on, answer=Answer.NOT_DONE, minutes=None)
    session_logs.add(diary.db, log=entry)


def _done(diary: Diary, one: Kept, *, is_whole: bool) -> None:
    rng, minutes = diary.rng, one.draft.minutes
    is_partly = not is_whole and not one.draft.is_hard and not _is_loop(one) and rng.random() < PARTLY
    done = round(minutes * (rng.uniform(0.55, 0.8) if is_partly else rng.uniform(0.95, 1.07)))
    is_moved = not is_whole and not one.draft.is_hard and one.on.weekday() < 6 and rng.random() < MOVED
    on = one.on + timedelta(days=1) if is_moved else one.on
    entry = _log(diary, one, on=on, answer=Answer.PARTLY if is_partly else Answer.AS_PLANNED, minutes=float(done))
    session_logs.add(diary.db, log=entry)
    if _is_loop(one):
        papers.walk_loop(diary, on)


def _log(diary: Diary, one: Kept, *, on: date, answer: Answer, minutes: float | None) -> SessionLog:
    entered_at = _entered_at(diary, on)
    is_done, is_hard = answer is not Answer.NOT_DONE, one.draft.is_hard
    origin = diary.part.habit.origin
    return SessionLog(
        id=0,
        client_id=diary.client.id,
        planned_session_id=one.id,
        done_on=on,
        answer=answer,
        kind=one.draft.kind,
        mode=one.draft.mode,
        minutes=minutes,
        effort=_effort(diary, is_hard=is_hard) if is_done else None,
        talk=_talk(diary, is_hard=is_hard) if is_done else None,
        felt_all_out=False,
        posture=_posture(diary, on) if is_done and is_hard else None,
        why_not=None if is_done else _why(diary, one),
        spoilt_by=None,
        note=_note(diary, one, on) if is_done else None,
        origin=_told(diary) if origin is Origin.FROM_PAPER else origin,
        entered_at=entered_at,
        person_id=diary.entering,
        from_memory=entered_at - diary.at(on, 23, 59) > timedelta(hours=48),
        rounds=_rounds(diary, one.draft) if is_done and is_hard else (),
        revision=1,
    )


def _told(diary: Diary) -> Origin:
    return Origin.TOLD_BY_PHONE if diary.rng.random() < 0.3 else Origin.FROM_PAPER


def _why(diary: Diary, one: Kept) -> WhyNot:
    told = (diary.part.habit.missed or {}).get((diary.today - one.on).days)
    week = (one.on - diary.monday(0)).days // 7
    return told or (diary.part.habit.lost_weeks or {}).get(week) or diary.rng.choice(WHY_NOT)


def _entered_at(diary: Diary, on: date) -> datetime:
    """The same evening mostly; now and then days later; from paper the next morning."""
    rng = diary.rng
    if not diary.part.has_phone:
        return diary.at(min(on + timedelta(days=1), diary.day(-1)), 10, rng.randint(0, 59))
    is_late = rng.random() < LATE_EVERY and on + ANSWERED_LATE < diary.day(-TOLD_DAYS)
    day = on + ANSWERED_LATE if is_late else on
    return diary.at(day, rng.randint(17, 21), rng.randint(0, 59))


def _effort(diary: Diary, *, is_hard: bool) -> float:
    return float(diary.rng.choice((7, 7, 7, 8) if is_hard else diary.part.habit.efforts))


def _talk(diary: Diary, *, is_hard: bool) -> Talk:
    if is_hard:
        return Talk.FEW_WORDS
    return Talk.SING if diary.rng.random() < 0.18 else Talk.CHAT


def _posture(diary: Diary, on: date) -> Posture:
    """Who went on to two a week stood after every session; others bent now and then, long ago."""
    may_bend = (diary.today - on).days > HARD_TOLD_DAYS and not diary.part.goes_to_two
    return Posture.HANDS_ON_KNEES if may_bend and diary.rng.random() < 0.2 else Posture.STOOD


def _note(diary: Diary, one: Kept, on: date) -> str | None:
    """Words of the client's own; lately only those the stories need, since each is read in the morning."""
    if (diary.today - on).days <= TOLD_DAYS or diary.rng.random() > diary.part.habit.words:
        return None
    return diary.rng.choice(HARD if one.draft.is_hard else words_for(one.draft.mode))


def _rounds(diary: Diary, draft: SessionDraft) -> tuple[RoundDone, ...]:
    work = [step.duration_s for step in flatten(draft.steps) if step.part is StepPart.WORK]
    return tuple(_round(diary, number, len(work), seconds) for number, seconds in enumerate(work, start=1))


def _round(diary: Diary, number: int, of: int, seconds: int) -> RoundDone:
    """One round: even within two per cent, the heart a little higher each time, effort from 6 to 7."""
    part, rng = diary.part, diary.rng
    uneven = rng.uniform(0.985, 1.015)
    late = (number - 1) / max(1, of - 1)
    has_rate = part.heart_rate_use is HeartRateUse.RELIABLE and part.mode is not Mode.SWIM
    top = round((208 - 0.7 * part.age) * 0.88) if has_rate else None
    return RoundDone(
        number=number,
        duration_s=seconds,
        is_complete=True,
        power_w=round(part.round_power_w * uneven) if part.round_power_w else None,
        speed_m_per_s=round(part.round_speed_m_per_s * uneven, 2) if part.round_speed_m_per_s else None,
        heart_rate_end_bpm=round(top - 5 + 5 * late) + rng.randint(-1, 1) if top else None,
        cadence_per_min=float(rng.randint(82, 88)) if part.round_power_w else None,
        effort=6.0 + round(late),
    )


def extra(
    diary: Diary, days_ago: int, *, minutes: float, effort: float, talk: Talk, note: str, is_race: bool
) -> None:
    """Something nobody planned."""
    on = diary.day(-days_ago)
    session_logs.add(
        diary.db,
        log=SessionLog(
            id=0,
            client_id=diary.client.id,
            planned_session_id=None,
            done_on=on,
            answer=Answer.SOMETHING_ELSE,
            kind=SessionKind.RACE if is_race else SessionKind.EASY,
            mode=diary.part.mode,
            minutes=minutes,
            effort=effort,
            talk=talk,
            felt_all_out=is_race,
            posture=None,
            why_not=None,
            spoilt_by=None,
            note=note,
            origin=Origin.CLIENT,
            entered_at=diary.at(on, 20),
            person_id=diary.me.person_id,
            from_memory=False,
            rounds=(),
            revision=1,
        ),
    )


def _how_they_are(diary: Diary, past: Sequence[Kept]) -> None:
    """Readiness notes of a week: on hard mornings, and every so many days."""
    every = diary.part.habit.notes_every
    if not every or not past:
        return
    mornings = {one.on for one in past if one.draft.is_hard}
    monday = past[0].on - timedelta(days=past[0].on.weekday())
    mornings |= {monday + timedelta(days=n) for n in range(7) if (monday.toordinal() + n) % every == 0}
    for day in sorted(mornings):
        if past[0].on <= day < diary.today and not _is_silent(diary, day):
            how(diary, day)


def how(diary: Diary, day: date, **told: object) -> int:
    """A readiness note: as usual, a point up or down now and then, or as told."""
    is_told = (diary.today - day).days <= USUAL_DAYS or diary.part.habit.notes_every < MANY_NOTES_EVERY
    swing = (-1, 0, 0, 0) if is_told else (-1, 0, 0, 0, 1)
    sleep, fatigue, stress, soreness = (
        min(7, max(1, usual + diary.rng.choice(swing))) for usual in diary.part.habit.usual
    )
    given: dict[str, object] = {
        "sleep": sleep,
        "fatigue": fatigue,
        "stress": stress,
        "soreness": soreness,
        "mood": diary.rng.choice((3, 4, 4)),
        "slept_h": diary.rng.choice((7.0, 7.5, 7.5, 8.0)),
        "illness": Illness.NONE,
        "not_right_today": False,
        "text": None,
        "origin": Origin.CLIENT,
        "entered_at": diary.at(day, 6, diary.rng.randint(5, 50)),
    }
    given |= told
    note = ReadinessNote(
        id=0,
        client_id=diary.client.id,
        noted_on=day,
        resting_heart_rate_bpm=None,
        ln_rmssd=None,
        medicine_changed=False,
        person_id=diary.me.person_id,
        **given,  # type: ignore[arg-type]  # the names above are the note's own
    )
    return readiness.add(diary.db, note=note)
