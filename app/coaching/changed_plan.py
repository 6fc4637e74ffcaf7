"""A changed plan to accept after what a client told: each session before and after, with its reason."""

from __future__ import annotations

import hashlib
from collections.abc import Container, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.days_off import DaysOffRow, Run, because_words, entered_in, row_for, run_told
from app.coaching.done_work import is_endurance
from app.coaching.easy_version import eased
from app.coaching.history import History
from app.coaching.illness_return import path_back
from app.coaching.lookahead import Breach, Level, as_if_sent, breaches
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.smaller_session import on_foot, share_of, with_minutes, with_rounds
from app.coaching.time_away import LESS_SHARE, Possible, Stretch, WayBack, ways_back
from app.coaching.told_away import ToldAway
from app.coaching.weeks import week_start
from app.coaching.words import counted, percent, short_day

HALF = 0.5
STOPPED_MEANWHILE = "It stays as it is while training is paused, and is worked out again when the pause ends."


@dataclass(frozen=True, slots=True)
class ProposedChange:
    """One session as it stands and as it would be."""

    before: PlannedSession
    after: PlannedSession
    because: str
    #: Base only after two weeks off: it cannot be left out.
    is_binding: bool = False
    #: What waits as a draft behind it until hard work is open again.
    later: PlannedSession | None = None
    #: What keeps hard work of it closed on its day, as the look ahead says it; "" where nothing does.
    closed_by: str = ""

    @property
    def is_taken_away(self) -> bool:
        """Whether the session falls away."""
        return self.after.is_cancelled


@dataclass(frozen=True, slots=True)
class ChangedPlan:
    """The whole offer; nothing of it is kept before somebody accepts it."""

    told: ToldAway
    run: Run | None
    row: DaysOffRow | None
    changes: tuple[ProposedChange, ...]
    #: Sessions that would change and cannot, since all training is paused.
    waiting: tuple[PlannedSession, ...]
    #: Days among those told as off on which something is entered all the same.
    entered: tuple[date, ...]
    #: What the look ahead says of the plan as it would be.
    found: tuple[Breach, ...]

    @property
    def key(self) -> str:
        """What was looked at, to notice when it changes meanwhile."""
        parts = [f"{one.before.version_id}>{one.after.planned_on}{one.after.is_cancelled}{one.after.steps_json}"
                 f"{one.later.steps_json if one.later else ''}" for one in self.changes]  # fmt: skip
        return hashlib.sha256("|".join([str(self.told.id), *parts]).encode()).hexdigest()[:24]

    @property
    def minutes_before(self) -> int:
        """Endurance minutes of the sessions it changes, as they stand."""
        return sum(one.before.minutes for one in self.changes if is_endurance(one.before))

    @property
    def minutes_after(self) -> int:
        """The same as they would be."""
        going = (one.after for one in self.changes if not one.is_taken_away)
        return sum(one.minutes for one in going if is_endurance(one))


def changed_plan(history: History, told: ToldAway, today: date, rules: Rules) -> ChangedPlan:
    """What the plan becomes after what was told: the table of days off, with the fever rules on top.

    Nothing it holds breaks a rule that refuses publishing; what all training waits for stays as it stands.
    Source: common practice, no published source; base only from 14 days on and the way back after fever are house
    choices.
    """
    run = run_told(history, told)
    row = row_for(run.days) if run else None
    ahead = _ahead(history, today)
    wanted = [_away(one, told, rules) for one in ahead if told.from_on <= one.planned_on <= told.until_on]
    if run is not None and row is not None:
        after = [one for one in ahead if one.planned_on >= run.back_on]
        wanted += _WayAfter(history, run, row, rules).changes(after)
    changes = _with_illness([one for one in wanted if one is not None], ahead, history, today, rules)
    allowed, waiting = _allowed(history, changes, today, rules)
    found = breaches(as_if_sent(history, today), [one.after for one in allowed], today, rules)
    return ChangedPlan(told, run, row, tuple(allowed), tuple(waiting), entered_in(history, told), found)


def _ahead(history: History, today: date) -> list[PlannedSession]:
    """Every session still to come, its newest version, soonest first."""
    answered = {log.planned_session_id for log in history.logs}
    whole = as_if_sent(history, today)
    going = [one for one in whole.planned if one.planned_on >= today and not one.is_cancelled]
    return sorted((one for one in going if one.id not in answered), key=lambda one: (one.planned_on, one.id))


def _away(session: PlannedSession, told: ToldAway, rules: Rules) -> ProposedChange | None:
    """A session on one of the days away."""
    if told.possible is Possible.NOTHING:
        gone = replace(session, is_cancelled=True)
        return ProposedChange(session, gone, f"{told.words}: it falls away and is not made up for.")
    if told.possible is Possible.WALKING:
        if not is_endurance(session):
            return ProposedChange(session, replace(session, is_cancelled=True), f"{told.words}: no strength there.")
        after = on_foot(session, rules)
        return _changed(session, after, f"{told.words}: on foot, easy enough to chat.")
    if not is_endurance(session):
        return None
    if is_hard_or_middle(session):
        return ProposedChange(session, eased(session), f"{told.words}: easy, hard work waits until you are back.")
    after = with_minutes(session, share_of(session.minutes, LESS_SHARE), rules)
    return _changed(session, after, f"{told.words}: half the time.")


def _changed(before: PlannedSession, after: PlannedSession, because: str) -> ProposedChange | None:
    return None if after == before else ProposedChange(before, after, because)


class _WayAfter:
    """The sessions after a run of days off, one after the other, soonest first."""

    def __init__(self, history: History, run: Run, row: DaysOffRow, rules: Rules) -> None:
        self.history, self.run, self.row, self.rules = history, run, row, rules
        self.head = because_words(run)
        self.back = ways_back([Stretch(run.first_on, run.last_on, Possible.NOTHING)])
        self.easy_left, self.fewer_left = row.easy_first, row.fewer
        self.ladder = list(row.rounds)

    def changes(self, sessions: Sequence[PlannedSession]) -> list[ProposedChange | None]:
        """What becomes of each session."""
        return [self._one(session) for session in sessions if is_endurance(session)]

    def _one(self, session: PlannedSession) -> ProposedChange | None:
        if self.easy_left:
            self.easy_left -= 1
            return self._easy(session, "two easy sessions first") if is_hard_or_middle(session) else None
        share = self._share(session)
        if share is not None and share.share < 1:
            return self._smaller(session, share)
        return self._rounds(session) if session.is_hard else None

    def _share(self, session: PlannedSession) -> WayBack | None:
        return self.back.get(week_start(session.planned_on))

    def _smaller(self, session: PlannedSession, back: WayBack) -> ProposedChange | None:
        """A week that takes a share of the last full one: everything easy, the minutes fewer."""
        words = f"{self.head}: {percent(back.share)} of the last full week, all of it easy."
        if is_hard_or_middle(session):
            return ProposedChange(session, eased(session), words, self.row.is_base_only)
        factor = back.share * self._against_last_full(session)
        return _changed(session, with_minutes(session, share_of(session.minutes, factor), self.rules), words)

    def _against_last_full(self, session: PlannedSession) -> float:
        """How the last full week before the days off stands to the one planned now; never more than it."""
        this = self._week_minutes(week_start(session.planned_on))
        last = self._week_minutes(week_start(self.run.first_on) - timedelta(weeks=1))
        return min(1.0, last / this) if last and this else 1.0

    def _week_minutes(self, monday: date) -> int:
        end = monday + timedelta(days=6)
        return sum(
            one.minutes for one in self.history.planned if monday <= one.planned_on <= end and is_endurance(one)
        )

    def _rounds(self, session: PlannedSession) -> ProposedChange | None:
        """A hard session after the easy part of the way back."""
        if self.row.is_base_only:
            return self._waits(session)
        if session.kind in (SessionKind.TEST, SessionKind.RACE):
            return self._easy(session, "no test and no race yet") if self.ladder else None
        if self.fewer_left:
            self.fewer_left = 0
            return self._fewer(session, session.rounds - 1, f"{self.head}: one round fewer.")
        if self.ladder:
            most = self.ladder.pop(0)
            words = f"{self.head}: {counted(most, 'round')} at most, the target {percent(self.row.target_off)} lower."
            return self._fewer(session, most, words)
        return None

    def _waits(self, session: PlannedSession) -> ProposedChange | None:
        """Base only: the session becomes easy, and its rounds wait as a draft where the table gives them back."""
        if not self.ladder and not self.row.is_afresh:
            return None
        held = "rounds are planned afresh after the retest" if self.row.is_afresh else "easy until two weeks are held"
        words = f"{self.head}: {held}."
        return ProposedChange(session, eased(session), words, True, self._ladder_draft(session))

    def _ladder_draft(self, session: PlannedSession) -> PlannedSession | None:
        if not self.ladder:
            return None
        return with_rounds(session, self.ladder.pop(0), target_off=self.row.target_off)

    def _fewer(self, session: PlannedSession, rounds: int, words: str) -> ProposedChange | None:
        after = with_rounds(session, min(rounds, session.rounds), target_off=self.row.target_off)
        return ProposedChange(session, eased(session), words) if after is None else _changed(session, after, words)

    def _easy(self, session: PlannedSession, what: str) -> ProposedChange:
        return ProposedChange(session, eased(session), f"{self.head}: {what}.", self.row.is_base_only)


def _with_illness(
    changes: Sequence[ProposedChange], ahead: Sequence[PlannedSession], history: History, today: date, rules: Rules
) -> list[ProposedChange]:
    """The fever rules on top: half the usual minutes, then the usual ones, and nothing hard before its day."""
    path = path_back(history.illness_returns, today)
    if path is None:
        return list(changes)
    by_id = {one.before.id: one for one in changes}
    for session in ahead:
        if session.planned_on >= path.hard_from or not is_endurance(session):
            continue
        known = by_id.get(session.id, ProposedChange(session, session, ""))
        if known.is_taken_away:
            continue
        by_id[session.id] = _ill(known, is_half=session.planned_on <= path.half_until, hard_from=path.hard_from,
                                 rules=rules)  # fmt: skip
    real = [one for one in by_id.values() if one.after != one.before]
    return sorted(real, key=lambda one: (one.before.planned_on, one.before.id))


def _ill(known: ProposedChange, *, is_half: bool, hard_from: date, rules: Rules) -> ProposedChange:
    after, said = known.after, [known.because.removesuffix(".")] if known.because else []
    if is_hard_or_middle(after):
        after = eased(known.before)
        said.append(f"after being ill nothing hard before {short_day(hard_from)}")
    most = share_of(known.before.minutes, HALF)
    if is_half and after.minutes > most:
        after = with_minutes(after, most, rules)
        said.append("after being ill half the usual minutes")
    words = "; ".join(said)
    return replace(known, after=after, because=f"{words[:1].upper()}{words[1:]}." if words else "")


def _allowed(
    history: History, changes: Sequence[ProposedChange], today: date, rules: Rules
) -> tuple[list[ProposedChange], list[PlannedSession]]:
    """The changes without what publishing refuses: hard work becomes easy first, what is stopped even so waits."""
    whole = as_if_sent(history, today)
    sorted_changes = sorted(changes, key=lambda one: (one.before.planned_on, one.before.id))
    first = _refused_days(whole, sorted_changes, today, rules)
    kept = [_easier(one, first[one.after.planned_on]) if _is_refused(one, first) else one for one in sorted_changes]
    still = _refused_days(whole, kept, today, rules)
    waiting = [one.before for one in kept if _is_refused(one, still)]
    return [one for one in kept if one.before not in waiting], waiting


def _refused_days(history: History, changes: Sequence[ProposedChange], today: date, rules: Rules) -> dict[date, str]:
    """Each day something is refused on, with the first thing that refuses it."""
    found = breaches(history, [one.after for one in changes], today, rules)
    refused = [breach for breach in found if breach.level is Level.REFUSES]
    return {breach.on: breach.shared or breach.sentence for breach in reversed(refused)}


def _is_refused(change: ProposedChange, days: Container[date]) -> bool:
    return not change.is_taken_away and change.after.planned_on in days


def _easier(change: ProposedChange, closed_by: str) -> ProposedChange:
    """The easy version in place of what may not be published yet, which waits behind it; nobody leaves it out."""
    if not is_hard_or_middle(change.after):
        return change
    words = f"{change.because.removesuffix('.')}; hard work is not open yet, so it is easy and the rest waits."
    return replace(
        change, after=eased(change.before), because=words, is_binding=True, later=change.after, closed_by=closed_by
    )
