"""Whatever stops hard work stops it on every page and print a client gets, from any history of records.

The records of a client are drawn at random; what they stop is judged here by rules written down a second time, apart
from the application's own, and only where the answer is beyond doubt.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.history import History
from app.coaching.hold_rules import Answer
from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.leave_to_train import may_train_now
from app.coaching.lookahead import breaches, may_publish
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.coaching.symptoms import sign_of
from app.coaching.target_eased import by_entries_alone
from app.storage import felt_wrong, phases, safety, session_logs
from app.usecases import plan_publishing
from app.web.outputs import OUTPUTS
from tests import factories as make
from tests import seed
from tests.conftest import Browser
from tests.marked_sessions import EASY, VIGOROUS, easy_session, vigorous_sessions
from tests.safety_scenes import actor_of
from tests.seed import NOW, TODAY
from tests.web.walk import bare_app, walks

RULES = Rules()
TEMPLATES = Path(__file__).parents[2] / "templates"
HISTORIES = 36
WEEK = timedelta(weeks=1)
PROMOTED = make.decision(
    id=2, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(days=30)
)


def _ago(days: int) -> date:
    return TODAY - timedelta(days=days)


# What is drawn


def draw_history(random: Random) -> History:
    """One client's records: mostly harmless, with some reasons to stop mixed in."""
    trouble = random.choice((0.05, 0.2, 1.0))

    def drawn(draw: Callable[[Random], tuple], harmless: tuple) -> tuple:
        return draw(random) if random.random() < trouble else harmless

    holds, symptoms = drawn(_draw_holds, ()), ()
    if random.random() < trouble / 6:
        felt_on = _ago(random.choice((0, 1, 20, 100)))
        lifted = random.random() < 0.6
        hold = make.hold(id=90, began_on=felt_on, cause="Chest", lifted_at=NOW if lifted else None)
        holds, symptoms = (*holds, hold), (make.symptom(hold_id=90, felt_on=felt_on),)
    return make.history(
        client=make.client(regularly_active_confirmed_on=_ago(200) if random.random() < 0.3 else None),
        from_on=_ago(400),
        until_on=TODAY + timedelta(days=60),
        decisions=drawn(_draw_decisions, (PROMOTED,)),
        logs=drawn(_draw_logs, make.base_weeks(30, before=TODAY)),
        holds=holds,
        symptoms=symptoms,
        screening=drawn(_draw_answers, (make.answers(answered_on=_ago(10)),)),
        clearances=drawn(_draw_papers, ()),
        consents=drawn(_draw_consents, ()),
        pressures=drawn(_draw_pressures, ()),
    )


def _draw_holds(random: Random) -> tuple:
    kind = random.choice([one for one in HoldKind if one is not HoldKind.SYMPTOM])
    stops = random.choice(list(Stops))
    mode = random.choice((Mode.WALK, Mode.INDOOR_RIDE, Mode.SWIM)) if stops is Stops.MODE_AND_HARD else None
    return (
        make.hold(id=1, kind=kind, stops=stops, mode=mode, began_on=_ago(random.choice((0, 3, 40))), cause="Told"),
    )


def _draw_decisions(random: Random) -> tuple:
    base = make.decision(id=1, since_on=_ago(300))
    brought = replace(
        PROMOTED,
        id=1,
        kind=DecisionKind.BROUGHT_IN,
        attested_by="a diary",
        confirmed_at=NOW if random.random() < 0.8 else None,
    )
    keeping = make.decision(id=3, kind=DecisionKind.STEP_BACK, phase=Phase.KEEPING, since_on=_ago(5))
    return random.choice(((), (base,), (base, PROMOTED), (brought,), (brought, keeping)))


def _draw_logs(random: Random) -> tuple:
    weeks, ended = random.choice((0, 3, 11, 12, 20, 30, 30)), random.choice((0, 0, 0, 0, 1, 3, 14))
    return make.base_weeks(weeks, before=TODAY - ended * WEEK)


def _draw_answers(random: Random) -> tuple:
    if random.random() < 0.1:
        return ()
    rarely = [YesNo.NO] * 8 + [YesNo.YES, YesNo.UNKNOWN]
    count = random.choice((1, 1, 2))
    return tuple(
        make.answers(
            id=n + 1,
            answered_on=_ago(random.choice((0, 10, 84, 85)) + 30 * (count - 1 - n)),
            active=random.choice((YesNo.YES, YesNo.YES, YesNo.NO, YesNo.UNKNOWN)),
            disease=random.choice(rarely),
            symptoms=random.choice(rarely),
            pregnant=random.choice(rarely),
        )
        for n in range(count)
    )


def _draw_papers(random: Random) -> tuple:
    if random.random() < 0.55:
        return ()
    return (
        make.clearance(
            state=random.choice((ClearanceState.GRANTED,) * 4 + (ClearanceState.REFUSED,)),
            scope=random.choice((Intensity.VIGOROUS, Intensity.VIGOROUS, Intensity.LIGHT_MODERATE)),
            given_on=_ago(random.choice((0, 1, 50, 365, 366))),
            how_seen=random.choice(("paper", "paper", "paper", "telephone")),
        ),
    )


def _draw_consents(random: Random) -> tuple:
    kinds = (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
    return tuple(
        make.consent(kind, id=n + 1, text_version=CONSENT_TEXTS[kind].version, given_on=_ago(7))
        for n, kind in enumerate(kinds)
        if random.random() < 0.7
    )


def _draw_pressures(random: Random) -> tuple:
    high, low = random.choice(((120, 75),) * 6 + ((159, 99), (160, 80), (150, 100), (180, 90)))
    return (make.pressure(systolic_mmhg=high, diastolic_mmhg=low, measured_on=_ago(random.choice((0, 7, 80)))),)


# What it must stop, written down a second time


def must_stop_hard(one: History) -> str | None:
    """A reason beyond doubt to offer nothing middle or hard; None when there is none."""
    newest = max(one.screening, key=lambda a: (a.answered_on, a.id), default=None)
    if newest is None:
        return "never asked"
    outings = sorted({log.done_on for log in one.logs})
    reasons = {
        "hold": any(hold.lifted_at is None for hold in one.holds),
        "symptom without a later paper": _is_symptom_open(one),
        "symptoms not answered": newest.symptoms is YesNo.UNKNOWN and not one.symptoms,
        "disease without a paper": newest.disease is not YesNo.NO and not _papers(one, Intensity.VIGOROUS),
        "refused": any(paper.state is ClearanceState.REFUSED for paper in one.clearances),
        "narrow paper": any(_is_sound(p) and p.scope is Intensity.LIGHT_MODERATE for p in one.clearances),
        "transition": newest.active is not YesNo.YES and _is_new(one),
        "pressure": any(p.systolic_mmhg >= 160 or p.diastolic_mmhg >= 100 for p in one.pressures),
        "pregnant": newest.pregnant is YesNo.YES
        and not _papers(one, Intensity.VIGOROUS, after=one.screening[0].answered_on),
        "asked too long ago": (TODAY - newest.answered_on).days > 84,
        "two weeks off": bool(outings) and (TODAY - outings[-1]).days >= 14,
        "brought in without consent": _is_as_brought_in(one) and len(one.consents) < 2,
    }
    return next((reason for reason, holds in reasons.items() if holds), None)


def must_stop_all(one: History) -> bool:
    """Whether beyond doubt nothing at all may be offered."""
    newest = max(one.screening, key=lambda a: (a.answered_on, a.id), default=None)
    open_all = any(hold.lifted_at is None and hold.stops is Stops.ALL for hold in one.holds)
    high = any(p.systolic_mmhg >= 180 or p.diastolic_mmhg >= 100 for p in one.pressures)
    felt = max((s.felt_on for s in one.symptoms), default=None)
    unseen = felt is not None and not _papers(one, Intensity.LIGHT_MODERATE, after=felt)
    refused = newest is not None and any(p.state is ClearanceState.REFUSED for p in one.clearances)
    return open_all or high or unseen or refused


def _is_sound(paper) -> bool:
    return paper.state is ClearanceState.GRANTED and paper.how_seen != "telephone"


def _papers(one: History, scope: Intensity, *, after: date | None = None) -> list:
    return [
        paper
        for paper in one.clearances
        if _is_sound(paper)
        and paper.scope in (scope, Intensity.VIGOROUS)
        and (TODAY - paper.given_on).days <= 365
        and (after is None or paper.given_on > after)
    ]


def _is_symptom_open(one: History) -> bool:
    days = [a.answered_on for a in one.screening if a.symptoms is YesNo.YES]
    days += [s.felt_on for s in one.symptoms if s.family is Family.A]
    return bool(days) and not _papers(one, Intensity.VIGOROUS, after=max(days))


def _is_new(one: History) -> bool:
    weeks = {log.done_on - timedelta(days=log.done_on.weekday()) for log in one.logs}
    is_promoted = any(d.kind is DecisionKind.PROMOTE for d in one.decisions)
    return len(weeks) < 12 and not is_promoted and one.client.regularly_active_confirmed_on is None


def _is_as_brought_in(one: History) -> bool:
    has_come = any(d.kind is DecisionKind.BROUGHT_IN and d.confirmed_at is not None for d in one.decisions)
    return has_come and not any(d.kind is DecisionKind.PROMOTE for d in one.decisions)


# The rules alone


@settings(max_examples=200, deadline=None)
@given(st.randoms(use_true_random=False))
def test_no_history_gives_or_publishes_what_it_stops(random: Random) -> None:
    one = draw_history(random)
    reason = must_stop_hard(one)
    for session in vigorous_sessions():
        of_today = replace(session, planned_on=TODAY)
        if reason is not None:
            assert may_train_now(one, of_today, TODAY, RULES).answer is not Answer.AS_PLANNED, reason
            assert not may_publish(breaches(one, [of_today], TODAY, RULES)), reason
    if must_stop_all(one):
        walk = replace(easy_session(), planned_on=TODAY)
        assert may_train_now(one, walk, TODAY, RULES).answer is Answer.PAUSED
        assert not may_publish(breaches(one, [walk], TODAY, RULES))


# Every page and print


def _keep(browser: Browser, one: History, *, coach_id: int, name: str) -> tuple[History, dict[str, object]]:
    """Write the records of a new client, the plan before everything else; returns them and values for addresses."""
    with browser.db(write=True) as db:
        confirmed_on = one.client.regularly_active_confirmed_on
        client = seed.add_client(db, coach_id=coach_id, name=name, regularly_active_confirmed_on=confirmed_on)
        person = seed.client_person(db, client)
        seed.add_login(db, person=person, token=f"token-of-{name}")
        by = {"client_id": client.id, "person_id": person.id}
        ids = [
            seed.add_planned(db, client=client, **_content(session, planned_on=TODAY + timedelta(days=day)))
            for day in (0, -1, 1)
            for session in (*vigorous_sessions(), easy_session())
        ]
        for log in one.logs:
            log_id = session_logs.add(db, log=replace(log, client_id=client.id, person_id=person.id))
        log_id = log_id if one.logs else seed.add_log(db, client=client, done_on=_ago(3))
        _keep_safety(db, one, by)
        for decision in one.decisions:
            phases.decide(db, **_values(decision, by), at=decision.decided_at)
        hold_id = max((hold.id for hold in safety.holds_of(db, client_id=client.id)), default=None)
        incident_id = seed.add_incident(db, client=client)
    values = {"client_id": client.id, "log_id": log_id, "hold_id": hold_id, "month": "2026-11", "plan": ids[0]}
    return one, values | {"question": "chest", "incident_id": incident_id}


def _keep_safety(db, one: History, by: dict[str, int]) -> None:
    for answers in one.screening:
        safety.add_screening(db, **_values(answers, by), at=answers.entered_at)
    paper_id = None
    for paper in one.clearances:
        paper_id = safety.add_clearance(db, **_values(paper, by), at=paper.recorded_at)
    for consent in one.consents:
        left = {"withdrawn_on", "withdrawn_at", "recorded_at"}
        values = {name: value for name, value in _values(consent, by).items() if name not in left}
        safety.add_consent(db, **values, text_as_shown="The text.", at=consent.recorded_at)
    for reading in one.pressures:
        safety.add_pressure(db, **_values(reading, by), at=reading.entered_at)
    for hold in one.holds:
        if hold.id != 90:
            safety.raise_hold(db, **_values(hold, by), at=hold.raised_at)
    for report in one.symptoms:
        recorded = felt_wrong.record(
            db,
            client_id=by["client_id"],
            sign=sign_of(report.sign),
            felt_on=report.felt_on,
            mode=None,
            text=None,
            origin=report.origin,
            person_id=by["person_id"],
            at=NOW,
        )
        is_lifted = any(hold.id == 90 and hold.lifted_at is not None for hold in one.holds)
        if is_lifted and paper_id is not None:
            safety.lift_hold(
                db,
                hold_id=recorded.hold_id,
                because="A paper was seen.",
                clearance_id=paper_id,
                person_id=by["person_id"],
                at=NOW,
            )


_NOT_GIVEN = {"seen_at", "id", "raised_at", "entered_at", "recorded_at", "decided_at"}
_NOT_GIVEN |= {"lifted_at", "lifted_by", "lifted_because", "clearance_id"}


def _values(value: object, by: dict[str, int]) -> dict[str, object]:
    found = {f.name: getattr(value, f.name) for f in fields(value) if f.name not in _NOT_GIVEN}  # type: ignore[arg-type]
    return found | by


def _content(session: PlannedSession, *, planned_on: date) -> dict[str, object]:
    names = ("kind", "mode", "title", "minutes", "hard_minutes", "is_hard", "rounds", "steps_json", "easy_version")
    return {name: getattr(session, name) for name in names} | {
        "planned_on": planned_on,
        "created_at": NOW - timedelta(days=9),
    }


@cache
def _addresses(shows_steps: bool) -> tuple[str, ...]:
    paths = [one.path for one in OUTPUTS if one.shows_steps is shows_steps]
    more = () if shows_steps else ("/me/done?session={plan}", "/me/done?choose=true", "/me/done?extra=true")
    return (*paths, *more)


def _pages(values: dict[str, object], phone: Browser, coach: Browser, *, shows_steps: bool) -> dict[str, str]:
    """What stands on each output, by address."""
    found = {}
    for path in _addresses(shows_steps):
        if "{hold_id}" in path and values["hold_id"] is None:
            continue
        address = re.sub(r"\{(\w+)\}", lambda name: str(values[name.group(1)]), path)
        page = (phone if path.startswith("/me/") else coach).get(address)
        if page.status_code == 404 and "{hold_id}" in path:
            continue  # a hold that no report stands behind has no page on the phone
        assert page.status_code == 200, (address, page.text[:300])
        found[address] = page.text
    return found


def _phone(client_phone: Browser, app, name: str) -> Browser:
    http = TestClient(app, base_url="http://localhost", follow_redirects=False)
    http.portal = client_phone.http.portal
    return Browser(http, app.state.house, f"token-of-{name}")


def test_no_page_and_no_print_offers_what_is_stopped(app, client_phone, coach, people) -> None:
    random = Random(20261125)
    seen: Counter[str] = Counter()
    for number in range(HISTORIES):
        name = f"Drawn {number}"
        drawn = draw_history(random)
        if drawn.symptoms and not drawn.clearances:
            drawn = replace(drawn, holds=tuple(replace(hold, lifted_at=None) for hold in drawn.holds))
        one, values = _keep(coach, drawn, coach_id=people.coach.id, name=name)
        phone = _phone(client_phone, app, name)
        reason = must_stop_hard(one)

        shown = _pages(values, phone, coach, shows_steps=True)
        if number % 6 == 0:
            for address, text in _pages(values, phone, coach, shows_steps=False).items():
                assert VIGOROUS not in text, address
                assert EASY not in text, address
        for address, text in shown.items():
            if reason is not None:
                assert VIGOROUS not in text, (address, reason)
            if must_stop_all(one):
                assert EASY not in text, address
        seen["stopped" if reason else "free"] += 1
        seen["vigorous shown"] += all(VIGOROUS in text for text in shown.values())
        seen["easy shown beside a stop"] += reason is not None and all(EASY in text for text in shown.values())

    # Each side has to come up often enough for this to mean something.
    assert seen["stopped"] >= 15, seen
    assert seen["vigorous shown"] >= 6, seen
    assert seen["easy shown beside a stop"] >= 3, seen


@pytest.mark.parametrize("kind", [SessionKind.INTERVALS, SessionKind.EASY])
def test_a_draft_kept_before_the_hold_is_not_published_under_it(coach, people, kind) -> None:
    hard = vigorous_sessions()[0 if kind is SessionKind.INTERVALS else 4]
    with coach.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        seed.add_phase(db, client=people.client, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE)
        seed.add_planned(db, client=people.client, publish=False, **_content(hard, planned_on=TODAY))
        looks = {
            "actor": actor_of(people.coach),
            "client_id": people.client.id,
            "mondays": [TODAY],
            "leave_out": [],
            "judge": by_entries_alone,
            "rules": RULES,
            "now": NOW,
        }
        before = plan_publishing.look_at(db, **looks)
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)
        after = plan_publishing.look_at(db, **looks)

    assert (len(before.entries), before.is_refused, after.is_refused) == (1, False, True)


# The list of outputs is whole


def test_every_page_of_the_phone_and_every_print_is_an_output() -> None:
    gets = {walk.path for walk in walks(bare_app()) if walk.method == "GET"}
    listed = {one.path for one in OUTPUTS}

    on_the_phone = {path for path in gets if path == "/me" or path.startswith("/me/")}
    printed = {path for path in gets if path.endswith("/print")}
    assert on_the_phone | printed <= listed
    assert listed <= gets


def test_every_template_of_the_phone_and_of_paper_belongs_to_an_output() -> None:
    found = {
        str(path.relative_to(TEMPLATES))
        for path in TEMPLATES.rglob("*.html")
        if re.search(r'{% extends "(phone|print)\.html" %}', path.read_text(encoding="utf-8"))
    }

    assert found == {template for one in OUTPUTS for template in one.templates}


def test_steps_are_put_into_words_for_clients_only_where_an_output_shows_them() -> None:
    words = re.compile(r"\.lines\b|steps\(")
    with_steps = {
        template
        for one in OUTPUTS
        for template in one.templates
        if words.search((TEMPLATES / template).read_text(encoding="utf-8"))
    }

    assert with_steps == {template for one in OUTPUTS if one.shows_steps for template in one.templates}


def test_every_page_of_the_phone_with_steps_marks_them_to_be_paused_without_the_desk() -> None:
    pages = [one for one in OUTPUTS if one.shows_steps and one.path.startswith("/me/")]

    assert pages
    texts = [(TEMPLATES / template).read_text(encoding="utf-8") for one in pages for template in one.templates]
    assert [text for text in texts if "{{ work(" not in text] == []
