"""Signals about contact: each fires, keeps silent just below, and returns on new evidence."""

from __future__ import annotations

from typing import Any

import pytest

from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.session_logs import Answer
from app.coaching.signals_values import Shelf
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, calm, easy_done, found, on


def _last_heard(days: int, **records: Any) -> History:
    given: dict[str, Any] = {"logs": (easy_done(-days), easy_done(-days - 1)), "contacts": ()}
    return calm(Phase.AEROBIC_BASE, **(given | records))


@pytest.mark.parametrize(("days", "fires"), [(7, False), (8, True)])
def test_quiet_after_a_week_for_a_daily_logger(days: int, fires: bool) -> None:
    assert (found(_last_heard(days), "quiet") is not None) is fires


@pytest.mark.parametrize(("days", "fires"), [(10, False), (11, True)])
def test_quiet_waits_twice_the_own_usual_gap(days: int, fires: bool) -> None:
    logs = tuple(easy_done(-days - gap) for gap in (0, 5, 10, 15))

    assert (found(_last_heard(days, logs=logs), "quiet") is not None) is fires


@pytest.mark.parametrize(
    "records",
    [
        {"contacts": (make.contact(contact_on=on(-5)),)},
        {"leaves": (make.leave(),)},
        {"leaves": (make.leave(from_on=on(-9), until_on=on(-2)),)},
        {"readiness": (make.readiness(noted_on=on(-6)),)},
        {"holds": (make.hold(),)},
    ],
)
def test_contact_leave_a_note_or_a_hold_end_the_quiet(records: dict[str, Any]) -> None:
    assert found(_last_heard(9, **records), "quiet") is None


def test_quiet_keeps_its_key_until_fourteen_days() -> None:
    keys = [
        signal.key if signal else None
        for signal in (found(_last_heard(8), "quiet", today=on(n)) for n in (0, 5, 6, 13))
    ]

    assert keys == ["quiet:l492:0", "quiet:l492:0", "quiet:l492:14", "quiet:l492:21"]


def test_who_never_entered_anything_counts_from_joining() -> None:
    history = _last_heard(1, logs=(), client=make.client(joined_on=on(-9)))

    assert found(history, "quiet") is not None


@pytest.mark.parametrize(("days", "fires"), [(14, False), (15, True)])
def test_a_contact_is_overdue_after_fourteen_days(days: int, fires: bool) -> None:
    history = calm(contacts=(make.contact(contact_on=on(-days)),))

    assert (found(history, "contact_overdue") is not None) is fires


def test_a_new_contact_changes_what_is_overdue() -> None:
    history = calm(contacts=(make.contact(contact_on=on(-40)), make.contact(id=2, contact_on=on(-16))))

    signal = found(history, "contact_overdue")

    assert signal is not None
    assert signal.key == "contact_overdue:2:14"


def test_what_a_client_wrote_is_shown_and_shortened() -> None:
    signal = found(calm(logs=(easy_done(-1, note="Knee fine. " * 20),)), "note_unread")

    assert signal is not None
    assert signal.sentence.startswith("Wrote on Sun 4 Oct: “Knee fine.")
    assert signal.sentence.endswith("…”")


@pytest.mark.parametrize(
    "entry",
    [
        easy_done(-8, note="Old news"),
        easy_done(-1, note="   "),
        easy_done(-1, note="by the coach", origin=Origin.COACH),
    ],
)
def test_old_empty_or_the_coachs_own_words_are_no_news(entry: Any) -> None:
    assert found(calm(logs=(entry,)), "note_unread") is None


def test_a_second_note_is_new_evidence() -> None:
    first = easy_done(-2, note="Tired")
    both = (first, easy_done(-1, note="Better"))

    one, two = found(calm(logs=(first,)), "note_unread"), found(calm(logs=both), "note_unread")

    assert one is not None
    assert two is not None
    assert one.key != two.key


def test_a_note_that_names_a_sign_to_stop_for_is_read_today_whatever_was_written_after_it() -> None:
    worrying = easy_done(-3, note="Pressure on the chest uphill, gone after sitting")
    plain = easy_done(-1, note="Better")

    alone, with_newer = (
        found(calm(logs=(worrying,)), "note_unread"),
        found(calm(logs=(worrying, plain)), "note_unread"),
    )

    assert alone is not None
    assert with_newer is not None
    assert (alone.shelf, with_newer.shelf) == (Shelf.TODAY, Shelf.TODAY)
    assert "It names chest: ask today whether something felt wrong; a note pauses nothing." in alone.sentence
    assert with_newer.sentence.endswith("Also on Sun 4 Oct: “Better”")
    assert alone.key != with_newer.key


def test_an_ordinary_note_waits_for_the_planning() -> None:
    signal = found(calm(logs=(easy_done(-1, note="Better"),)), "note_unread")

    assert signal is not None
    assert signal.shelf is Shelf.PLANNING


def test_a_phase_brought_in_waits_until_it_is_confirmed() -> None:
    brought = make.decision(id=2, kind=DecisionKind.BROUGHT_IN, attested_by="training diary")
    confirmed = make.decision(id=2, kind=DecisionKind.BROUGHT_IN, confirmed_at=make.at(TODAY))

    assert found(calm(decisions=(make.decision(), brought)), "waits_for_confirmation")
    assert found(calm(decisions=(make.decision(), confirmed)), "waits_for_confirmation") is None


def _echoes(count: int, **last: Any) -> History:
    days = range(-count, 0)
    planned = tuple(make.planned(id=1000 + n, planned_on=on(n)) for n in days)
    logs = [make.log(id=1000 + n, planned_session_id=1000 + n, done_on=on(n)) for n in days]
    logs[-1] = make.log(**({"id": 999, "planned_session_id": 999, "done_on": on(-1)} | last))
    return calm(logs=tuple(logs), planned=planned)


@pytest.mark.parametrize(("count", "fires"), [(9, False), (10, True)])
def test_ten_entries_equal_to_the_plan_ask_how_it_really_went(count: int, fires: bool) -> None:
    assert (found(_echoes(count), "identical_to_plan") is not None) is fires


@pytest.mark.parametrize("last", [{"minutes": 44.0}, {"note": "Windy"}, {"answer": Answer.PARTLY}])
def test_one_entry_of_its_own_ends_the_row(last: dict[str, Any]) -> None:
    assert found(_echoes(10, **last), "identical_to_plan") is None


@pytest.mark.parametrize(("third", "fires"), [(2, True), (1, False)])
def test_the_third_answer_on_half_of_the_easy_sessions_is_drift(third: int, fires: bool) -> None:
    talks = [Talk.SENTENCES] * third + [Talk.CHAT] * (4 - third)
    logs = tuple(easy_done(-8 - n, talk=talk) for n, talk in enumerate(talks))

    assert (found(calm(logs=logs), "easy_drifting_up") is not None) is fires


def test_three_sessions_are_too_few_for_drift() -> None:
    logs = tuple(easy_done(-8 - n, talk=Talk.SENTENCES) for n in range(3))

    assert found(calm(logs=logs), "easy_drifting_up") is None


def test_a_contact_is_counted_from_the_day_a_client_was_brought_in() -> None:
    old = make.client(joined_on=on(-142))
    walks = tuple(easy_done(-n, origin=Origin.FILE, entered_at=make.at(on(-15))) for n in (17, 19, 21))
    brought = calm(client=old, contacts=(), decisions=(), logs=walks)

    assert found(brought, "contact_overdue", today=on(-1)) is None
    signal = found(brought, "contact_overdue")
    assert signal is not None
    assert signal.sentence.startswith("No contact logged since brought in on 20 September 2026, 15 days ago")


def test_who_wrote_here_before_a_file_came_is_counted_from_joining() -> None:
    old = make.client(joined_on=on(-142))
    walk = easy_done(-30, entered_at=make.at(on(-30)))
    filed = easy_done(-17, origin=Origin.FILE, entered_at=make.at(on(0)))

    signal = found(calm(client=old, contacts=(), decisions=(), logs=(walk, filed)), "contact_overdue")

    assert signal is not None
    assert "since joining" in signal.sentence
