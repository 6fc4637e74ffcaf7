"""Random stories of one client: every rule is something that somebody does through the desk's own use-cases."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import ClassVar

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from sqlalchemy import update
from sqlalchemy.orm import Session

from app.coaching.consents import ASKED_FOR_HARD_WORK
from app.coaching.effort import Talk
from app.coaching.hold_rules import Answer as May
from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.intake import Sort
from app.coaching.leave_to_train import may_train_now
from app.coaching.people import Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.questions import DISEASE_QUESTIONS, MEDICINE_GROUPS, SYMPTOM_QUESTIONS, Reply
from app.coaching.readiness import Illness
from app.coaching.screening import ClearanceState, ConsentKind, Intensity
from app.coaching.session_logs import Answer, WhyNot
from app.coaching.session_shapes import Shape
from app.coaching.symptoms import SIGNS, sign_of
from app.coaching.target_eased import by_entries_alone
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayKind
from app.storage import prescriptions
from app.storage.tables.safety import ConsentRow
from app.usecases import (
    clearances,
    felt_wrong,
    hold_desk,
    intake,
    plan_publishing,
    plan_today,
    pressure_limits,
    promoting,
    questions,
    readiness,
    safety_file,
    session_logs,
)
from app.usecases.plan_blocks import opening, previewing, writing
from app.usecases.plan_blocks.wishes import BaseWish, HardWish
from app.usecases.plan_sessions import changing, days_away, days_away_answer
from app.usecases.plan_sessions.easy_back import take_easy_back
from app.usecases.plan_sessions.wishes import SessionWish
from tests import factories as make
from tests import safety_scenes as scenes
from tests import seed
from tests.marked_sessions import EASY, VIGOROUS, easy_session, vigorous_sessions
from tests.safety_story.stage import REFUSED, RULES, Cast, Refusal, Stage
from tests.safety_story.told import Answered, Lift, OwnNumbers, Paper, Paused, Read, Told
from tests.seed import TODAY

SETS_OF_DAYS = (0, 2, 5)
REPLIES = st.sampled_from([Reply.NO] * 5 + [Reply.YES, Reply.NOT_SURE])
DAYS_BACK = st.sampled_from((0, 0, 0, 1, 3, 10, 40, 200))
SHORT = st.sampled_from((0, 0, 1, 2, 5))
FAMILY_A = [sign.key for sign in SIGNS if sign.family is Family.A]
OTHER_SIGNS = [sign.key for sign in SIGNS if sign.family is not Family.A]
SIGN_KEYS = frozenset(question.key for question in SYMPTOM_QUESTIONS)
DISEASE_KEYS = frozenset(question.key for question in DISEASE_QUESTIONS)
MODES = st.sampled_from((Mode.WALK, Mode.INDOOR_RIDE, Mode.RUN))
BY_PHONE = st.booleans()


class SafetyStory(RuleBasedStateMachine):
    """One client, one coach, a moving clock; after each step nothing that is surely stopped is offered anywhere."""

    stage: ClassVar[Stage]
    #: What came up over all stories, to see that they mean something.
    seen: ClassVar[Counter[str]]
    #: Outputs with steps are looked at after every so many steps of a story; all of them at its end.
    pages_every: ClassVar[int] = 1

    def __init__(self) -> None:
        super().__init__()
        self.cast: Cast = self.stage.enter()
        self.told = Told()
        self.planned: list[int] = []
        self.steps = 0
        #: Whether the last look found nothing wrong; a story that went wrong is not looked at again.
        self.is_well = False
        self.coach = scenes.actor_of(self.cast.coach)
        self.client = scenes.actor_of(self.cast.person)
        self.ids = {"client_id": self.cast.client.id}

    # How it begins

    @initialize(
        start=st.sampled_from(("promoted",) * 7 + ("base", "new", "brought_in", "unasked")),
        is_active=st.booleans(),
    )
    def begin(self, start: str, is_active: bool) -> None:
        weeks = 4 if start == "new" else 14
        with self.cast.desk.db(write=True) as db:
            scenes.start_base(db, client=self.cast.client, person_id=self.coach.person_id, weeks=weeks)
        self.told.outings |= {log.done_on for log in make.base_weeks(weeks, before=TODAY)}
        if start == "brought_in":
            self._bring_in()
        if start != "unasked":
            self._answer(is_active=is_active)
        self._measure(124, 76)
        if start == "promoted":
            self._agree()
            self._decide(DecisionKind.PROMOTE, Phase.INTERVAL_ONE)

    def _bring_in(self) -> None:
        with self.cast.desk.db(write=True) as db:
            seed.add_phase(
                db,
                client=self.cast.client,
                kind=DecisionKind.BROUGHT_IN,
                phase=Phase.INTERVAL_ONE,
                since_on=TODAY - timedelta(days=30),
                attested_by="a diary",
                confirmed_at=self.cast.now,
            )
        self.told.is_brought_in = True

    # The clock

    @rule(hours=st.sampled_from((1, 5, 16, 24, 24, 48, 72)))
    def time_passes(self, hours: int) -> None:
        self.stage.clock.move(hours=hours)

    @rule(days=st.sampled_from((5, 8, 13, 14, 15, 30, 84, 85, 366, 420)))
    def a_long_time_passes(self, days: int) -> None:
        self.stage.clock.move(days=days)

    @rule(weeks=st.sampled_from((1, 2, 2, 3)), brings_up_to_date=st.booleans())
    def trains_for_some_weeks(self, weeks: int, brings_up_to_date: bool) -> None:
        """Three easy walks a week, entered the same evening; then perhaps the usual questions again."""
        monday = self.cast.today + timedelta(days=-self.cast.today.weekday() % 7)
        days = [monday + timedelta(weeks=n, days=day) for n in range(weeks) for day in SETS_OF_DAYS]
        for day in days:
            self.stage.clock.set(make.at(day, 17))
            self._log(SessionKind.EASY, Mode.WALK, minutes=50.0, effort=3.0, talk=Talk.CHAT)
        if brings_up_to_date:
            self._answer()
            self._measure(124, 76)

    # What the client says, or the coach as told

    @rule(
        symptom=st.sampled_from([Reply.NO] * 8 + [Reply.YES, Reply.NOT_SURE]),
        disease=REPLIES,
        activity=st.sampled_from((Reply.YES, Reply.YES, Reply.NO, Reply.NOT_SURE)),
        pregnant=REPLIES,
        news=REPLIES,
        medicine=REPLIES,
        days_back=st.sampled_from((0, 0, 0, 0, 1, 40)),
    )
    def answers_the_questions(
        self,
        *,
        symptom: Reply,
        disease: Reply,
        activity: Reply,
        pregnant: Reply,
        news: Reply,
        medicine: Reply,
        days_back: int,
    ) -> None:
        given = {SYMPTOM_QUESTIONS[days_back % 9].key: symptom, DISEASE_QUESTIONS[days_back % 3].key: disease}
        self._keep_answers({**given, "active": activity, "pregnant": pregnant, "news": news}, medicine, days_back)

    @rule()
    def answers_no_to_everything(self) -> None:
        self._answer()

    @rule(sign=st.sampled_from(FAMILY_A), days_back=SHORT, by_client=BY_PHONE)
    def heart_chest_breath_or_head(self, sign: str, days_back: int, by_client: bool) -> None:
        self._felt_wrong(sign, days_back, None, by_client)

    @rule(sign=st.sampled_from(OTHER_SIGNS), days_back=SHORT, mode=st.none() | MODES, by_client=BY_PHONE)
    def something_else_felt_wrong(self, sign: str, days_back: int, mode: Mode | None, by_client: bool) -> None:
        self._felt_wrong(sign, days_back, mode, by_client)

    @rule(
        illness=st.sampled_from((Illness.FEVER_OR_BELOW, Illness.FEVER_OR_BELOW, Illness.ABOVE_NECK, Illness.NONE)),
        medicine=st.sampled_from((False, False, True)),
        fall=st.sampled_from([readiness.Fall.NO] * 4 + [readiness.Fall.YES, readiness.Fall.HEAD_OR_THINNERS]),
        days_back=SHORT,
    )
    def notes_how_it_is(self, illness: Illness, medicine: bool, fall: readiness.Fall, days_back: int) -> None:
        on = self._ago(days_back)
        entry = readiness.ReadinessEntry(noted_on=on, illness=illness, medicine_changed=medicine, fall=fall)
        kept = self._do(
            lambda db: readiness.keep(
                db, actor=self.client, **self.ids, entry=entry, origin=Origin.CLIENT, now=self.cast.now
            )
        )
        if isinstance(kept, Refusal):
            return
        if illness is not Illness.NONE:
            self.told.ill.append(on)
        if illness is Illness.FEVER_OR_BELOW:
            self.told.fevers.append(on)
            self._stands_open("illness", "all")
        if medicine:
            self._stands_open("medicine_change")
        if fall is readiness.Fall.HEAD_OR_THINNERS:
            self._stands_open("symptom", "all")

    @rule(
        kind=st.sampled_from((SessionKind.EASY, SessionKind.EASY, SessionKind.INTERVALS, SessionKind.MIDDLE)),
        mode=MODES,
        minutes=st.sampled_from((20.0, 45.0, 60.0)),
        days_back=st.sampled_from((0, 0, 1, 6, 13, 25)),
    )
    def logs_a_session(self, kind: SessionKind, mode: Mode, minutes: float, days_back: int) -> None:
        is_easy = kind is SessionKind.EASY
        talk, effort = (Talk.CHAT, 3.0) if is_easy else (Talk.FEW_WORDS, 8.0)
        self._log(kind, mode, minutes=minutes, effort=effort, talk=talk, days_back=days_back)

    @rule(
        days=st.sampled_from((5, 13, 14, 21)),
        ended_ago=st.sampled_from((0, 1, 3, 9)),
        is_declined=st.sampled_from((True, True, False)),
    )
    def tells_days_off(self, days: int, ended_ago: int, is_declined: bool) -> None:
        """The client says so, whatever entries stand in those days, and the coach leaves the plan as it is."""
        until_on = self._ago(ended_ago)
        from_on = until_on - timedelta(days=days - 1)
        telling = days_away.Telling(AwayKind.OFF, from_on, until_on, Possible.NOTHING, WhyNot.CARING)
        told = self._do(
            lambda db: days_away.tell(
                db, actor=self.client, **self.ids, telling=telling, origin=Origin.CLIENT, now=self.cast.now
            )
        )
        if not isinstance(told, tuple):
            return
        self.told.days_off.append((from_on, until_on))
        self.seen["days off told"] += 1
        if is_declined:
            self._do(
                lambda db: days_away_answer.decline(
                    db, actor=self.coach, **self.ids, away_id=told[0], because="You rode.", now=self.cast.now
                )
            )

    @rule(
        reading=st.sampled_from(((124, 76),) * 3 + ((159, 99), (160, 80), (150, 100), (145, 95), (181, 88))),
        rate=st.sampled_from((62, 62, None, 100, 104, 104)),
        days_back=SHORT,
    )
    def measures_pressure(self, reading: tuple[int, int], rate: int | None, days_back: int) -> None:
        self._measure(*reading, rate=rate, days_back=days_back)

    @rule(rate=st.sampled_from((101, 104, 118)))
    def counts_a_fast_pulse_twice(self, rate: int) -> None:
        self._measure(124, 76, rate=rate)
        self._measure(124, 76, rate=rate)

    @rule(
        numbers=st.sampled_from(((180, 110), (200, 110), (140, 90), (150, 105), (90, 110))),
        days_back=DAYS_BACK,
        how_seen=st.sampled_from(("paper", "paper", "from_clinic", "telephone")),
        has_password=st.sampled_from((True, True, True, False)),
    )
    def records_a_clinicians_numbers(
        self, numbers: tuple[int, int], days_back: int, how_seen: str, has_password: bool
    ) -> None:
        on = self._ago(days_back)
        given = pressure_limits.LimitGiven(*numbers, on, "Dr. Amrei Sohl", "general practitioner", how_seen)
        problems = self._do(
            lambda db: pressure_limits.record(
                db,
                actor=self.coach,
                **self.ids,
                given=given,
                password_confirmed=has_password,
                now=self.cast.now,
            )
        )
        if problems:
            return
        assert has_password, "numbers were kept without a password"
        assert how_seen != "telephone", "numbers told by telephone were kept"
        assert 100 <= numbers[0] <= 200, "numbers nobody should train by were kept"
        self.told.own_numbers.append(OwnNumbers(on, *numbers))

    @precondition(lambda self: self.told.own_numbers)
    @rule()
    def takes_the_clinicians_numbers_back(self) -> None:
        done = self._do(lambda db: pressure_limits.take_back(db, actor=self.coach, **self.ids, now=self.cast.now))
        if done is not REFUSED:
            self.told.own_numbers.clear()

    @rule(count=st.integers(1, 40), reply=st.sampled_from((Reply.NO, Reply.NO, Reply.YES, Reply.NOT_SURE)))
    def fills_in_some_of_the_intake_and_stops(self, count: int, reply: Reply) -> None:
        """Answers wait until all are sent: a sign or a disease named in them counts at once, a no frees nobody."""
        self._note_named(self._do(lambda db: self._answer_some(db, slice(count), reply)), reply)
        self.seen["intakes begun and not sent"] += 1

    @rule(key=st.sampled_from(sorted(SIGN_KEYS | DISEASE_KEYS)), reply=REPLIES)
    def answers_one_question_of_the_intake(self, key: str, reply: Reply) -> None:
        self._note_named(self._do(lambda db: self._answer_some(db, key, reply)), reply)

    @rule(kind=st.sampled_from(ASKED_FOR_HARD_WORK))
    def takes_a_consent_back(self, kind: ConsentKind) -> None:
        done = self._do(
            lambda db: safety_file.withdraw_consent(db, actor=self.client, **self.ids, kind=kind, now=self.cast.now)
        )
        if done is not REFUSED and kind.value in self.told.agreed | self.told.outdated:
            self.told.agreed.discard(kind.value)
            self.told.outdated.discard(kind.value)
            self.told.taken_back.add(kind.value)

    @rule(is_so=st.sampled_from((True, False, False, False, False, False)))
    def the_consent_texts_change(self, is_so: bool) -> None:
        """Whatever was agreed to was another text; told to a few stories only, for it stops each of them."""
        if is_so:
            is_theirs = ConsentRow.client_id == self.ids["client_id"]
            self._do(lambda db: db.execute(update(ConsentRow).where(is_theirs).values(text_version="2025-9")))
            self.told.outdated |= self.told.agreed
            self.told.agreed.clear()

    @rule()
    def agrees_to_hard_work(self) -> None:
        self._agree()

    # Holds and papers

    @rule(
        kind=st.sampled_from(list(HoldKind)),
        stops=st.sampled_from((*Stops, Stops.HARD, Stops.HARD)),
        mode=st.sampled_from((None, None, Mode.WALK, Mode.INDOOR_RIDE)),
        days_back=SHORT,
    )
    def raises_a_hold(self, kind: HoldKind, stops: Stops, mode: Mode | None, days_back: int) -> None:
        self._do(
            lambda db: hold_desk.raise_hold(
                db,
                actor=self.coach,
                **self.ids,
                kind=kind,
                stops=stops,
                mode=mode,
                cause="Told on the phone",
                began_on=self._ago(days_back),
                now=self.cast.now,
            )
        )

    @precondition(lambda self: self.told.holds)
    @rule(
        which=st.integers(0, 9),
        has_password=st.sampled_from((True, True, True, False)),
        talk=st.sampled_from((None, "Spoke for ten minutes.", "Spoke for ten minutes.")),
        easy_back=st.sampled_from((None, 0, 1, 6)),
        well_days=st.sampled_from((None, 0, 2, 3, 4, 7, 30)),
        is_reviewed=st.booleans(),
        has_advice=st.booleans(),
        because=st.sampled_from(("All well again.", "All well again.", " ")),
    )
    def lifts_a_hold(
        self,
        *,
        which: int,
        has_password: bool,
        talk: str | None,
        easy_back: int | None,
        well_days: int | None,
        is_reviewed: bool,
        because: str,
        has_advice: bool = True,
    ) -> None:
        on = None if easy_back is None else self._ago(easy_back)
        since = None if well_days is None else self._ago(well_days)
        hold_id = sorted(self.told.holds)[which % len(self.told.holds)]
        self._lift(hold_id, Lift(because, has_password, talk, on, since, is_reviewed, has_advice))

    @rule(which=st.integers(0, 9))
    def takes_a_lift_back(self, which: int) -> None:
        with self.cast.desk.db() as db:
            every = sorted(one.id for one in self.cast.history(db).holds)
        if every:
            hold_id = every[-1 - which % len(every)]
            self._do(lambda db: hold_desk.undo_lift(db, actor=self.coach, hold_id=hold_id, now=self.cast.now))

    @rule(scope=st.sampled_from(list(Intensity)))
    def asks_for_a_clearance(self, scope: Intensity) -> None:
        self._do(
            lambda db: clearances.request_clearance(
                db, actor=self.coach, **self.ids, requested_on=self.cast.today, scope=scope, now=self.cast.now
            )
        )

    @rule(
        state=st.sampled_from((ClearanceState.GRANTED,) * 5 + (ClearanceState.REFUSED,)),
        scope=st.sampled_from((Intensity.VIGOROUS, Intensity.VIGOROUS, Intensity.LIGHT_MODERATE)),
        days_back=DAYS_BACK,
        how_seen=st.sampled_from(("paper", "paper", "copy", "telephone")),
        signer=st.sampled_from(("Dr. Amrei Sohl", "Dr. Amrei Sohl", "")),
        has_password=st.sampled_from((True, True, True, False)),
        ends_after=st.sampled_from((None, None, 30)),
    )
    def records_a_paper(
        self,
        *,
        state: ClearanceState,
        scope: Intensity,
        days_back: int,
        how_seen: str,
        signer: str,
        has_password: bool,
        ends_after: int | None,
    ) -> None:
        on = self._ago(days_back)
        ends_on = None if ends_after is None else on + timedelta(days=ends_after)
        paper = clearances.PaperGiven(state, signer, "general practitioner", on, scope, None, ends_on, how_seen)
        self._record(paper, has_password=has_password)

    @rule()
    def sees_a_doctor_and_all_is_settled(self) -> None:
        """The honest way back: a wide paper two days later, every hold lifted on what it asks for, asked again."""
        self.stage.clock.move(days=2)
        paper = ("Dr. Amrei Sohl", "general practitioner", self.cast.today, Intensity.VIGOROUS, None, None, "paper")
        self._record(clearances.PaperGiven(ClearanceState.GRANTED, *paper), has_password=True)
        self._log(SessionKind.EASY, Mode.WALK, minutes=30.0, effort=2.0, talk=Talk.CHAT)
        self.stage.clock.move(days=8)
        self._log(SessionKind.EASY, Mode.SWIM, minutes=30.0, effort=2.0, talk=Talk.CHAT)
        given = Lift("All well again.", True, "Spoke for ten minutes.", self.cast.today, self._ago(7), True)
        for hold_id in sorted(self.told.holds):
            self._lift(hold_id, given)
        self._answer()
        self._measure(124, 76)
        self._agree()

    # Phases and plans

    @rule(
        move=st.sampled_from(
            (
                (DecisionKind.PROMOTE, Phase.INTERVAL_ONE),
                (DecisionKind.PROMOTE, Phase.INTERVAL_ONE),
                (DecisionKind.PROMOTE, Phase.INTERVAL_TWO),
                (DecisionKind.PROMOTE, Phase.KEEPING),
                (DecisionKind.STEP_BACK, Phase.AEROBIC_BASE),
                (DecisionKind.STEP_BACK, Phase.RETURNING),
                (DecisionKind.STEP_BACK, Phase.KEEPING),
            )
        )
    )
    def decides_about_the_phase(self, move: tuple[DecisionKind, Phase]) -> None:
        self._decide(*move)

    @rule(reason=st.sampled_from(("Knows hard work from rowing.", "")))
    def confirms_activity(self, reason: str) -> None:
        done = self._do(
            lambda db: safety_file.confirm_regularly_active(
                db, actor=self.coach, **self.ids, reason=reason, now=self.cast.now
            )
        )
        self.told.is_confirmed_active |= done is not REFUSED

    @rule(
        shape=st.sampled_from((Shape.INTERVALS, Shape.INTERVALS, Shape.MIDDLE, Shape.RACE, Shape.EASY)),
        days=st.sampled_from((0, 0, 1, 4)),
        publishes=st.sampled_from((True, True, False)),
    )
    def plans_a_session(self, shape: Shape, days: int, publishes: bool) -> None:
        wish = self._wish(shape, self.cast.today + timedelta(days=days))
        added = self._do(
            lambda db: changing.add_session(
                db, actor=self.coach, **self.ids, wish=wish, rules=RULES, now=self.cast.now
            )
        )
        if isinstance(added, Refusal) or added[0] is None:
            return
        self.planned.append(added[0])
        if publishes:
            self._publish([wish.planned_on])

    @rule(weeks=st.sampled_from((2, 4)), is_hard=st.booleans())
    def plans_a_block(self, weeks: int, is_hard: bool) -> None:
        self._do(lambda db: self._write_block(db, weeks, is_hard=is_hard))
        monday = self.cast.today + timedelta(days=7 - self.cast.today.weekday())
        self._publish([monday + timedelta(weeks=n) for n in range(weeks)])

    @precondition(lambda self: self.planned)
    @rule(
        which=st.integers(0, 20),
        way=st.sampled_from(("ease", "take_easy_back", "move", "make_hard", "cancel", "restore")),
        days=st.sampled_from((0, 1, 2, 6)),
    )
    def changes_a_planned_session(self, which: int, way: str, days: int) -> None:
        session_id = self.planned[-1 - which % len(self.planned)]
        self._do(lambda db: self._change(db, session_id, way, self.cast.today + timedelta(days=days)))

    # What has to hold after each step

    @invariant()
    def nothing_stopped_is_offered(self) -> None:
        self.steps += 1
        self.is_well = False
        no_hard, nothing = self._stopped()
        self.seen.update([*no_hard, "stopped" if no_hard else "free", "moments"])
        if len(no_hard) == 1:
            self.seen[f"nothing but {no_hard[0]}"] += 1
        with self.cast.desk.db() as db:
            self._rules_agree(db, no_hard, nothing)
        if self.steps % self.pages_every == 0:
            self._pages_agree(no_hard, nothing)
        self.is_well = True

    @invariant()
    def every_hold_stands_until_it_is_lifted(self) -> None:
        with self.cast.desk.db() as db:
            standing = self.cast.open_holds(db)
        assert set(self.told.holds) <= set(standing), "a hold is gone that nobody lifted"

    def teardown(self) -> None:
        """The whole list of outputs at the end of a story."""
        if self.is_well:
            self._pages_agree(*self._stopped())
            self._other_pages_are_silent()

    def _stopped(self) -> tuple[list[str], list[str]]:
        return self.told.no_hard_because(self.cast.today), self.told.nothing_because(self.cast.today)

    def _rules_agree(self, db: Session, no_hard: list[str], nothing: list[str]) -> None:
        known, today = self.cast.history(db), self.cast.today
        for session in vigorous_sessions():
            may = may_train_now(known, replace(session, planned_on=today), today, RULES)
            self.seen["hard work allowed"] += may.answer is May.AS_PLANNED
            assert not no_hard or may.answer is not May.AS_PLANNED, (session.title, no_hard)
            assert not nothing or may.answer is May.PAUSED, (session.title, nothing)
        easy = may_train_now(known, replace(easy_session(), planned_on=today), today, RULES)
        assert not nothing or easy.answer is May.PAUSED, nothing
        assert Mode.WALK.value not in self.told.stopped_modes() or easy.answer is May.PAUSED, "walking is stopped"

    def _pages_agree(self, no_hard: list[str], nothing: list[str]) -> None:
        self.cast.pin_up()
        shown = self.cast.pages(shows_steps=True)
        for address, page in shown.items():
            assert not no_hard or VIGOROUS not in page, (address, no_hard)
            assert not nothing or EASY not in page, (address, nothing)
            assert Mode.WALK.value not in self.told.stopped_modes() or EASY not in page, (
                address,
                "walking is stopped",
            )
        self.seen["hard work shown on every page"] += all(VIGOROUS in page for page in shown.values())
        self.seen["easy work shown beside a stop"] += bool(no_hard) and all(EASY in one for one in shown.values())
        self.seen["pages looked at"] += len(shown)
        looked = self.cast.act(self._look_at_draft)
        assert not isinstance(looked, Refusal)
        self.seen["hard draft may be sent"] += not looked.is_refused
        assert not self.told.no_hard_because(self.cast.today) or looked.is_refused, ("publishing", no_hard)

    def _other_pages_are_silent(self) -> None:
        self.cast.pin_up()
        others = self.cast.pages(shows_steps=False)
        self.seen["pages looked at"] += len(others)
        for address, page in others.items():
            assert VIGOROUS not in page, address
            assert EASY not in page, address

    def _look_at_draft(self, db: Session) -> plan_publishing.Sending:
        day = self.cast.draft_up(db)
        sending = self._look(db, [day])
        assert any(entry.session.id == self.cast.draft_id for entry in sending.entries)
        return sending

    # Doing it

    def _do(self, doing: Callable[[Session], object]) -> object:
        """Do something; hard work that is sent by it while it is surely stopped is a failure."""
        self.is_well = False
        no_hard = self.told.no_hard_because(self.cast.today)
        with self.cast.desk.db() as db:
            before = self.cast.published(db)
        result = self.cast.act(doing)
        with self.cast.desk.db() as db:
            sent = {one: is_hard for one, is_hard in self.cast.published(db).items() if one not in before}
            standing = self.cast.open_holds(db)
        assert not no_hard or not any(sent.values()), ("hard work was published", no_hard)
        self.seen["hard sessions published"] += sum(sent.values())
        self.seen["refused"] += result is REFUSED
        for hold_id, (kind, stops, mode, began_on) in standing.items():
            self.told.holds.setdefault(hold_id, Paused(kind, stops, mode, began_on))
        return result

    def _ago(self, days: int) -> date:
        return self.cast.today - timedelta(days=days)

    def _stands_open(self, kind: str, stops: str | None = None) -> None:
        found = [one for one in self.told.holds.values() if one.kind == kind and stops in (None, one.stops)]
        assert found, f"nothing was paused for {kind}"

    def _answer(self, *, is_active: bool = True) -> None:
        self._keep_answers({"active": Reply.YES if is_active else Reply.NO}, Reply.NO, 0)

    def _keep_answers(self, said: dict[str, Reply], medicine: Reply, days_back: int) -> None:
        keys = [one.key for one in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS)] + ["news", "pregnant"]
        replies = dict.fromkeys(keys, Reply.NO) | said
        on = self._ago(days_back)
        medicines = {group.key: Reply.NO for group in MEDICINE_GROUPS} | {"beta_blocker": medicine}
        entry = questions.QuestionsEntry(replies, medicines, "Jonas Brandt", "0151 000 0001", on)
        kept = self._do(
            lambda db: questions.keep(
                db, actor=self.coach, **self.ids, entry=entry, origin=Origin.COACH, now=self.cast.now
            )
        )
        if kept is REFUSED:
            return
        is_yes = {key: reply is not Reply.NO for key, reply in replies.items()}
        self.told.answers.append(
            Answered(
                on=on,
                is_active=replies["active"] is Reply.YES,
                has_disease=any(is_yes[one.key] for one in DISEASE_QUESTIONS),
                has_symptom=any(is_yes[one.key] for one in SYMPTOM_QUESTIONS),
                is_pregnant=is_yes["pregnant"],
                has_news=is_yes["news"],
            )
        )
        if is_yes["pregnant"]:
            self._stands_open("pregnancy")

    def _felt_wrong(self, sign: str, days_back: int, mode: Mode | None, by_client: bool) -> None:
        actor, origin = (self.client, Origin.CLIENT) if by_client else (self.coach, Origin.COACH)
        told = felt_wrong.Report(sign, self._ago(days_back), mode, "It was odd.")
        kept = self._do(
            lambda db: felt_wrong.report(db, actor=actor, **self.ids, report=told, origin=origin, now=self.cast.now)
        )
        if kept is REFUSED:
            return
        if sign_of(sign).family is Family.A:
            self.told.symptoms.append(told.felt_on)
        assert kept in self.told.holds, "a report raised no hold"

    def _log(
        self, kind: SessionKind, mode: Mode, *, minutes: float, effort: float, talk: Talk, days_back: int = 0
    ) -> None:
        on = self._ago(days_back)
        entry = session_logs.LogEntry(
            on, Answer.SOMETHING_ELSE, kind=kind, mode=mode, minutes=minutes, effort=effort, talk=talk
        )
        kept = self._do(
            lambda db: session_logs.keep(
                db, actor=self.client, **self.ids, entry=entry, origin=Origin.CLIENT, now=self.cast.now
            )
        )
        if kept is not REFUSED:
            self.told.outings.add(on)

    def _measure(self, high: int, low: int, *, rate: int | None = 62, days_back: int = 0) -> None:
        reading = safety_file.Reading(self._ago(days_back), high, low, rate, Origin.COACH)
        done = self._do(
            lambda db: safety_file.add_pressure(
                db, actor=self.coach, **self.ids, reading=reading, rules=RULES, now=self.cast.now
            )
        )
        if done is not REFUSED:
            self.told.readings.append(Read(reading.measured_on, high, low, rate))

    def _note_named(self, kept: object, reply: Reply) -> None:
        """A sign or a disease stands as it was answered last."""
        answered = kept if isinstance(kept, frozenset) else frozenset()
        kinds = ((SIGN_KEYS, self.told.signs_named), (DISEASE_KEYS, self.told.diseases_named))
        for key, named in ((key, named) for keys, named in kinds for key in answered & keys):
            named.pop(key, None)
            if reply is not Reply.NO:
                named[key] = self.cast.today

    def _answer_some(self, db: Session, which: slice | str, reply: Reply) -> frozenset[str]:
        """Answer the first questions, or one of them; the keys of those answered."""
        found = intake.load(db, actor=self.client, **self.ids, now=self.cast.now)
        chosen = (
            [one for one in found.questions if one.key == which]
            if isinstance(which, str)
            else list(found.questions[which])
        )
        asked = [question for question in chosen if question.sort is Sort.REPLY]
        answer = {"reply": reply.value}
        for question in asked:
            intake.keep_answer(db, actor=self.client, **self.ids, question=question, answer=answer, now=self.cast.now)
        return frozenset(question.key for question in asked)

    def _agree(self) -> None:
        for kind in ASKED_FOR_HARD_WORK:
            given = {"kind": kind, "given_on": self.cast.today, "method": Origin.FROM_PAPER}
            done = self._do(
                lambda db, given=given: safety_file.add_consent(
                    db, actor=self.coach, **self.ids, **given, now=self.cast.now
                )
            )
            if done is not REFUSED:
                self.told.agreed.add(kind.value)
                self.told.taken_back.discard(kind.value)
                self.told.outdated.discard(kind.value)

    def _record(self, paper: clearances.PaperGiven, *, has_password: bool) -> None:
        problems = self._do(
            lambda db: clearances.record_paper(
                db,
                actor=self.coach,
                **self.ids,
                paper=paper,
                password_confirmed=has_password,
                rules=RULES,
                now=self.cast.now,
            )
        )
        if problems:
            return
        is_granted, on = paper.state is ClearanceState.GRANTED, paper.given_on
        assert on is not None
        assert not is_granted or (paper.signer and has_password), "a paper was kept without its signer or password"
        end = paper.ends_on or on + timedelta(days=RULES.clearance_days)
        is_wide, is_seen = paper.scope is Intensity.VIGOROUS, paper.how_seen != "telephone"
        self.told.papers.append(Paper(on, is_granted, is_granted and is_wide, is_seen, end))

    def _lift(self, hold_id: int, given: Lift) -> None:
        hold, today = self.told.holds[hold_id], self.cast.today
        typed = hold_desk.LiftGiven(
            because=given.because,
            talk=given.talk,
            pain_free_easy_on=given.easy_on,
            heart_rate_source_reviewed=given.is_reviewed,
            well_since_on=given.well_since_on,
            advice_from="Dr. Amrei Sohl" if given.has_advice else None,
            advice_on=today if given.has_advice else None,
            password_confirmed=given.has_password,
        )
        problems = self._do(
            lambda db: hold_desk.lift(db, actor=self.coach, hold_id=hold_id, given=typed, now=self.cast.now)
        )
        if problems:
            return
        assert self.told.may_be_lifted(hold, given, today), ("a hold was lifted on too little", hold, given)
        self.seen[f"lifted: {hold.kind}"] += 1
        del self.told.holds[hold_id]
        self.told.comes_back(hold, today)
        if given.talk:
            self.told.talks.append(today)

    def _decide(self, kind: DecisionKind, phase: Phase) -> None:
        no_hard = self.told.no_hard_because(self.cast.today)
        done = self._do(
            lambda db: promoting.decide(
                db,
                actor=self.coach,
                **self.ids,
                kind=kind,
                phase=phase,
                since_on=self.cast.today,
                reason="As we said.",
                override_reason="I know this client well.",
                until_on=self.cast.today + timedelta(days=60),
                now=self.cast.now,
            )
        )
        if done is REFUSED or kind is not DecisionKind.PROMOTE:
            return
        newest, pressures = self.told.newest, [one.on for one in self.told.readings]
        assert not no_hard, ("promoted in spite of", no_hard)
        assert newest is not None
        assert (self.cast.today - newest.on).days <= 30, "promoted on old answers"
        assert (self.cast.today - max(pressures)).days <= 90, "promoted on an old reading"
        assert len(self.told.agreed) == len(ASKED_FOR_HARD_WORK), "promoted without consent"
        self.told.is_promoted = True
        self.seen["promoted"] += 1

    def _wish(self, shape: Shape, day: date) -> SessionWish:
        rounds = 4 if shape is Shape.INTERVALS else None
        key = "four_by_four" if shape is Shape.INTERVALS else None
        return SessionWish(day, shape, Mode.INDOOR_RIDE, 45, key, rounds, None, None, None, None, "As we said.")

    def _look(self, db: Session, days: list[date]) -> plan_publishing.Sending:
        return plan_publishing.look_at(
            db,
            actor=self.coach,
            **self.ids,
            mondays=days,
            leave_out=[],
            judge=by_entries_alone,
            rules=RULES,
            now=self.cast.now,
        )

    def _publish(self, days: list[date]) -> None:
        def send(db: Session) -> object:
            sending = self._look(db, days)
            sent = {"sending": sending, "seen": sending.seen, "reason": "As we said.", "why_today": "As we said."}
            return plan_publishing.publish(db, actor=self.coach, **sent, now=self.cast.now)  # type: ignore[arg-type]

        self._do(send)

    def _write_block(self, db: Session, weeks: int, *, is_hard: bool) -> object:
        desk = opening.open_blocks(db, actor=self.coach, **self.ids, rules=RULES, now=self.cast.now)
        days = {0: 60, 2: 60, 5: 90}
        if is_hard:
            hard = HardWish(desk.next_monday, weeks, 150, (2,), "two_by_four", True, Mode.INDOOR_RIDE, days)
            preview = previewing.preview_intervals(db, desk=desk, wish=hard, rules=RULES)
        else:
            base = BaseWish(desk.next_monday, weeks, 120, 180, 15, 4, Mode.WALK, days)
            preview = previewing.preview_base(db, desk=desk, wish=base, rules=RULES)
        return writing.keep_block(
            db,
            actor=self.coach,
            desk=desk,
            preview=preview,
            seen=preview.seen,
            may_replace=True,
            may_cancel=True,
            now=self.cast.now,
        )

    def _change(self, db: Session, session_id: int, way: str, day: date) -> object:
        newest = prescriptions.newest(db, planned_session_id=session_id)
        assert newest is not None
        by = {"actor": self.coach, "now": self.cast.now}
        one = {"planned_session_id": session_id}
        if way == "ease":
            return plan_today.ease_today(db, **by, **self.ids, **one, reason="Tired.")  # type: ignore[arg-type]
        if way == "move":
            return plan_today.move_session(db, **by, **self.ids, **one, to_on=day, reason="Rain all afternoon.")  # type: ignore[arg-type]
        return self._change_version(db, newest, way, day, by | one | {"version": newest.version})

    def _change_version(
        self, db: Session, newest: PlannedSession, way: str, day: date, given: dict[str, object]
    ) -> object:
        if way == "take_easy_back":
            return take_easy_back(db, **given, rules=RULES, despite="Rested after all, and asked for it.")  # type: ignore[arg-type]
        if way == "cancel":
            return changing.cancel_session(db, **given, reason="Rain all afternoon.")  # type: ignore[arg-type]
        if way == "restore":
            return changing.restore_session(db, **given, rules=RULES)  # type: ignore[arg-type]
        wish = self._wish(Shape.INTERVALS if newest.kind is not SessionKind.INTERVALS else Shape.MIDDLE, day)
        return changing.edit_session(db, **given, wish=wish, rules=RULES)  # type: ignore[arg-type]
