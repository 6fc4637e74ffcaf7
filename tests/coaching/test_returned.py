"""A line that was dealt with and speaks again says what is new against what was dealt with."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.history import Handled, History
from app.coaching.morning import morning
from app.coaching.returned import NEWS, RETURNED_DAYS, Shown, dealt_before, returned_words, shown_of, what_is_new
from app.coaching.signals import NAMES, Signal, signals
from tests import factories as make
from tests.coaching.signal_scenes import RULES, TODAY, calm, easy_done, on
from tests.coaching.signal_table import BY_TIME, TABLE, shifted

ZONE = "Europe/Berlin"
#: Said of the new evidence in the table's third row, read by hand beside the second.
SAID = {
    "symptom": "something was reported beside it, the newest felt today",
    "hold_with_training": "other training stands in its time (planned meanwhile: 1 session then, 2 sessions now)",
    "pressure_high": "a new reading, of today (reading: 160 over 78 mmHg then, 185 over 78 mmHg now)",
    "paper_while_held": "another paper has come",
    "incident_open": "a follow-up was written since, and none after it",
    "change_not_seen": "the session was changed once more",
    "spacing": "another hard session is too close",
    "missed_key_session": "another one, planned on Sat 3 Oct",
    "resting_heart_rate_up": "resting heart rate also high today",
    "reason_given": "the same reason again, on Sun 4 Oct",
    "note_unread": "wrote again, about Sun 4 Oct",
    "block_ending": "the block is over now",
    "year_course": "another quarter has begun",
}


def _lines(name: str) -> tuple[Signal, Signal]:
    """A signal as it was dealt with, and with new evidence."""
    rows, days = TABLE[name](), BY_TIME.get(name, 0)
    later = (shifted(rows.fires, days), shifted(TODAY, days)) if days else (rows.renewed, TODAY)
    before = next(one for one in signals(rows.fires, TODAY, rows.rules) if one.name == name)
    return before, next(one for one in signals(*later, rows.rules) if one.name == name)


def _handled(signal: Signal, *, days: int = -1, until: int | None = None, key: str | None = None) -> Handled:
    until_on = None if until is None else on(until)
    return Handled(make.CLIENT_ID, signal.name, key or signal.key, until_on, make.at(on(days), 6), make.COACH_ID, 5)


def _quiet(days: int) -> tuple[History, Signal]:
    history = calm(logs=(easy_done(-days), easy_done(-days - 1)), contacts=())
    return history, next(one for one in signals(history, TODAY, RULES) if one.name == "quiet")


def test_every_signal_has_words_for_its_return() -> None:
    assert set(NEWS) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_says_what_is_new_and_not_that_a_setting_changed(name: str) -> None:
    before, after = _lines(name)

    said = what_is_new(after, before.key, shown_of(before), shifted(TODAY, BY_TIME.get(name, 0)))

    assert "{" not in said
    assert "the practice changed the limit" not in said
    assert "what it stands on has changed" not in said
    assert name not in SAID or said == SAID[name]


def test_a_line_whose_setting_was_changed_says_so() -> None:
    rows = TABLE["contact_overdue"]()
    before = next(one for one in signals(rows.fires, TODAY, rows.rules) if one.name == "contact_overdue")
    stricter = replace(rows.rules, contact_days=rows.rules.contact_days - 1)
    after = next(one for one in signals(rows.fires, TODAY, stricter) if one.name == "contact_overdue")

    assert what_is_new(after, before.key, shown_of(before), TODAY) == "the practice changed the limit since"


def test_a_silence_that_goes_on_says_how_long_it_was_and_is() -> None:
    now = _quiet(14)[1]
    then = Shown("Quiet for 8 days.", (("days", "8"), ("limit", "7 days")), now.evidence_on)
    before = _handled(now, days=-6, key=now.key.replace(":14", ":0"))

    said = returned_words(now, before, then, reader_id=make.COACH_ID, today=TODAY, zone=ZONE)

    assert said == "Back since you handled it on Tue 29 Sep: the silence goes on (days: 8 then, 14 now)."


def test_what_somebody_else_handled_or_put_off_is_not_said_to_be_yours() -> None:
    _, now = _quiet(14)
    handled, put_off = _handled(now, key="quiet:l1:0"), _handled(now, days=0, until=3, key="quiet:l1:0")

    sayings = [
        returned_words(now, one, None, reader_id=make.COACH_ID + 1, today=TODAY, zone=ZONE).split(":")[0]
        for one in (handled, put_off)
    ]

    assert sayings == ["Back since it was handled on Sun 4 Oct", "Back since it was put off today"]


def test_a_record_that_was_taken_back_is_not_said_to_be_new() -> None:
    rows = TABLE["short_nights"]()
    older = next(one for one in signals(rows.fires, TODAY, rows.rules) if one.name == "short_nights")
    then = replace(shown_of(older), evidence_on=older.evidence_on.replace(day=older.evidence_on.day + 1))

    said = what_is_new(older, "short_nights:99:5.0", then, TODAY)

    assert said == "what was newest then was changed or taken back; the newest is of Sun 4 Oct"


def test_an_entry_corrected_is_not_another_bad_set() -> None:
    before, after = _lines("faded")
    same_day = replace(after, evidence_on=before.evidence_on)

    assert what_is_new(same_day, before.key, shown_of(before), TODAY) == "the entry of Sat 3 Oct was changed since"


def test_the_newest_dealing_counts_and_the_same_key_is_no_return() -> None:
    now = _quiet(14)[1]
    older, newer = _handled(now, days=-5, key="quiet:l1:0"), _handled(now, days=-2)

    assert dealt_before(now, [older], TODAY, ZONE) == older
    assert dealt_before(now, [newer, older], TODAY, ZONE) is None


def test_a_line_put_off_is_no_return_once_its_day_has_come() -> None:
    now = _quiet(14)[1]

    assert dealt_before(now, [_handled(now, until=1, key="quiet:l1:0")], TODAY, ZONE) is not None
    assert dealt_before(now, [_handled(now, until=0, key="quiet:l1:0")], TODAY, ZONE) is None


def test_what_was_dealt_with_long_ago_is_no_return() -> None:
    now = _quiet(14)[1]
    last, too_old = (_handled(now, days=-n, key="quiet:l1:0") for n in (RETURNED_DAYS, RETURNED_DAYS + 1))

    assert dealt_before(now, [last], TODAY, ZONE) == last
    assert dealt_before(now, [too_old], TODAY, ZONE) is None


def test_the_morning_names_the_reasons_that_are_back_and_no_others() -> None:
    history, now = _quiet(14)
    dealt = (_handled(now, key="quiet:l1:0"), replace(_handled(now, key="x"), signal="contact_overdue", client_id=99))

    seen = morning((history,), {history.client.id: TODAY}, RULES, dealt)

    assert {name: one.key for name, one in seen.planning[0].back.items()} == {"quiet": "quiet:l1:0"}
