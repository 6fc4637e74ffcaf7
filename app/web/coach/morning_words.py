"""The sentences of the morning: counts in words, what was entered, what the client reads when a session is eased."""

from __future__ import annotations

from collections.abc import Sequence
from zoneinfo import ZoneInfo

from app.coaching.check_ins import said_in
from app.coaching.effort import TALK_WORDS
from app.coaching.morning_groups import LineGroup
from app.coaching.people import ENTRY_ORIGIN_WORDS, ClientState, Origin
from app.coaching.prescriptions import KIND_WORDS, SessionKind
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.session_steps import NOUNS
from app.coaching.words import done_minutes_words
from app.usecases.morning.page import MorningLine, MorningPage
from app.usecases.morning.told import Entry
from app.web.filters import clock, day

_SMALL = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
#: From here on figures read better than words.
_WORDS_UNTIL = 100

SIGNAL_WORDS = {
    "symptom": "something felt wrong",
    "named_not_sent": "a sign named, not sent",
    "paper_while_held": "a paper waits, the hold is open",
    "hold_with_training": "planned while on hold",
    "trained_while_paused": "trained while paused",
    "hard_without_leave": "hard work without leave",
    "hard_out_of_phase": "hard work done",
    "illness": "ill",
    "pressure_high": "blood pressure",
    "medicine_changed": "medicine changed",
    "clearance_missing": "clearance missing",
    "questions_due": "questions due",
    "waiting_for_questions": "waiting for questions",
    "clearance_ending": "clearance ending",
    "consent_ending": "consent to be renewed",
    "pressure_due": "blood pressure reading due",
    "change_not_seen": "change not seen",
    "incident_open": "incident open",
    "hard_today_in_doubt": "hard session in doubt",
    "readiness_down": "readiness down",
    "days_away_told": "days away",
    "legs_heavy": "heavy legs",
    "spacing": "hard sessions too close",
    "ceiling": "fortnight ceiling",
    "not_started": "not started",
    "base_met": "conditions met",
    "second_due": "second hard session",
    "gain_clear": "clear change in a test",
    "folded_over": "bent over after the last round",
    "started_hot": "started hot",
    "faded": "faded",
    "technique_lost": "technique lost",
    "easy_not_easy": "easy was not easy",
    "volume_step": "a large step",
    "long_outing": "a long outing",
    "heavy_even_week": "heavy and even week",
    "year_course": "the year's course",
    "resting_heart_rate_up": "resting heart rate up",
    "variability_low": "heart-rate variability low",
    "short_nights": "short nights",
    "reason_given": "reason for not training",
    "low_share": "little of the plan done",
    "hard_gap": "gap in the interval phase",
    "missed_key_session": "key session missed",
    "second_may_be_left_out": "second may be left out",
    "quiet": "quiet",
    "contact_overdue": "contact overdue",
    "note_unread": "words from the client",
    "week_told": "the week as told",
    "waits_for_confirmation": "brought in, not confirmed",
    "block_ending": "block ending",
    "base_near": "conditions near",
    "retest_due": "test due",
    "easy_drifting_up": "easy is drifting up",
    "identical_to_plan": "entries equal to the plan",
}

#: What the client reads as the reason of the easy version.
EASED_BECAUSE = {
    "illness": "You said you are not well: easy today, or rest.",
    "hard_today_in_doubt": "You are more worn than usual: easy today.",
    "readiness_down": "You are more worn than usual: easy today.",
    "legs_heavy": "Your legs worked heavily within a day: easy today.",
    "spacing": "Your last hard session is too close: easy today.",
    "ceiling": "There were enough hard sessions in these two weeks: easy today.",
    "hard_without_leave": "Hard work waits until the papers or the phase are there: easy today.",
}
EASED_ANYHOW = "Easy today, as your coach decided this morning."

_ANSWERS = {
    Answer.AS_PLANNED: "as planned",
    Answer.PARTLY: "partly",
    Answer.EASY_VERSION: "the easy version",
    Answer.SOMETHING_ELSE: "something else",
    Answer.NOT_DONE: "not done",
}
#: What an entry was beside its way of moving; easy work needs no word.
_KINDS = {
    SessionKind.RACE: "a race, a match or a class felt as one",
    SessionKind.TEST: "a test",
    SessionKind.INTERVALS: "hard rounds",
}
_SAID_BY_ITS_NOUN = (SessionKind.EASY, SessionKind.STRENGTH)
_ILL = {Illness.ABOVE_NECK: "a cold above the neck", Illness.FEVER_OR_BELOW: "fever, or ill below the neck"}


def in_words(number: int) -> str:
    """A count in words up to ninety-nine, then in figures."""
    if number >= _WORDS_UNTIL:
        return str(number)
    if number < len(_SMALL):
        return _SMALL[number]
    tens, ones = divmod(number, 10)
    return _TENS[tens] if ones == 0 else f"{_TENS[tens]}-{_SMALL[ones]}"


def title(page: MorningPage, groups: Sequence[LineGroup] = (), *, duties: int = 0) -> str:
    """What waits, as the page's heading; the practice's own duties keep nobody from training."""
    together = sum(len(group.lines) - 1 for group in groups)
    first = len(page.today) + bool(page.hot and page.hot.reached)
    later = len(page.planning) - together + bool(page.waiting) + bool(page.to_agree_again) + duties
    if not first and not later:
        return "Nobody waits for a decision this morning"
    before = in_words(first).capitalize() if first else "Nothing"
    return f"{before} before anyone trains, {in_words(later) if later else 'nothing'} to plan"


def lede(page: MorningPage) -> str:
    """How many there are and how many logged yesterday."""
    count = sum(one.state is not ClientState.LEFT for one in page.clients)
    people = f"{in_words(count).capitalize()} {'client' if count == 1 else 'clients'}."
    logged = in_words(page.logged_yesterday).capitalize() if page.logged_yesterday else "Nobody"
    return f"{people} {logged} logged yesterday{_for_them(page)}; nothing else waits for you."


def hot(count: int, noted: str) -> str:
    """How many have hard work outdoors on a day noted as hot."""
    who = f"{in_words(count)} {'client has' if count == 1 else 'clients have'}"
    return f"Hot today, {noted}: {who} middle or hard work outdoors."


def waiting(count: int, easy: int, put_off: int) -> str:
    """How many wait for the health questions, what each may do meanwhile, and how many more are put off."""
    said = (
        f"{in_words(count).capitalize()} {'client waits' if count == 1 else 'clients wait'} for the health questions."
    )
    rest = count - easy
    if not rest:
        meanwhile = "Until they are answered the easy plan stands, and hard work waits."
    elif not easy:
        meanwhile = "No training begins before they are answered."
    else:
        of_rest = f"for {in_words(rest)} of them no training begins before that"
        meanwhile = (
            f"Until they are answered the easy plan of {in_words(easy)} stands and hard work waits; {of_rest}."
        )
    more = f" {in_words(put_off).capitalize()} more {'is' if put_off == 1 else 'are'} put off." if put_off else ""
    return f"{said} {meanwhile}{more}"


def agree_again(count: int) -> str:
    """For how many hard work waits, since a text they agreed to has changed."""
    who = f"{in_words(count).capitalize()} {'client' if count == 1 else 'clients'}"
    return (
        f"{who} agreed to a text about hard work that has changed since. Hard work waits until the new one is agreed "
        "to; easy work goes on."
    )


def later(names: Sequence[str]) -> str:
    """Who is behind the fold of planning day; empty when nobody is."""
    return f"{in_words(len(names)).capitalize()} more can wait: {', '.join(names)}" if names else ""


def _for_them(page: MorningPage) -> str:
    """Of how many the coach made the entry."""
    count, of = page.entered_for, page.logged_yesterday
    if not count:
        return ""
    return " (entered for them)" if count == of else f" ({in_words(count)} of them entered by a coach)"


def handled(name: str, count: int) -> str:
    """What was settled, and that it may come back."""
    if count == 1:
        return f"{name}'s line is handled. It comes back with new evidence."
    return f"{in_words(count).capitalize()} of {name}'s reasons are handled. Each comes back with new evidence."


def settled(count: int) -> str:
    """What a contact or a note settled along with it."""
    return "The line is handled." if count == 1 else f"{in_words(count).capitalize()} reasons are handled."


def told(entry: Entry) -> str:
    """How an entry that the client did not type came here, empty for one that they did."""
    of = entry.log or entry.note or entry.week
    origin = of.origin if of is not None else Origin.CLIENT
    if origin is Origin.CLIENT:
        return ""
    about_on = entry.log.done_on if entry.log else entry.note.noted_on if entry.note else None
    is_late = about_on is not None and about_on != entry.entered_at.astimezone(ZoneInfo(entry.client.zone)).date()
    return f"{ENTRY_ORIGIN_WORDS[origin]}, about {day(about_on)}" if is_late else ENTRY_ORIGIN_WORDS[origin]


def sent(asked: int, unreached: int) -> str:
    """Who has the questions now, and who would not read them there."""
    said = f"{asked} {'has' if asked == 1 else 'have'} them on their phone now"
    if not unreached:
        return f"{said}."
    rest = "the other one has no phone" if unreached == 1 else f"none of the other {unreached} has a phone"
    return f"{said}; {rest} signed in: invite them, or ask by telephone. Their line stays here."


def meta(one: MorningLine, phase: str) -> str:
    """Age, phase and week: who this is, in a few words."""
    age = str(one.beside.age) if one.beside.age is not None else "age not known"
    week = f", week {one.beside.phase_week}" if one.beside.phase_week is not None else ""
    return f"{age}, {phase}{week}"


def entered(entry: Entry) -> str:
    """When an entry was made, on the client's own clock."""
    local = entry.entered_at.astimezone(ZoneInfo(entry.client.zone))
    return f"{day(local.date())}, {clock(local)}"


def entry_words(entry: Entry) -> str:
    """What was entered, without the client's own words."""
    if entry.log is not None:
        title_words = entry.planned.title if entry.planned else _unplanned(entry.log)
        return f"{title_words}: {'; '.join(_said(entry.log))}"
    if entry.week is not None:
        return f"Their week: {'; '.join(said_in(entry.week))}"
    return f"How I am: {'; '.join(_how(entry.note))}" if entry.note else ""


def _unplanned(log: SessionLog) -> str:
    """What an entry without a plan was: "Run, a race"."""
    noun = NOUNS[log.mode].capitalize()
    return noun if log.kind in _SAID_BY_ITS_NOUN else f"{noun}, {_KINDS.get(log.kind, KIND_WORDS[log.kind])}"


def own_words(entry: Entry) -> str:
    """The client's own words in an entry, empty without any."""
    of = entry.note or entry.week
    said = entry.log.own_words if entry.log is not None else of.text if of else None
    return (said or "").strip()


def _said(log: SessionLog) -> list[str]:
    if log.answer is Answer.NOT_DONE:
        return [f"not done ({log.why_not.value.replace('_', ' ')})" if log.why_not else "not done"]
    is_more = log.kind in _KINDS
    parts = [_ANSWERS[log.answer] if log.planned_session_id else "not planned"]
    parts += [_KINDS[log.kind]] if log.answer is Answer.SOMETHING_ELSE and log.planned_session_id and is_more else []
    parts += [done_minutes_words(log.minutes)] if log.minutes is not None else []
    parts += [TALK_WORDS[log.talk]] if log.talk else []
    parts += [f"effort {log.effort:g}"] if log.effort is not None else []
    parts += ["felt all out"] if log.felt_all_out else []
    return parts


def _how(note: ReadinessNote | None) -> list[str]:
    if note is None:
        return []
    parts = [f"slept {note.slept_h:g} h"] if note.slept_h is not None else []
    parts += [_ILL[note.illness]] if note.illness in _ILL else []
    parts += ["a medicine changed"] if note.medicine_changed else []
    parts += ["not right today"] if note.not_right_today else []
    return parts or ["nothing out of the usual said"]
