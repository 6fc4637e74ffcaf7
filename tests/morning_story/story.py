"""A client's story as the safety story tells it, with all that is done in a morning, compared after each step."""

from __future__ import annotations

import re
from collections import Counter
from datetime import timedelta

from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule, run_state_machine_as_test
from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.check_ins import FallTold, WeekFelt
from app.coaching.people import ClientState, ContactKind, Origin, Visibility
from app.coaching.signals import Signal
from app.storage import accounts, practice
from app.storage import clients as people
from app.usecases import check_ins, client_particulars, heat, notes
from app.usecases import people as colleagues
from app.usecases import practice as rules_page
from app.usecases.morning import lines
from app.usecases.morning.page import MorningPage, this_morning
from app.usecases.morning.reading import mark_entries_read
from app.usecases.morning.remembered import Remembered
from tests import safety_scenes as scenes
from tests import seed
from tests.safety_story.play import told_alike
from tests.safety_story.stage import RULES, Stage
from tests.safety_story.story import SafetyStory

_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_WORDS = "Rang at noon, all is well."


class MorningStory(SafetyStory):
    """One client among some, everybody who reads their mornings, and a clock that crosses hours and midnights."""

    def __init__(self) -> None:
        super().__init__()
        with self.cast.desk.db() as db:
            everybody = {one.name: one for one in accounts.coaches(db)}
            others = [one for one in people.everybody(db) if one.id != self.cast.client.id]
        self.head = next(scenes.actor_of(one) for one in everybody.values() if one.role is seed.Role.HEAD_COACH)
        self.stand_in = next(scenes.actor_of(one) for one in everybody.values() if one.role is seed.Role.STAND_IN)
        self.other = others[0]

    # What is done in a morning

    @rule(which=st.integers(0, 3))
    def handles_a_line(self, which: int) -> None:
        line = self._line(which)
        if line is not None:
            given = {"signal": line.name, "key": line.key, "done": _WORDS, "rules": RULES}
            self._do(lambda db: lines.handle(db, actor=self.coach, now=self.cast.now, **self.ids, **given))

    @rule(which=st.integers(0, 3), days=st.sampled_from((1, 1, 4)))
    def puts_a_line_off(self, which: int, days: int) -> None:
        line = self._line(which)
        if line is not None:
            given = {"signal": line.name, "key": line.key, "until_on": self.cast.today + timedelta(days=days)}
            self._do(
                lambda db: lines.put_off(db, actor=self.coach, now=self.cast.now, rules=RULES, **self.ids, **given)
            )

    @rule()
    def takes_a_line_back(self) -> None:
        dealt = self._page_of(self.coach).dealt
        if dealt:
            handled_id = dealt[0].handled.id
            self._do(
                lambda db: lines.take_back(db, actor=self.coach, handled_id=handled_id, now=self.cast.now, **self.ids)
            )

    @rule(visibility=st.sampled_from((Visibility.PRIVATE, Visibility.CLIENT)))
    def writes_a_note(self, visibility: Visibility) -> None:
        given = {"text": _WORDS, "visibility": visibility}
        self._do(lambda db: notes.add_note(db, actor=self.coach, now=self.cast.now, **self.ids, **given))

    @rule(days_back=st.sampled_from((0, 3, 20)))
    def speaks_with_the_client(self, days_back: int) -> None:
        given = {"contact_on": self._ago(days_back), "kind": ContactKind.CALL, "text": _WORDS}
        self._do(lambda db: notes.add_contact(db, actor=self.coach, now=self.cast.now, **self.ids, **given))

    @rule()
    def reads_what_came_in(self) -> None:
        self._do(lambda db: mark_entries_read(db, actor=self.head, until_at=self.cast.now, now=self.cast.now))

    # What touches everybody, or who they are

    @rule(setting=st.sampled_from((("contact_days", 7), ("contact_days", 28), ("quiet_days", 5), ("quiet_days", 21))))
    def changes_a_rule(self, setting: tuple[str, float]) -> None:
        given = {"name": setting[0], "value": setting[1], "reason": _WORDS}
        self._do(lambda db: rules_page.change_setting(db, actor=self.head, now=self.cast.now, **given))

    @rule(warm=st.sampled_from((20.0, 29.0, 36.0)))
    def notes_the_heat(self, warm: float) -> None:
        given = heat.HeatGiven(warm, 40.0, None)
        day, now = self.cast.today, self.cast.now
        self._do(lambda db: heat.note_heat(db, actor=self.head, day=day, given=given, now=now))

    @rule(days=st.sampled_from((0, 1, 3)))
    def hands_the_client_over(self, days: int) -> None:
        given = {"person_id": self.stand_in.person_id, "from_on": self.cast.today, "with_private_notes": False}
        until_on = self.cast.today + timedelta(days=days)
        self._do(
            lambda db: colleagues.hand_over(
                db, actor=self.head, until_on=until_on, words=None, now=self.cast.now, **self.ids, **given
            )
        )

    @rule(state=st.sampled_from((ClientState.ACTIVE, ClientState.ACTIVE, ClientState.PAUSED, ClientState.LEFT)))
    def stands_otherwise(self, state: ClientState) -> None:
        given = {"state": state, "reason": _WORDS}
        self._do(
            lambda db: client_particulars.change_state(db, actor=self.coach, now=self.cast.now, **self.ids, **given)
        )

    # What the client, and somebody else, tell

    @rule(felt=st.sampled_from(WeekFelt), fall=st.sampled_from((FallTold.NO, FallTold.NO, FallTold.YES)))
    def tells_of_the_week(self, felt: WeekFelt, fall: FallTold) -> None:
        told = check_ins.Told(felt, False, False, fall, None, None, 7, None)
        self._do(
            lambda db: check_ins.keep(
                db, actor=self.client, told=told, origin=Origin.CLIENT, now=self.cast.now, **self.ids
            )
        )

    @rule(days=st.sampled_from((1, 6)))
    def tells_of_days_away(self, days: int) -> None:
        given = {"from_on": self.cast.today, "until_on": self.cast.today + timedelta(days=days)}
        self._do(lambda db: seed.add_told_away(db, client=self.cast.client, told_at=self.cast.now, **given))

    @rule(days_back=st.sampled_from((0, 1, 4)))
    def somebody_else_enters_something(self, days_back: int) -> None:
        given = {"done_on": self._ago(days_back), "entered_at": self.cast.now}
        self._do(lambda db: seed.add_log(db, client=self.other, **given))
        self._do(lambda db: seed.add_readiness(db, client=self.other, noted_on=self._ago(days_back)))

    @rule()
    def looks_at_today_on_the_phone(self) -> None:
        self.cast._sign_in()
        self.cast.phone.get("/me/today")

    def the_consent_texts_change(self, is_so: bool) -> None:
        """Left out: texts change with the program, and nothing is remembered past its end."""

    # What has to hold after each step

    @invariant()
    def what_is_remembered_is_what_would_be_found(self) -> None:
        """Two mornings, each once from what is remembered and once worked out afresh in the same transaction."""
        self.steps += 1
        for reader in (self.head, self.stand_in if self.steps % 2 else self.coach):
            with self.cast.desk.db() as db:
                kept, fresh = self._page(db, reader, self._remembered), self._page(db, reader, None)
            assert kept == fresh
            assert repr(kept) == repr(fresh)
            self.seen["compared"] += len(fresh.clients)
            self.seen["lines"] += len(fresh.today) + len(fresh.planning)
            self.seen["entries"] += len(fresh.entries)
            self.seen["dealt with"] += len(fresh.dealt)

    def nothing_stopped_is_offered(self) -> None:
        """What the safety story is about is left to it."""

    def teardown(self) -> None:
        """At the end of a story the page as it is served, byte for byte but for the numbers of its forms."""
        house = self.stage.app.state.house
        self.cast._sign_in()
        kept = self.cast.desk.get("/morning")
        house.remembered = Remembered()
        fresh = self.cast.desk.get("/morning")
        assert (kept.status_code, fresh.status_code) == (200, 200)
        assert _ID.sub("", kept.text) == _ID.sub("", fresh.text)

    @property
    def _remembered(self) -> Remembered:
        found: Remembered = self.stage.app.state.house.remembered
        return found

    def _page(self, db: Session, reader: Actor, remembered: Remembered | None) -> MorningPage:
        return this_morning(db, actor=reader, rules=practice.rules(db), now=self.cast.now, remembered=remembered)

    def _page_of(self, reader: Actor) -> MorningPage:
        with self.cast.desk.db() as db:
            return self._page(db, reader, None)

    def _line(self, which: int) -> Signal | None:
        """One of the client's reasons that speak, as it is shown."""
        page = self._page_of(self.coach)
        found = [reason for one in (*page.today, *page.planning) for reason in (one.line.top, *one.line.more)]
        return found[which % len(found)] if found else None


def new_morning_story(stage: Stage) -> MorningStory:
    """A story to be told by hand."""
    story: MorningStory = type("Story", (MorningStory,), {"stage": stage, "seen": Counter()})()
    return story


def play_mornings(stage: Stage, *, stories: int, steps: int, shrinks: bool = True) -> Counter[str]:
    """Play some stories, the same ones each time; returns what came up. Raises: AssertionError."""
    seen: Counter[str] = Counter()
    story = type("Story", (MorningStory,), {"stage": stage, "seen": seen})
    run_state_machine_as_test(story, settings=told_alike(stories=stories, steps=steps, shrinks=shrinks))
    return seen
