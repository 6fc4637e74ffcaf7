"""A talk prepared: what changed, what got in the way, what was agreed last, how sure they are, and what to ask."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.base_weeks import adherence, easy_share_over
from app.coaching.check_ins import BARRIER_WORDS, CONFIDENT_FROM, CheckIn, said_in
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.people import Contact, Goal, Note, Visibility
from app.coaching.rules import Rules
from app.coaching.session_logs import WhyNot
from app.coaching.signals import Signal, signals
from app.coaching.training_weeks import all_week_facts
from app.coaching.weeks import weeks_back
from app.coaching.words import minutes_words, percent, short_day

HALF = 4
LOOKED_BACK = timedelta(weeks=8)
#: No more is asked in one talk (house choice).
QUESTIONS_MOST = 6

_WORN = "What has been different these last days: sleep, work, worries?"
_DENSE = "Hard days stand close together just now. What came on top of the plan, and how do you recover from it?"
#: What to ask about a signal, in words that invite an answer; common practice, no published source.
ASKED_ABOUT = {
    "symptom": "How is it now, and has a clinician looked at it?",
    "illness": "How do you feel today, and since when without fever?",
    "medicine_changed": "Which tablet changed, how, and who decided it?",
    "trained_while_paused": "How was it to train during the pause, and what made the pause hard to keep?",
    "hard_out_of_phase": "That one was hard. How did it come about, and how did you feel the day after?",
    "pressure_high": "Have you measured again, rested, and what does your doctor say of it?",
    "days_away_told": "What is possible while you are away, and what would you rather leave?",
    "readiness_down": _WORN,
    "hard_today_in_doubt": _WORN,
    "variability_low": _WORN,
    "spacing": _DENSE,
    "ceiling": _DENSE,
    "legs_heavy": "How are your legs, and what did they do the day before?",
    "short_nights": "What keeps you from sleeping?",
    "resting_heart_rate_up": "Anything coming on? Heat, a bad night, a new tablet?",
    "missed_key_session": "What came between, and what would have made it possible?",
    "hard_gap": "What came between the hard sessions, and how would you like to begin again?",
    "second_may_be_left_out": "Do two hard sessions fit these weeks, or is one the better number for now?",
    "reason_given": "You named the same reason more than once. What could the plan do about it?",
    "low_share": "Which of the sessions fit your week, and which never did?",
    "identical_to_plan": "Tell me about one of the last sessions. What was it really like?",
    "easy_drifting_up": "Could you chat on the easy ones? What made them harder?",
    "easy_not_easy": "What makes the easy ones hard: company, hills, the watch?",
    "folded_over": "How did the last round end, and how would you begin the next first one?",
    "started_hot": "How was the first half minute?",
    "faded": "When did you feel that the last rounds would not be like the first?",
    "technique_lost": "What became of your stroke or stride in the last rounds?",
    "quiet": "How have you been?",
    "volume_step": "That was a big week. How do your legs and joints feel?",
    "long_outing": "How did you feel the day after the long one?",
    "heavy_even_week": "Which day of that week was really light?",
    "year_course": "How does the rest of your year look, and does the course still fit it?",
    "block_ending": "Before the next block: are your days and times still the same, and what should it be about?",
    "gain_clear": "Have you noticed the change yourself? Where?",
    "base_met": "The base is there. Do you want to begin hard work, and what worries you about it?",
    "second_due": "Would a second hard day fit your week? Staying at one is a good end too.",
    "week_told": "You told how the week went. What would make the next one better?",
    "retest_due": "When and where could the test be done as last time?",
}
ALWAYS_ASKED = (
    "What went well since we last spoke?",
    "What do you take on until next time, and how sure are you of it, from 0 to 10?",
)


@dataclass(frozen=True, slots=True)
class Trend:
    """One figure of the last four whole weeks beside the four before."""

    name: str
    before: str
    now: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything on one page before a talk."""

    today: date
    trends: tuple[Trend, ...]
    #: What got in the way in eight weeks, the most frequent first.
    barriers: tuple[str, ...]
    last_contact: Contact | None
    #: What was last written for both to read.
    last_note: Note | None
    goals: tuple[Goal, ...]
    confidence: str
    check_ins: tuple[CheckIn, ...]
    signals: tuple[Signal, ...]
    questions: tuple[str, ...]


def sheet_of(history: History, today: date, rules: Rules) -> Sheet:
    """The sheet of one client as of a day. Source: common practice, no published source."""
    found = signals(history, today, rules)
    facts = facts_of(history, today, rules)
    notes = [one for one in history.notes if one.visibility is Visibility.CLIENT]
    past = [one for one in history.contacts if one.contact_on <= today]
    return Sheet(
        today=today,
        trends=_trends(history, today, rules, facts),
        barriers=_barriers(history, today),
        last_contact=max(past, key=lambda one: (one.contact_on, one.id), default=None),
        last_note=max(notes, key=lambda one: (one.written_at, one.id), default=None),
        goals=tuple(one for one in history.goals if one.closed_on is None),
        confidence=_confidence(history),
        check_ins=tuple(sorted(history.check_ins, key=lambda one: one.week_on, reverse=True)[:HALF]),
        signals=found,
        questions=_questions(history, found),
    )


def _trends(history: History, today: date, rules: Rules, facts: Facts) -> tuple[Trend, ...]:
    mondays = weeks_back(today, 2 * HALF)
    before, now = (_half(history, some, today, rules, facts) for some in (mondays[:HALF], mondays[HALF:]))
    names = ("minutes a week", "days out a week", "of the plan done", "easy share", "hard sessions")
    return tuple(Trend(*three) for three in zip(names, before, now, strict=True))


def _half(
    history: History, mondays: Sequence[date], today: date, rules: Rules, facts: Facts
) -> tuple[str, str, str, str, str]:
    weeks = all_week_facts(history, mondays, today, rules, facts=facts)
    kept = adherence(history, mondays, today, pairing=facts.pairing).fraction
    easy = easy_share_over(weeks, rules).fraction
    return (
        minutes_words(sum(week.done_minutes for week in weeks) / HALF),
        f"{sum(week.days for week in weeks) / HALF:.1f}",
        "nothing planned" if kept is None else percent(kept),
        "not known" if easy is None else percent(easy),
        str(sum(week.hard_sessions for week in weeks)),
    )


def _barriers(history: History, today: date) -> tuple[str, ...]:
    first = today - LOOKED_BACK
    told: list[WhyNot] = [log.why_not for log in history.logs if log.why_not is not None and log.done_on >= first]
    told += [one.barrier for one in history.check_ins if one.barrier is not None and one.week_on >= first]
    return tuple(f"{BARRIER_WORDS[one]} {_often(count)}" for one, count in Counter(told).most_common())


def _often(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _confidence(history: History) -> str:
    told = [one for one in sorted(history.check_ins, key=lambda one: one.week_on) if one.confidence is not None]
    if told:
        said = ", ".join(f"{one.confidence} ({short_day(one.week_on)})" for one in told[-HALF:])
        return f"Sure of the week ahead, of 10: {said}."
    goals = [one for one in history.goals if one.closed_on is None and one.confidence is not None]
    if goals:
        newest = max(goals, key=lambda one: (one.agreed_on, one.id))
        return f"Sure of the goal when it was agreed: {newest.confidence} of 10."
    return "Not asked yet."


def _questions(history: History, found: Sequence[Signal]) -> tuple[str, ...]:
    asked = [ASKED_ABOUT[one.name] for one in found if one.name in ASKED_ABOUT]
    newest = max(history.check_ins, key=lambda one: one.week_on, default=None)
    is_unsure = newest is not None and newest.confidence is not None and newest.confidence < CONFIDENT_FROM
    if is_unsure and newest is not None:
        asked.append(f"You said {newest.confidence} of 10 for the week ahead. What would make it {CONFIDENT_FROM}?")
    if any(hold.stops is Stops.ALL for hold in history.open_holds):
        asked = [
            question for question in asked if question not in (ASKED_ABOUT["base_met"], ASKED_ABOUT["second_due"])
        ]
    first, last = ALWAYS_ASKED
    return (first, *dict.fromkeys(asked[: QUESTIONS_MOST - len(ALWAYS_ASKED)]), last)


def told_words(one: CheckIn) -> str:
    """A check-in in one line."""
    return f"week of {short_day(one.week_on)}: {'; '.join(said_in(one))}"
