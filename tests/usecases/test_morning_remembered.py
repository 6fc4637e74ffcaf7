"""What the morning remembers of each client: never anything else than what it would find out afresh."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable

import pytest
from fastapi import FastAPI
from sqlalchemy import event
from sqlalchemy.orm import Session

from app.coaching.access import Actor, Person
from app.coaching.check_ins import FallTold, WeekFelt
from app.coaching.people import ClientState, Mode, Visibility
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape
from app.storage.changes import NEVER_KEPT, Changes
from app.storage.clients import everybody
from app.usecases import heat
from app.usecases.morning import remembered as remembering
from app.usecases.morning.page import MorningPage, this_morning
from app.usecases.morning.remembered import Basis, Remembered, tell, tell_ahead
from tests import seed
from tests.conftest import Browser, FixedClock
from tests.morning_story.story import MorningStory, new_morning_story, play_mornings
from tests.safety_story.stage import Stage
from tests.seed import People

RULES = Rules()


@pytest.fixture
def stage(app: FastAPI, clock: FixedClock, nobody: Browser) -> Stage:
    """The desk to play on."""
    return Stage(app, clock, nobody.http)


@pytest.fixture
def worked_out(monkeypatch: pytest.MonkeyPatch) -> Counter[int]:
    """How often each client was worked out, by id."""
    found: Counter[int] = Counter()
    work_out = remembering._work_out

    def counting(db, missing, now):
        found.update(list(missing))
        return work_out(db, missing, now)

    monkeypatch.setattr(remembering, "_work_out", counting)
    return found


def actor_of(person: Person) -> Actor:
    return Actor(person.id, person.name, person.role, None)


def look(desk: Browser, person: Person, kept: Remembered) -> MorningPage:
    with desk.db() as db:
        return this_morning(db, actor=actor_of(person), rules=RULES, now=desk.house.clock.now(), remembered=kept)


def taken(worked_out: Counter[int]) -> set[int]:
    """Who was worked out since the last time this was asked."""
    found = set(worked_out)
    worked_out.clear()
    return found


def test_no_story_shows_a_morning_that_is_not_so_any_more(stage: Stage, worked_out: Counter[int]) -> None:
    seen = play_mornings(stage, stories=6, steps=18)

    # Each side has to come up often enough for this to mean something.
    assert seen["lines"] >= 150, seen
    assert seen["entries"] >= 50, seen
    # What was worked out includes what each was compared with: a good part of the rest was remembered.
    assert worked_out.total() < 1.8 * seen["compared"], (worked_out, seen)


def test_each_act_of_a_morning_is_seen_in_it(stage: Stage) -> None:
    story = new_morning_story(stage)
    story.begin("promoted", is_active=True)
    acts: tuple[Callable[[], object], ...] = (
        lambda: story.somebody_else_enters_something(0),
        lambda: story.puts_a_line_off(0, 1),
        story.takes_a_line_back,
        lambda: story.handles_a_line(0),
        story.takes_a_line_back,
        lambda: story.writes_a_note(Visibility.CLIENT),
        lambda: story.speaks_with_the_client(0),
        story.reads_what_came_in,
        lambda: story.changes_a_rule(("contact_days", 7)),
        lambda: story.hands_the_client_over(1),
        lambda: story.logs_a_session(SessionKind.EASY, Mode.WALK, 40.0, 0),
        lambda: story.plans_a_session(Shape.INTERVALS, 0, publishes=True),
        story.looks_at_today_on_the_phone,
        lambda: story.changes_a_planned_session(0, "ease", 0),
        lambda: story.changes_a_planned_session(0, "take_easy_back", 0),
        lambda: story.changes_a_planned_session(0, "move", 2),
        lambda: story.tells_of_days_away(6),
        lambda: story.time_passes(16),
        lambda: story.time_passes(48),
        lambda: story.heart_chest_breath_or_head("chest", 0, by_client=True),
        lambda: story.tells_of_the_week(WeekFelt.TOO_MUCH, FallTold.NO),
        story.sees_a_doctor_and_all_is_settled,
        lambda: story.stands_otherwise(ClientState.PAUSED),
        lambda: story.stands_otherwise(ClientState.LEFT),
        lambda: story.time_passes(48),
    )
    story.what_is_remembered_is_what_would_be_found()
    for act in acts:
        act()
        story.what_is_remembered_is_what_would_be_found()
    story.teardown()

    assert story.seen["dealt with"] >= 2, story.seen
    assert story.seen["refused"] == 0, story.seen


def test_a_hot_day_comes_and_a_hold_takes_a_client_out_of_it(head: Browser, people: People) -> None:
    kept, given = Remembered(), heat.HeatGiven(36.0, 40.0, None)
    client = people.client
    reached = []

    def is_hot(db: Session) -> None:
        heat.note_heat(db, actor=actor_of(people.head), day=seed.TODAY, given=given, now=seed.NOW)

    def has_hard_work(db: Session) -> None:
        seed.make_calm(db, client=client)
        seed.add_planned_hard(db, client=client, planned_on=seed.TODAY, mode=Mode.RUN)

    for step in (has_hard_work, is_hot, lambda db: seed.add_hold(db, client=client)):
        with head.db(write=True) as db:
            step(db)
        page = look(head, people.head, kept)
        assert page == look(head, people.head, Remembered())
        reached.append([one.client.id for one in page.hot.reached] if page.hot else None)

    assert reached == [None, [client.id], []]


def test_it_is_remembered_at_all(head: Browser, people: People, worked_out: Counter[int]) -> None:
    kept = Remembered()
    first = look(head, people.head, kept)
    everyone = taken(worked_out)

    again = look(head, people.head, kept)

    assert {people.client.id, people.other_client.id, people.handed_client.id} <= everyone
    assert again == first
    assert not worked_out


def test_only_who_was_written_about_is_worked_out_again(
    head: Browser, people: People, worked_out: Counter[int]
) -> None:
    kept = Remembered()
    look(head, people.head, kept)
    taken(worked_out)

    with head.db(write=True) as db:
        seed.add_hold(db, client=people.client)
    page = look(head, people.head, kept)

    assert taken(worked_out) == {people.client.id}
    assert page == look(head, people.head, Remembered())


@pytest.mark.parametrize("hours", [1, 15, 16, 17])
def test_hours_change_nothing_and_a_midnight_does(
    head: Browser, people: People, clock: FixedClock, worked_out: Counter[int], hours: int
) -> None:
    kept = Remembered()
    look(head, people.head, kept)
    taken(worked_out)

    clock.move(hours=hours)
    look(head, people.head, kept)

    # It was eight in the morning in Berlin: sixteen hours later the clients' day is another, then the desk's.
    assert bool(worked_out) is (hours >= 16)


def test_another_rule_of_the_practice_asks_everybody_again(
    head: Browser, people: People, worked_out: Counter[int]
) -> None:
    kept = Remembered()
    look(head, people.head, kept)
    everyone = taken(worked_out)

    with head.db() as db:
        stricter = Rules(contact_days=7)
        this_morning(db, actor=actor_of(people.head), rules=stricter, now=seed.NOW, remembered=kept)

    assert taken(worked_out) == everyone


def test_a_form_sent_back_never_uses_what_is_remembered(
    head: Browser, people: People, worked_out: Counter[int]
) -> None:
    kept = Remembered()
    look(head, people.head, kept)
    everyone = taken(worked_out)

    # Rows of this transaction may yet be taken back: nothing is used, and nothing kept.
    with head.db(write=True) as db:
        seed.add_hold(db, client=people.client)
        this_morning(db, actor=actor_of(people.head), rules=RULES, now=seed.NOW, remembered=kept)
        db.rollback()
    assert taken(worked_out) == everyone

    look(head, people.head, kept)
    assert taken(worked_out) == {people.client.id}


def test_who_is_erased_is_let_go(head: Browser, people: People) -> None:
    kept = Remembered()
    look(head, people.head, kept)
    before = len(kept)

    with head.db(write=True) as db:
        gone = seed.add_client(db, coach_id=people.coach.id, name="Not For Long")
    look(head, people.head, kept)
    with head.db(write=True) as db:
        db.connection().exec_driver_sql("DELETE FROM clients WHERE id = ?", (gone.id,))
    look(head, people.head, kept)

    assert len(kept) == before


def test_beforehand_some_at_a_time_until_a_page_needs_nothing_more(
    head: Browser, people: People, worked_out: Counter[int]
) -> None:
    kept, told = Remembered(), []
    while True:
        with head.db() as db:
            told.append(tell_ahead(db, now=seed.NOW, remembered=kept, at_most=1))
        if told[-1] == 0:
            break
    assert told == [1] * len(worked_out) + [0]
    taken(worked_out)

    look(head, people.head, kept)

    assert not worked_out


def test_tables_that_are_left_out_play_no_part_in_what_is_told(head: Browser, people: People) -> None:
    asked: list[str] = []
    with head.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=3)
        seed.add_answers(db, client=people.client, heart_rate_medicine="yes")
        seed.add_incident(db, client=people.client)

    with head.db() as db:
        spoken_of = everybody(db)
        event.listen(db.get_bind(), "before_cursor_execute", lambda *given: asked.append(given[2]))
        tell(db, spoken_of, rules=RULES, now=seed.NOW, heat={})

    words = set(re.findall(r"\w+", " ".join(asked)))
    assert {"holds", "session_logs", "session_log_rounds", "incident_entries", "planned_versions"} <= words
    assert not NEVER_KEPT & words


# Sown faults: a story that cannot find them proves nothing


def felt_wrong(story: MorningStory) -> None:
    story.heart_chest_breath_or_head("chest", 0, by_client=True)


def midnight(story: MorningStory) -> None:
    story.time_passes(24)


def dealt_with(story: MorningStory) -> None:
    story.handles_a_line(0)


def somebody_else(story: MorningStory) -> None:
    story.somebody_else_enters_something(0)


NOT_NOTICED = (Changes, "is_unchanged", lambda *_, **__: True)
ANY_BASIS = (Basis, "__eq__", lambda *_: True)


@pytest.mark.parametrize(
    ("fault", "happens"),
    [
        (NOT_NOTICED, felt_wrong),
        (NOT_NOTICED, dealt_with),
        (NOT_NOTICED, somebody_else),
        (ANY_BASIS, midnight),
    ],
)
def test_a_sown_fault_is_found(stage: Stage, monkeypatch: pytest.MonkeyPatch, fault, happens) -> None:
    story = new_morning_story(stage)
    story.begin("promoted", is_active=True)
    story.what_is_remembered_is_what_would_be_found()
    happens(story)
    story.what_is_remembered_is_what_would_be_found()
    monkeypatch.setattr(*fault)
    happens(story)

    with pytest.raises(AssertionError):
        story.what_is_remembered_is_what_would_be_found()


def test_random_stories_find_that_nothing_is_noticed(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(*NOT_NOTICED)

    with pytest.raises(AssertionError):
        play_mornings(stage, stories=2, steps=10, shrinks=False)
