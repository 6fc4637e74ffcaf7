"""A morning line that was dealt with and speaks again: what is new against what was dealt with, in one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from app.coaching.history import Handled
from app.coaching.signals_values import Signal
from app.coaching.weeks import local_day
from app.coaching.words import short_day

#: Dealt with longer ago than this a line is news of its own, not a return (house choice).
RETURNED_DAYS = 42
_CHANGED = "what it stands on has changed"


@dataclass(frozen=True, slots=True)
class Shown:
    """What a line said when it was dealt with."""

    sentence: str
    figures: tuple[tuple[str, str], ...]
    evidence_on: date


@dataclass(frozen=True, slots=True)
class News:
    """What to say of new evidence: of other records by their leading letter, and of a change without any.

    `figures` are those whose value is said beside the one of then.
    """

    records: Mapping[str, str]
    same: str = _CHANGED
    figures: tuple[str, ...] = ()


_OLDER = "what was newest then was changed or taken back; the newest is of {day}"


def _news(records: str, same: str = _CHANGED, *figures: str) -> News:
    return News({"": records}, same, figures)


_AGAIN = "the same again {on}"
_CORRECTED = "the entry of {day} was changed since"
_SETTING = "the practice changed the limit since"
#: One for each signal; `{day}` is the day of its newest evidence, `{on}` the same with its "on".
NEWS: Mapping[str, News] = {
    "symptom": _news("something was reported beside it, the newest felt {on}"),
    "named_not_sent": _news("a yes was given since, not sent yet either"),
    "paper_while_held": News({"c": "another paper has come", "h": "another hold is open"}),
    "hold_with_training": _news("another hold is open", "other training stands in its time", "planned meanwhile"),
    "trained_while_paused": _news("trained again, {on}"),
    "hard_without_leave": _news("another session stands without leave, {on}", "the screening answers otherwise"),
    "hard_out_of_phase": _news("hard work again, {on}", "the leave for hard work has changed"),
    "illness": _news("a new note says so, of {day}", "the note of {day} says something else now"),
    "pressure_high": _news("a new reading, of {day}", _SETTING, "reading"),
    "medicine_changed": _news("a change was said again, {on}"),
    "clearance_missing": News(
        {"c": "the paper on file is another", "a": "the questions were answered again"},
        "another row of the screening decides",
    ),
    "questions_due": _news("answered since then, and due again", "they are due for another reason"),
    "waiting_for_questions": _news("the questions wait still", "four more weeks have gone by"),
    "clearance_ending": _news("it is another clearance", "its last day is another", "last day"),
    "consent_ending": _news("another consent is due", _SETTING),
    "pressure_due": _news("a reading came between, and the next is due", _SETTING),
    "incident_open": _news("another incident waits", "a follow-up was written since, and none after it"),
    "change_not_seen": _news("another session was changed", "the session was changed once more"),
    "hard_today_in_doubt": News(
        {"s": "another hard session stands today", "": "a new note, of {day}"}, "the notes advise otherwise now"
    ),
    "readiness_down": _news("a new note, of {day}"),
    "days_away_told": _news("more days away were told", "what was told of the days has changed"),
    "legs_heavy": News({"l": "heavy legs again, {on}", "s": "another hard session stands within a day"}),
    "spacing": News({"l": "hard work was done again, {on}", "s": "another hard session is too close"}, _SETTING),
    "ceiling": News(
        {
            "s": "it is about another planned session",
            "l": "one more was done, {on}",
            "": "other hard sessions count in the fourteen days",
        },
        "the ceiling is another",
        ("ceiling",),
    ),
    "not_started": _news("answered or cleared again since", "another week has gone by"),
    "base_met": _news("a phase was decided since"),
    "second_due": _news("a phase was decided since"),
    "gain_clear": _news("another test, of {day}", _CHANGED, "seen"),
    "hard_gap": _news("a hard session came between, and another gap after it", "the gap goes on", "days"),
    "missed_key_session": _news("another one, planned {on}"),
    "second_may_be_left_out": _news("another one was missed or broken off, {on}"),
    "folded_over": _news(_AGAIN, _CORRECTED),
    "started_hot": _news(_AGAIN, _CORRECTED),
    "faded": _news(_AGAIN, _CORRECTED),
    "technique_lost": _news(_AGAIN, _CORRECTED),
    "easy_not_easy": _news("another one, {on}", _SETTING),
    "volume_step": _news("the week after was a large step as well", _SETTING),
    "long_outing": _news("another long outing, {on}", _SETTING),
    "heavy_even_week": _news("the week after was like it", _SETTING),
    "year_course": _news("another quarter has begun", _SETTING, "hard sessions done"),
    "resting_heart_rate_up": _news("resting heart rate also high {on}"),
    "variability_low": _news("another week is below the range", "the own range has moved", "mean of the week"),
    "short_nights": _news("another short night, told {on}"),
    "reason_given": _news("the same reason again, {on}", "the reason is another"),
    "low_share": _news("four weeks later it is so still", _SETTING),
    "quiet": _news("a sign came between, the last {on}", "the silence goes on", "days"),
    "contact_overdue": _news("a contact came between, and the next is overdue", _SETTING),
    "note_unread": _news("wrote again, about {day}"),
    "week_told": _news("another week was told"),
    "waits_for_confirmation": _news("another phase was brought in"),
    "block_ending": _news("it is another block", "the block is over now"),
    "base_near": _news("a phase was decided since", "another condition is the short one now"),
    "retest_due": _news("another test is the due one, or one came between", _SETTING),
    "easy_drifting_up": _news("another such session, {on}", _SETTING, "third answer"),
    "identical_to_plan": _news("four weeks later it is so still", _SETTING),
}

#: Their evidence is one thing that happened on a day: when that day is an earlier one now, nothing came anew.
_OF_A_DAY = frozenset(
    {
        "trained_while_paused", "hard_out_of_phase", "illness", "pressure_high", "medicine_changed", "readiness_down",
        "folded_over", "started_hot", "faded", "technique_lost", "easy_not_easy", "long_outing", "short_nights",
        "resting_heart_rate_up", "reason_given", "easy_drifting_up", "note_unread",
    }
)  # fmt: skip
#: An entry that is corrected changes their key as well.
_BY_REVISION = frozenset({"folded_over", "started_hot", "faded", "technique_lost"})


def shown_of(signal: Signal) -> Shown:
    """What is kept of a line when it is dealt with."""
    return Shown(signal.sentence, tuple((one.name, one.text) for one in signal.why.figures), signal.evidence_on)


def dealt_before(signal: Signal, handled: Iterable[Handled], today: date, zone: str) -> Handled | None:
    """The newest dealing with a line that has other evidence now; None for a line that is back as it was agreed.

    That is one put off whose day has come, and one dealt with too long ago to be remembered.
    """
    of_line = [one for one in handled if (one.client_id, one.signal) == (signal.client_id, signal.name)]
    newest = max(of_line, key=lambda one: (one.at, one.id), default=None)
    if newest is None or newest.key == signal.key:
        return None
    if newest.until_on is not None and newest.until_on <= today:
        return None
    return newest if (today - local_day(newest.at, zone)).days <= RETURNED_DAYS else None


def returned_words(
    signal: Signal, before: Handled, shown: Shown | None, *, reader_id: int, today: date, zone: str
) -> str:
    """Why a line that was dealt with is back, in one sentence; reader_id: the person who reads it."""
    who = "you handled it" if before.person_id == reader_id else "it was handled"
    if before.until_on is not None:
        who = "you put it off" if before.person_id == reader_id else "it was put off"
    on = _on(local_day(before.at, zone), today)
    return f"Back since {who} {on}: {what_is_new(signal, before.key, shown, today)}."


def what_is_new(signal: Signal, key: str, shown: Shown | None, today: date) -> str:
    """What changed between the key that was dealt with and the line as it stands, as the rest of a sentence."""
    news, on = NEWS[signal.name], _on(signal.evidence_on, today)
    words = _words(signal, news, key, shown).format(day=on.removeprefix("on "), on=on)
    then = dict(shown.figures) if shown else {}
    beside = [
        f"{one.name}: {then[one.name]} then, {one.text} now"
        for one in signal.why.figures
        if one.name in news.figures and then.get(one.name, one.text) != one.text
    ]
    return f"{words} ({'; '.join(beside)})" if beside else words


def _words(signal: Signal, news: News, key: str, shown: Shown | None) -> str:
    came = sorted(_records(signal.key) - _records(key))
    if not came:
        return news.same
    if shown is not None and signal.name in _OF_A_DAY and signal.evidence_on < shown.evidence_on:
        return _OLDER
    is_corrected = shown is not None and signal.name in _BY_REVISION and signal.evidence_on == shown.evidence_on
    letters = [letter for letter in news.records if any(one.startswith(letter) for one in came)]
    return news.same if is_corrected or not letters else news.records[letters[0]]


def _on(day: date, today: date) -> str:
    return "today" if day == today else f"on {short_day(day)}"


def _records(key: str) -> set[str]:
    """The records a key names: between the name and the limit."""
    return set(key.partition(":")[2].rpartition(":")[0].split(","))
