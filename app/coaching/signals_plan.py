"""Signals about the plan: ceiling, spacing, gaps, missed key sessions, ends of blocks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from app.coaching.done_work import complete_rounds, done_minutes
from app.coaching.hard_spacing import TooSoon, too_soon
from app.coaching.hard_work import FORTNIGHT_DAYS, HardDay, hard_done
from app.coaching.lookahead_hard import is_vigorous
from app.coaching.matching import Pair, Status
from app.coaching.phases import INTERVAL_PHASES, Phase
from app.coaching.planner_intervals import ceiling_of
from app.coaching.prescriptions import KIND_WORDS, PlannedSession, SessionKind
from app.coaching.readiness import Illness
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.told_away import COUNTS, ToldAway
from app.coaching.weeks import local_day
from app.coaching.words import counted, minutes_words, ordinal, short_day, short_days

#: A gap between hard sessions speaks again at these days (house choice).
GAP_SPEAKS_AGAIN = (14, 21)
#: So long after days told as away they explain that nothing hard was done (house choice).
TOLD_EXPLAINS = timedelta(days=14)
DUE_SOON_DAYS = 2
#: Nobody is sent into hard work by it: who was away for a while begins again with what they did last, or less.
_GAP_ENDS = (
    "A next hard session planned on a day that suits, no harder than the last; nothing is made up. Or leave, illness "
    "or a hold that explains the gap."
)
MISSED_DAYS = 7
SPACING_AHEAD_DAYS = 3
CEILING_AHEAD_DAYS = 7
BLOCK_ENDS_DAYS = 7
LEFT_OUT_DAYS = 28
LEFT_OUT_MISSES = 2


def ceiling(scene: Scene) -> Signal | None:
    """The fortnight is full, or the next planned hard session would pass it."""
    most = ceiling_of(scene.history.phase, scene.rules)
    last = scene.today + timedelta(days=CEILING_AHEAD_DAYS)
    ahead = [day for day in scene.ahead if day.on <= last]
    for newest in [*ahead, *scene.done[-1:]]:
        inside = _fortnight_of(scene, newest)
        if len(inside) > most:
            return _ceiling_signal(scene, newest, inside, most)
    return None


def _fortnight_of(scene: Scene, newest: HardDay) -> list[HardDay]:
    """Hard sessions in the 14 days that end on one of them (done before a planned one, both before it in time)."""
    first = newest.on - timedelta(days=FORTNIGHT_DAYS - 1)
    everything = sorted([*scene.done, *scene.ahead], key=lambda d: (d.on, not d.is_done, d.record_id))
    return [day for day in everything if first <= day.on <= newest.on and (newest.on >= scene.today or day.is_done)]


def _ceiling_signal(scene: Scene, newest: HardDay, inside: Sequence[HardDay], most: int) -> Signal | None:
    if newest.is_done and (scene.today - newest.on).days >= MISSED_DAYS:
        return None
    is_today = newest.on == scene.today and not newest.is_done
    place = ordinal(len(inside))
    if newest.is_done:
        sentence = f"{short_day(newest.on)} was the {place} hard session in fourteen days; {most} is full."
    else:
        which = "Today's" if is_today else f"{short_day(newest.on)}"
        sentence = f"{which} would be the {place} hard session in fourteen days; {most} is full."
    extras = [day for day in inside if day.is_done and day.because]
    reasons = why(
        "Full at the ceiling in any 14 days; the next asks for a reason, one more is not published.",
        ("hard sessions", short_days(day.on for day in inside)),
        ("counted because", "; ".join(f"{short_day(d.on)}: {d.because[0]}" for d in extras[-3:]) or "planned"),
        ("ceiling", str(most)),
    )
    return Signal(
        "ceiling",
        scene.history.client.id,
        Shelf.TODAY if is_today else Shelf.PLANNING,
        Family.HARD_TODAY if is_today else Family.REST,
        sentence,
        reasons,
        key_of("ceiling", _ceiling_records(newest, inside), most),
        (Act.EASE_TODAY, Act.MOVE_TODAY, Act.PLAN) if is_today else (Act.PLAN, Act.CONTACT, Act.PUT_OFF),
        newest.on,
    )


def _ceiling_records(newest: HardDay, inside: Sequence[HardDay]) -> list[str]:
    """What the breach stands on: one done on itself; one planned also on the days it breaks with, done or to come."""
    if newest.is_done:
        return [f"l{newest.record_id}"]
    return [f"s{newest.record_id}", *(f"{day.on:%Y%m%d}" for day in inside)]


def spacing(scene: Scene) -> Signal | None:
    """The next hard session stands too close to one done or planned before it."""
    last = scene.today + timedelta(days=SPACING_AHEAD_DAYS)
    days = [*[d for d in scene.done if d.on <= scene.today][-1:], *scene.ahead]
    for earlier, later in pairwise(days):
        if later.on > last:
            return None
        found = too_soon(scene.history, earlier, later, scene.rules)
        if found is not None:
            return _spacing_signal(scene, found)
    return None


def _spacing_signal(scene: Scene, found: TooSoon) -> Signal:
    earlier, later, hours, needed = found.earlier, found.later, found.hours, found.needed
    is_today = later.on == scene.today
    when = "today" if is_today else f"on {short_day(later.on)}"
    done = "was done" if earlier.is_done else "is planned"
    sentence = (
        f"{later.title} is planned {when}; hard work {done} on {short_day(earlier.on)}, {hours} h before. "
        f"{needed:g} h are needed."
    )
    reasons = why(
        "48 h between the starts of hard sessions; 72 h in the first eight interval weeks or from 60.",
        ("before", f"{short_day(earlier.on)}: {earlier.because[0] if earlier.because else earlier.title}"),
        ("apart", f"{hours} h"),
        ("needed", f"{needed:g} h"),
    )
    return Signal(
        "spacing",
        scene.history.client.id,
        Shelf.TODAY if is_today else Shelf.PLANNING,
        Family.HARD_TODAY if is_today else Family.REST,
        sentence,
        reasons,
        key_of("spacing", [f"{'l' if earlier.is_done else 's'}{earlier.record_id}", f"s{later.record_id}"], needed),
        (Act.MOVE_TODAY, Act.EASE_TODAY) if is_today else (Act.PLAN, Act.PUT_OFF),
        earlier.on,
    )


def hard_gap(scene: Scene) -> Signal | None:
    """More than seven days without a hard session in the interval phase, unless something explains it."""
    if scene.history.phase not in INTERVAL_PHASES or not scene.history.phase_since_on:
        return None
    done = scene.done or hard_done(scene.history, scene.rules)
    since = max((d.on for d in done if d.on <= scene.today), default=None)
    start = since or scene.history.phase_since_on
    days = (scene.today - start).days
    limit = scene.rules.hard_gap_days
    if days <= limit or _is_explained(scene, start):
        return None
    due = next((d for d in scene.ahead if d.on <= scene.today + timedelta(days=DUE_SOON_DAYS)), None)
    if due is not None or scene.hard_waits:
        return None
    crossed = max([limit + 1, *(again for again in GAP_SPEAKS_AGAIN if days >= again)])
    last = f"the last was on {short_day(since)}" if since else f"none since the phase began on {short_day(start)}"
    next_one = f"The next stands on {short_day(scene.ahead[0].on)}." if scene.ahead else "No next one stands."
    spoken = f"{counted(days, 'day')} without a hard session; {limit} is the limit, {last}."
    newest = max((d for d in done if d.on == since), key=lambda d: d.record_id, default=None)
    reasons = why(
        "In the interval phase at most seven days between hard sessions; illness, a hold or days away explain more.",
        ("days", str(days)),
        ("limit", f"{limit} days"),
        ("last hard session", short_day(since) if since else "none in this phase"),
        would_change=_GAP_ENDS,
    )
    return Signal(
        "hard_gap",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{spoken} {next_one}{_what_became(scene)}",
        reasons,
        key_of("hard_gap", [newest.record_id if newest else f"phase {start}"], crossed),
        (Act.PLAN, Act.CONTACT, Act.PUT_OFF),
        start,
    )


def _is_explained(scene: Scene, start: date) -> bool:
    """Illness, a hold, agreed leave or days told as away at some time since the last hard session."""
    history, zone = scene.history, scene.history.client.zone
    ill = any(n.noted_on >= start and n.illness is not Illness.NONE for n in history.readiness)
    held = any(hold.lifted_at is None or local_day(hold.lifted_at, zone) >= start for hold in history.holds)
    away = any(leave.until_on >= start and leave.from_on <= scene.today for leave in history.leaves)
    return ill or held or away or any(_explains(one, start, scene.today) for one in history.told_away)


def _explains(told: ToldAway, start: date, today: date) -> bool:
    """Whether days told as away are the reason for a gap: until the easy week after them is over and one more."""
    return told.answer in COUNTS and told.from_on <= today and start <= told.until_on >= today - TOLD_EXPLAINS


def _what_became(scene: Scene) -> str:
    """What became of the last planned hard session, for the sentence."""
    pairs = [p for week in scene.weeks for p in week.pairs if p.planned is not None and p.planned.is_hard]
    past = [p for p in pairs if p.planned is not None and p.planned.planned_on < scene.today]
    if not past:
        return ""
    pair = past[-1]
    day = short_day(pair.planned.planned_on) if pair.planned else ""
    words = {
        Status.MISSED: f" {day}'s {_partly(pair.planned, pair.log) or f'was missed{_reason(pair.log)}'}.",
        Status.NOT_LOGGED: f" {day}'s is not logged.",
        Status.KEPT_AS_AGREED: f" {day}'s became its easy version, as agreed.",
    }
    return words.get(pair.status, "")


def _reason(log: SessionLog | None) -> str:
    return f" ({log.why_not.value.replace('_', ' ')})" if log is not None and log.why_not else ""


def _partly(session: PlannedSession | None, log: SessionLog | None) -> str:
    """What was done of a session that counts as missed: "was partly done: 20 of 45 min"; empty for nothing."""
    if session is None or log is None or not done_minutes(log):
        return ""
    if log.answer is Answer.SOMETHING_ELSE and log.kind is not session.kind:
        return f"became something else: {KIND_WORDS[log.kind]}, {minutes_words(done_minutes(log))}"
    return f"was partly done: {done_minutes(log):.0f} of {session.minutes} min{_rounds_of(session, log)}"


def _rounds_of(session: PlannedSession, log: SessionLog) -> str:
    if not session.rounds:
        return ""
    if not log.rounds:
        return ", rounds not said"
    return f", {complete_rounds(log) or 'none'} of {session.rounds} rounds in full"


def missed_key_session(scene: Scene) -> Signal | None:
    """A hard session, a test or the week's longest was missed in the last week."""
    first = scene.today - timedelta(days=MISSED_DAYS)
    fresh = [
        (pair.planned, pair.log)
        for pair in _key_pairs(scene)
        if pair.status is Status.MISSED and pair.planned and pair.log and pair.planned.planned_on >= first
    ]
    if fresh and scene.hard_waits:
        fresh = [both for both in fresh if not is_vigorous(both[0])]
    if not fresh:
        return None
    session, log = max(fresh, key=lambda both: (both[1].entered_at, both[1].id))
    reason = _reason(log)
    became = _partly(session, log) or f"was not done{reason}"
    reasons = why(
        "Key sessions are hard ones, tests and the week's longest; a missed one is asked about, kindly.",
        ("session", f"{session.title}, {session.minutes} min"),
        ("answer", _partly(session, log) or reason.strip(" ()") or "no reason given"),
    )
    return Signal(
        "missed_key_session",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{session.title} on {short_day(session.planned_on)} {became}.",
        reasons,
        key_of("missed_key_session", [session.id]),
        (Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        session.planned_on,
    )


def _key_pairs(scene: Scene) -> list[Pair]:
    found = []
    for week in scene.weeks:
        longest = max((p.planned.minutes for p in week.pairs if p.planned and not p.is_strength), default=0)
        for pair in week.pairs:
            session = pair.planned
            if (
                session is not None
                and not pair.is_strength
                and (session.is_hard or session.kind is SessionKind.TEST or session.minutes == longest)
            ):
                found.append(pair)
    return found


def block_ending(scene: Scene) -> Signal | None:
    """The block ends within a week, or has ended, and none follows."""
    newest = max(scene.history.blocks, key=lambda b: (b.starts_on, b.id), default=None)
    if newest is None or scene.history.phase is None:
        return None
    ends = newest.starts_on + timedelta(weeks=newest.weeks) - timedelta(days=1)
    left = (ends - scene.today).days
    if left > BLOCK_ENDS_DAYS:
        return None
    said = f"ends on {short_day(ends)}" if left >= 0 else f"ended on {short_day(ends)}"
    reasons = why(
        "A block is followed by another, or by a decision.",
        ("block", newest.aim),
        ("began", short_day(newest.starts_on)),
        ("weeks", str(newest.weeks)),
        ("last day", short_day(ends)),
    )
    return Signal(
        "block_ending",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"The block “{newest.aim}” {said} and none follows.",
        reasons,
        key_of("block_ending", [newest.id], "ending" if left >= 0 else "over"),
        (Act.PLAN, Act.OPEN_CLIENT, Act.PUT_OFF),
        ends,
    )


def second_may_be_left_out(scene: Scene) -> Signal | None:
    """Two hard sessions missed in four weeks on two a week: the second of this week may be left out."""
    if scene.history.phase is not Phase.INTERVAL_TWO:
        return None
    first = scene.today - timedelta(days=LEFT_OUT_DAYS)
    pairs = [p for week in scene.weeks for p in week.pairs if p.planned is not None and p.planned.is_hard]
    missed = [p for p in pairs if p.planned and first <= p.planned.planned_on <= scene.today and _was_bad(p)]
    this_week = [p for p in scene.weeks[-1].pairs if p.planned and p.planned.is_hard]
    still = [p for p in this_week if p.status is Status.AHEAD and p.planned]
    if len(missed) < LEFT_OUT_MISSES or len(this_week) < 2 or not still or still[-1].planned is None:
        return None
    second = still[-1].planned
    days = short_days(p.planned.planned_on for p in missed if p.planned)
    reasons = why(
        "Two missed or bad hard sessions in four weeks: back to one a week.",
        ("missed or broken off", days),
        ("second this week", short_day(second.planned_on)),
    )
    return Signal(
        "second_may_be_left_out",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{len(missed)} hard sessions missed or broken off in four weeks ({days}); this week's second, on "
        f"{short_day(second.planned_on)}, may be left out.",
        reasons,
        key_of("second_may_be_left_out", [p.planned.id for p in missed if p.planned][-LEFT_OUT_MISSES:]),
        (Act.PLAN, Act.CONTACT, Act.PUT_OFF),
        max(p.planned.planned_on for p in missed if p.planned),
    )


def _was_bad(pair: Pair) -> bool:
    is_partly = pair.status is Status.PARTLY and pair.log is not None and pair.log.answer is not Answer.AS_PLANNED
    return (pair.status is Status.MISSED or is_partly) and not (pair.log is not None and pair.log.spoilt_by)


PLAN_RULES = (ceiling, spacing, hard_gap, missed_key_session, block_ending, second_may_be_left_out)
