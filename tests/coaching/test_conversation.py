"""The sheet before a talk: what changed, what got in the way, what was agreed, what to ask."""

from __future__ import annotations

from app.coaching.conversation import ALWAYS_ASKED, ASKED_ABOUT, sheet_of
from app.coaching.people import Visibility
from app.coaching.session_logs import WhyNot
from app.coaching.signal_cards import CARDS, Group
from app.coaching.signals import NAMES
from tests import factories as make
from tests.coaching.signal_scenes import RULES, TODAY, calm, on
from tests.coaching.signal_table import TABLE


def test_a_calm_client_is_asked_how_it_went_and_what_comes_next() -> None:
    sheet = sheet_of(calm(), TODAY, RULES)

    assert sheet.questions == ALWAYS_ASKED
    assert sheet.signals == ()
    assert sheet.confidence == "Not asked yet."


def test_what_the_morning_says_becomes_a_question() -> None:
    sheet = sheet_of(TABLE["low_share"]().fires, TODAY, RULES)

    assert ASKED_ABOUT["low_share"] in sheet.questions


def test_barriers_come_from_entries_and_weeks_the_most_frequent_first() -> None:
    history = calm(
        logs=(make.log(id=1, done_on=on(-9), answer="not_done", minutes=None, why_not=WhyNot.CARING),),
        check_ins=(
            make.check_in(barrier=WhyNot.CARING),
            make.check_in(id=2, week_on=on(-14), barrier=WhyNot.WEATHER),
            make.check_in(id=3, week_on=on(-70), barrier=WhyNot.TIRED),
        ),
    )

    assert sheet_of(history, TODAY, RULES).barriers == ("caring for somebody twice", "the weather once")


def test_the_last_contact_the_last_note_to_them_and_open_goals_are_what_was_agreed() -> None:
    history = calm(
        contacts=(make.contact(id=1, contact_on=on(-9)), make.contact(id=2, contact_on=on(-3), text="Two walks.")),
        notes=(
            make.note(id=1, visibility=Visibility.CLIENT, text="Well done."),
            make.note(id=2, written_at=make.at(on(0), 9), text="Private."),
        ),
        goals=(make.goal(), make.goal(id=2, closed_on=on(-1))),
    )
    sheet = sheet_of(history, TODAY, RULES)

    assert sheet.last_contact is not None
    assert sheet.last_contact.text == "Two walks."
    assert sheet.last_note is not None
    assert sheet.last_note.text == "Well done."
    assert len(sheet.goals) == 1
    assert sheet.confidence == "Sure of the goal when it was agreed: 7 of 10."


def test_little_confidence_is_asked_about() -> None:
    sheet = sheet_of(calm(check_ins=(make.check_in(confidence=4),)), TODAY, RULES)

    assert "You said 4 of 10 for the week ahead. What would make it 7?" in sheet.questions
    assert sheet.confidence == "Sure of the week ahead, of 10: 4 (Mon 28 Sep)."


def test_what_is_about_training_has_a_question() -> None:
    about_training = (Group.LOAD, Group.READINESS, Group.EXECUTION, Group.KEEPING)
    names = {card.name for card in CARDS.values() if card.group in about_training}

    assert names - set(ASKED_ABOUT) == {"change_not_seen", "contact_overdue"}


def test_every_question_belongs_to_a_signal() -> None:
    assert set(ASKED_ABOUT) <= set(NAMES)


def test_four_weeks_stand_beside_the_four_before() -> None:
    history = calm(logs=(*make.base_weeks(4, minutes=60), *make.base_weeks(8, minutes=30)[:12]), planned=())
    trends = {one.name: (one.before, one.now) for one in sheet_of(history, TODAY, RULES).trends}

    assert trends["minutes a week"] == ("1 h 30", "3 h")
    assert trends["of the plan done"] == ("nothing planned", "nothing planned")
