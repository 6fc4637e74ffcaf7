"""A month as values that the month's pages and sheets only print."""

from __future__ import annotations

from dataclasses import dataclass, fields

from app.coaching.effort import TALK_WORDS
from app.coaching.fitness_changes import Compared
from app.coaching.fitness_tests import FitnessTest
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.holds import Hold
from app.coaching.matching import Pair
from app.coaching.month import MonthSummary, PracticeMonth, Share
from app.coaching.month_inputs import Fingerprint
from app.coaching.month_words import line_title, month_sentence, status_words
from app.coaching.people import ORIGIN_WORDS
from app.coaching.phases import PHASE_WORDS, PhaseDecision
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules, cards
from app.coaching.session_logs import Answer
from app.coaching.training_weeks import HELD_WORDS, WeekFacts
from app.coaching.weeks import local_day
from app.usecases.months import ClientPage, PracticePage
from app.web.coach import client_words as words
from app.web.coach.month_counts import no_plan_note, plain_facts, sessions_of, time_of
from app.web.filters import minutes, percent


@dataclass(frozen=True, slots=True)
class ShareView:
    """A share in words, the reason when it is not defined, and what opens behind it."""

    text: str
    note: str
    why: Why

    @property
    def whole(self) -> str:
        """Both on one line."""
        return f"{self.text}: {self.note}" if self.note else self.text


@dataclass(frozen=True, slots=True)
class RowView:
    """One client's row, or the totals' row, of the practice's table."""

    id: int
    name: str
    phase: str
    sessions: str
    minutes: str
    no_plan_note: str
    adherence: ShareView
    easy: ShareView
    hard: str
    hard_note: str
    is_over_ceiling: bool
    held: str
    beside: str


@dataclass(frozen=True, slots=True)
class LineView:
    """One session of the month."""

    planned: str
    done: str
    what: str
    status: str
    minutes: str
    effort: str


@dataclass(frozen=True, slots=True)
class WeekView:
    """One week that begins in the month."""

    monday: str
    planned: str
    done: str
    easy: str
    held: str
    because: str


@dataclass(frozen=True, slots=True)
class RecordView:
    """A day and what happened on it."""

    day: str
    text: str
    beside: str = ""


@dataclass(frozen=True, slots=True)
class ClientView:
    """Everything one client's month prints."""

    id: int
    name: str
    phase: str
    span: str
    is_over: bool
    sentence: str
    facts: tuple[Figure, ...]
    easy: ShareView
    adherence: ShareView
    hard: Why
    hard_text: str
    is_over_ceiling: bool
    lines: tuple[LineView, ...]
    weeks: tuple[WeekView, ...]
    decisions: tuple[RecordView, ...]
    tests: tuple[RecordView, ...]
    holds: tuple[RecordView, ...]
    pauses: tuple[RecordView, ...]
    goals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MadeView:
    """What a summary was made from, so that it can be made again."""

    as_of: str
    method: str
    settings: str
    inputs: str
    changed_settings: str


def practice_rows(page: PracticePage) -> tuple[RowView, ...]:
    """A row a client."""
    return tuple(_row(one) for one in page.practice.rows)


def totals_row(practice: PracticeMonth) -> RowView:
    """The sums; shares come from sums, never from averages."""
    counts = practice.counts
    return RowView(
        id=0,
        name=f"All {practice.clients} clients" if practice.clients != 1 else "1 client",
        phase="",
        sessions=sessions_of(counts),
        minutes=time_of(counts),
        no_plan_note=no_plan_note(counts),
        adherence=_share(practice.adherence),
        easy=_share(practice.easy_share),
        hard=str(practice.hard_sessions),
        hard_note="",
        is_over_ceiling=False,
        held=str(practice.held_weeks),
        beside="",
    )


def practice_sentence(practice: PracticeMonth) -> str:
    """The month of the practice in one sentence."""
    counts = practice.counts
    said = [
        f"{practice.trained} of {_many(practice.clients, 'client')} trained {minutes(counts.done_minutes)} in "
        f"{_many(counts.done_sessions, 'session')}"
    ]
    if counts.planned_sessions:
        said.append(f"{counts.planned_sessions} were planned")
    if counts.without_plan:
        said.append(f"{counts.without_plan} were brought in, with no plan kept here")
    said.append(f"{practice.hard_sessions} of those done were hard" if practice.hard_sessions else "none was hard")
    if practice.promotions:
        said.append(_many(practice.promotions, "promotion"))
    if practice.on_hold:
        said.append(f"{practice.on_hold} with a hold in the month")
    if practice.over_ceiling:
        said.append(f"{practice.over_ceiling} above a ceiling in some fortnight")
    return "; ".join(said) + "."


def client_view(page: ClientPage) -> ClientView:
    """One client's month."""
    summary = page.one.summary
    zone = summary.client.zone
    return ClientView(
        id=summary.client.id,
        name=summary.client.name,
        phase=PHASE_WORDS[summary.phase] if summary.phase else "no phase yet",
        span=f"{words.long(summary.first_on)} to {words.long(summary.until_on)}",
        is_over=summary.is_over,
        sentence=month_sentence(summary),
        facts=_facts(summary),
        easy=_share(summary.easy_share),
        adherence=_share(summary.adherence),
        hard=_hard_why(summary),
        hard_text=_hard_words(summary),
        is_over_ceiling=summary.is_over_ceiling,
        lines=tuple(_line(pair, summary) for pair in page.one.lines),
        weeks=tuple(_week(week) for week in summary.weeks),
        decisions=tuple(_decision(one, zone) for one in summary.decisions),
        tests=tuple(_test(test, was, page.heart_rate) for test, was in zip(summary.tests, page.tests, strict=True)),
        holds=tuple(_hold(one, zone) for one in summary.holds),
        pauses=tuple(
            RecordView(f"{words.long(one.from_on)} to {words.long(one.until_on)}", one.reason)
            for one in summary.leaves
        ),
        goals=tuple(goal.text for goal in page.goals),
    )


def made_view(made: Fingerprint, rules: Rules) -> MadeView:
    """What a summary was made from."""
    return MadeView(
        words.long(made.as_of), made.method, made.settings_sha256, made.inputs_sha256, _changed_settings(rules)
    )


def _changed_settings(rules: Rules) -> str:
    defaults = Rules()
    names = [f.name for f in fields(Rules) if getattr(rules, f.name) != getattr(defaults, f.name)]
    said = {card.name: card.sentence for card in cards()}
    return "; ".join(f"{said[name]}: {getattr(rules, name):g}" for name in names) or "none"


def _row(summary: MonthSummary) -> RowView:
    counts = summary.counts
    return RowView(
        id=summary.client.id,
        name=summary.client.name,
        phase=PHASE_WORDS[summary.phase] if summary.phase else "none yet",
        sessions=sessions_of(counts),
        minutes=time_of(counts),
        no_plan_note=no_plan_note(counts),
        adherence=_share(summary.adherence),
        easy=_share(summary.easy_share),
        hard=str(summary.hard_sessions),
        hard_note=_fullest_words(summary),
        is_over_ceiling=summary.is_over_ceiling,
        held=f"{summary.held_weeks} of {len(summary.weeks)}",
        beside=", ".join(_beside(summary)),
    )


def _beside(summary: MonthSummary) -> list[str]:
    counted = (
        (len(summary.decisions), "decision"),
        (len(summary.tests), "test"),
        (len(summary.holds), "hold"),
        (len(summary.leaves), "leave"),
    )
    return [_many(count, word) for count, word in counted if count]


def _share(share: Share) -> ShareView:
    return ShareView(percent(share.fraction), share.not_defined or "", share.why)


def _facts(summary: MonthSummary) -> tuple[Figure, ...]:
    counts = summary.counts
    every = (
        *plain_facts(counts),
        (counts.missed, "Missed", str(counts.missed)),
        (counts.not_logged, "Not logged", f"{counts.not_logged} (unknown, not missed)"),
        (counts.moved, "Moved", str(counts.moved)),
        (counts.kept_as_agreed, "Easy version, as agreed", str(counts.kept_as_agreed)),
        (counts.extra, "Extra", str(counts.extra)),
        (counts.paused, "Paused by a hold or leave", str(counts.paused)),
        (
            counts.strength_planned or counts.strength_done,
            "Strength, kept apart",
            f"{counts.strength_done} done, {counts.strength_planned} planned",
        ),
        (counts.from_memory, "Entered from memory", f"{counts.from_memory} (over 48 h late)"),
        (True, "Weeks held", f"{summary.held_weeks} of {len(summary.weeks)} that begin in the month"),
        (True, "Contacts", str(len(summary.contacts))),
    )
    return tuple(Figure(name, text) for is_shown, name, text in every if is_shown)


def _fullest_words(summary: MonthSummary) -> str:
    """The fullest fortnight against its ceiling: "4 within 14 days, 3 is full"."""
    return f"{summary.fullest.count} within 14 days, {summary.ceiling} is full" if summary.fullest else ""


def _hard_words(summary: MonthSummary) -> str:
    if summary.fullest is None:
        return f"none; the ceiling is {summary.ceiling} in any 14 days"
    most = summary.fullest
    return (
        f"{summary.hard_sessions} in the month; at most {most.count} in 14 days "
        f"({words.short(most.first_on)} to {words.short(most.last_on)}), the ceiling is {summary.ceiling}"
    )


def _hard_why(summary: MonthSummary) -> Why:
    days = summary.fullest.days if summary.fullest else ()
    figures = (
        Figure("hard sessions in the month", str(summary.hard_sessions)),
        Figure("the fullest 14 days", ", ".join(words.short(day) for day in days) or "no hard session"),
        Figure("ceiling", f"{summary.ceiling} in any 14 days"),
    )
    rule = (
        "Hard sessions done, whatever was planned, each counted once on its local day. The fullest 14 days may begin "
        "before the month or end after it."
    )
    return Why(figures, rule, Provenance.COMMON_PRACTICE)


def _line(pair: Pair, summary: MonthSummary) -> LineView:
    planned, log = pair.planned, pair.log
    is_done = log is not None and log.answer is not Answer.NOT_DONE
    done_minutes = minutes(log.minutes) if log is not None and is_done else "none"
    return LineView(
        planned=words.short(planned.planned_on) if planned else _no_plan(pair, summary),
        done=words.short(log.done_on) if log is not None and is_done else "",
        what=line_title(pair),
        status=status_words(pair, summary) + _why_not(pair),
        minutes=f"{done_minutes} of {minutes(planned.minutes)}" if planned else done_minutes,
        effort=_effort(pair),
    )


def _no_plan(pair: Pair, summary: MonthSummary) -> str:
    return "no plan" if pair.log is not None and pair.log.id in summary.logs_without_plan else "extra"


def _why_not(pair: Pair) -> str:
    return f": {words.WHY_NOT_WORDS[pair.log.why_not]}" if pair.log is not None and pair.log.why_not else ""


def _effort(pair: Pair) -> str:
    log = pair.log
    if log is None or log.answer is Answer.NOT_DONE:
        return ""
    said = [
        pair.done_band.value if pair.done_band else "effort not known",
        f"{log.effort:g} of 10" if log.effort is not None else "",
        TALK_WORDS[log.talk] if log.talk else "",
    ]
    return "; ".join(part for part in said if part)


def _week(week: WeekFacts) -> WeekView:
    share = week.easy_share
    return WeekView(
        monday=words.short(week.monday),
        planned="nothing planned" if week.planned_minutes is None else minutes(week.planned_minutes),
        done=minutes(week.done_minutes),
        easy=f"not defined: {share.missing}" if share.missing else percent(share.fraction),
        held=HELD_WORDS[week.held],
        because="; ".join(week.because),
    )


def _decision(one: PhaseDecision, zone: str) -> RecordView:
    headline = f"{words.DECISION_WORDS[one.kind]} {PHASE_WORDS[one.phase]}, since {words.long(one.since_on)}"
    return RecordView(words.long(local_day(one.decided_at, zone)), headline, one.reason)


def _test(test: FitnessTest, was: Compared | None, heart_rate: HeartRateTrust) -> RecordView:
    beside = [ORIGIN_WORDS[test.origin], test.conditions or ""]
    if was is not None:
        changed = ", ".join(was.differences) or "no figure in common"
        said = (f"{changed} against {words.long(was.before.tested_on)}.", was.averaged, was.verdict)
        beside.append(" ".join(sentence for sentence in said if sentence))
    text = f"{words.protocol_words(test)}: {words.result_words(test, heart_rate)}"
    return RecordView(words.long(test.tested_on), text, "; ".join(part for part in beside if part))


def _hold(one: Hold, zone: str) -> RecordView:
    if one.lifted_at is None:
        end = "still open at the end of what is summed up here"
    else:
        because = f": {one.lifted_because}" if one.lifted_because else ""
        end = f"lifted {words.long(local_day(one.lifted_at, zone))}{because}"
    stops = words.STOPS_WORDS.get(one.stops) or "one way of moving, and hard work"
    return RecordView(words.long(one.began_on), f"{one.cause.rstrip('.')}. It stopped {stops}.", end)


def _many(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
