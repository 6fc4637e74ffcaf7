"""The simulated world: the same from the same seed, client by client, and with the moments it promises."""

from __future__ import annotations

import hashlib
import itertools
import math
from collections import Counter
from datetime import date, timedelta

import numpy as np
import pytest

from app.coaching.phases import HARD_WORK_PHASES, DecisionKind
from app.coaching.promotion import CONDITION_KEYS, evidence_from
from app.coaching.readiness import Illness
from app.coaching.rules import Rules
from app.physiology.impulse_response import response_banister_1975
from app.simulation import calendar_of, numbers_after_coach
from app.simulation.world import constants as c
from app.simulation.world.body import Body
from app.simulation.world.client import simulate_client
from app.simulation.world.names import invented_name
from app.simulation.world.people import (
    BODY,
    PERSON,
    SPELLS,
    beta_shapes,
    draw_completion,
    draw_person,
    draw_response,
    steady_sum,
    stream,
)
from app.simulation.world.spells import draw_spells
from app.simulation.world.state import Life
from app.simulation.world.will import daily_chances, middle_of

TODAY = date(2026, 11, 25)
SEED = 20261125
PEOPLE = 2000
YEARS = 5
DAYS = round(YEARS * c.DAYS_A_YEAR)
#: A right figure lies outside so many standard errors about once in 16 000 draws; the seed is fixed all the same.
ERRORS = 4.0


def _lives(clients: int, *, seed: int = SEED, years: float = 1.5) -> list[Life]:
    calendar, numbers = calendar_of(years, TODAY, "Europe/Berlin"), numbers_after_coach()
    return [
        simulate_client(number, seed=seed, calendar=calendar, rules=Rules(), numbers=numbers, coach_id=1)
        for number in range(1, clients + 1)
    ]


def _print(life: Life) -> str:
    return hashlib.sha256(repr(life.scene.record.entries).encode()).hexdigest()


@pytest.fixture(scope="module")
def people():
    return [draw_person(stream(SEED, number, PERSON)) for number in range(PEOPLE)]


@pytest.fixture(scope="module")
def spells(people):
    return [
        draw_spells(person, from_on=date(2021, 11, 22), days=DAYS, rng=stream(SEED, number, SPELLS))
        for number, person in enumerate(people)
    ]


@pytest.fixture(scope="module")
def lives():
    return _lives(60, years=3)


def test_the_same_seed_lives_the_same_lives():
    once, again = [_print(one) for one in _lives(4)], [_print(one) for one in _lives(4)]

    assert once == again


def test_another_seed_lives_other_lives():
    ours, others = [_print(one) for one in _lives(3)], [_print(one) for one in _lives(3, seed=SEED + 1)]

    assert not set(ours) & set(others)


def test_more_clients_leave_the_earlier_ones_as_they_were():
    few, many = [_print(one) for one in _lives(10, years=0.8)], [_print(one) for one in _lives(20, years=0.8)]

    assert few == many[:10]


def test_shares_of_sessions_done_have_the_mean_and_spread_asked_for():
    drawn = np.array([draw_completion(stream(SEED, number, PERSON)) for number in range(20_000)])

    # Standard errors of a mean and of a spread; the beta's tails are lighter than a normal's.
    assert drawn.mean() == pytest.approx(0.77, abs=ERRORS * 0.12 / math.sqrt(20_000))
    assert drawn.std() == pytest.approx(0.12, abs=ERRORS * 0.12 / math.sqrt(2 * 20_000))


def test_the_shapes_of_the_beta_give_back_its_moments():
    first, second = beta_shapes(0.77, 0.12)

    total = first + second

    assert first / total == pytest.approx(0.77)
    assert math.sqrt(first * second / (total**2 * (total + 1))) == pytest.approx(0.12)


def test_habit_and_season_leave_the_mean_of_the_days_at_the_persons_share(people):
    years = 40
    rng = np.random.default_rng(5)
    person = people[0]
    weekdays = [weekday for weekday, _ in person.slots]

    chances = daily_chances(person, from_on=date(2001, 1, 1), days=round(years * c.DAYS_A_YEAR), rng=rng)
    on_training_days = chances[np.isin(np.arange(len(chances)) % 7, weekdays)]

    # Weeks resemble each other: a memory of 0.6 makes four weeks count like one, each with a spread near 0.1.
    error = 0.1 * math.sqrt((1 + c.WEEK_MEMORY) / (1 - c.WEEK_MEMORY) / (52 * years))
    assert on_training_days.mean() == pytest.approx(person.completion, abs=ERRORS * error)
    assert -12 < middle_of(person) < 12


def test_lived_sessions_are_done_as_often_as_the_people_would(lives):
    done = sum(one.tally.done_sessions for one in lives)
    free = sum(one.tally.free_sessions for one in lives)

    wished = sum(one.scene.person.completion * one.tally.free_sessions for one in lives) / free

    # Each person's weeks swing together: three times the error of independent sessions.
    assert done / free == pytest.approx(wished, abs=ERRORS * 3 * math.sqrt(0.77 * 0.23 / free))
    assert free > 10_000


def test_illness_comes_two_and_a_half_times_a_year_and_more_in_winter(spells):
    bouts = [one for each in spells for one in each.bouts]
    rate = len(bouts) / (PEOPLE * YEARS)

    # Poisson within a person, a gamma of shape 4 between people.
    error = math.sqrt(c.ILLNESS_A_YEAR / (PEOPLE * YEARS) + c.ILLNESS_A_YEAR**2 / c.ILLNESS_SHAPE / PEOPLE)
    assert rate == pytest.approx(2.5, abs=ERRORS * error)
    days = np.array([(date(2021, 11, 22).timetuple().tm_yday + one.first) % 365 for one in bouts])
    assert np.sum((days < 60) | (days > 330)) > np.sum((days > 150) & (days < 245))


def test_journeys_come_three_times_a_year(spells):
    rate = sum(len(each.trips) for each in spells) / (PEOPLE * YEARS)

    assert rate == pytest.approx(3.0, abs=ERRORS * math.sqrt(3.0 / (PEOPLE * YEARS)))


def test_something_feels_wrong_once_in_four_client_years(spells):
    rate = sum(len(each.troubles) for each in spells) / (PEOPLE * YEARS)

    assert rate == pytest.approx(0.25, abs=ERRORS * math.sqrt(0.25 / (PEOPLE * YEARS)))


def test_people_leave_at_the_rate_set(spells):
    stayed = sum(each.leaves is None for each in spells) / PEOPLE

    expected = math.exp(-c.DROP_OUT_A_YEAR * (DAYS - c.NOBODY_LEAVES_BEFORE_DAYS) / c.DAYS_A_YEAR)

    assert stayed == pytest.approx(expected, abs=ERRORS * math.sqrt(expected * (1 - expected) / PEOPLE))


def test_bouts_and_journeys_never_overlap(spells):
    gaps = [
        later.first - earlier.last
        for each in spells
        for found in (each.bouts, each.trips)
        for earlier, later in itertools.pairwise(found)
    ]

    assert min(gaps) > 0


def test_time_constants_spread_as_published():
    drawn = [draw_response(np.random.default_rng(number)) for number in range(4000)]

    inside = np.mean([17 <= one[0] <= 59 for one in drawn])

    # [hellard2006]: the middle 95 % of nine swimmers.
    assert inside == pytest.approx(0.95, abs=ERRORS * math.sqrt(0.95 * 0.05 / 4000))
    assert all(short < long for long, short, _, _ in drawn)


def test_a_steady_usual_load_gains_what_was_drawn():
    drawn = [draw_response(np.random.default_rng(number)) for number in range(500)]

    gains = [
        c.USUAL_LOAD_AU * (gain * steady_sum(long) - loss * steady_sum(short)) for long, short, gain, loss in drawn
    ]

    assert min(gains) >= c.GAIN_LEAST - 1e-12
    assert np.mean(gains) == pytest.approx(c.GAIN_MEAN, abs=ERRORS * c.GAIN_SD / math.sqrt(500))


def test_the_body_answers_load_as_the_published_model(people):
    person = people[3]
    body = Body(person, stream(SEED, 3, BODY))
    body.gained_au = body.lost_au = 0.0
    loads = [0.0, 120.0, 0.0, 300.0, 90.0] * 12

    for load in loads:
        body.add(load)
        body.sleep_over_it()

    expected = response_banister_1975(
        daily_load_au=loads,
        start=0.0,
        gain=person.gain,
        loss=person.loss,
        long_days=person.long_days,
        short_days=person.short_days,
    )
    assert body.performance == pytest.approx(expected)


def test_hard_weeks_tire_and_rest_frees(people):
    body = Body(people[4], stream(SEED, 4, BODY))

    for _ in range(21):
        body.add(250)
        body.sleep_over_it()
    tired = np.mean([body.morning(is_ill=False).fatigue for _ in range(200)])
    for _ in range(28):
        body.sleep_over_it()
    rested = np.mean([body.morning(is_ill=False).fatigue for _ in range(200)])

    assert tired > rested + 0.5


def test_six_minute_walks_differ_by_the_published_error(people):
    body = Body(people[5], stream(SEED, 5, BODY))

    walked = np.array([body.six_minute_walk() for _ in range(4000)])

    # [chuang2012]: 54.08 m between two walks at 95 %, so 54.08 / (1.96 sqrt 2) for one.
    assert walked.std() == pytest.approx(54.08 / (1.96 * math.sqrt(2)), rel=ERRORS / math.sqrt(2 * 4000))


def test_readiness_follows_load_over_a_life(lives):
    pairs = [pair for life in lives for pair in _fatigue_and_load(life)]

    together = np.corrcoef(np.array(pairs).T)[0, 1]

    # Without a link the correlation of so many pairs stays within a few hundredths of 0.
    assert together > ERRORS / math.sqrt(len(pairs))
    assert together > 0.1


def _fatigue_and_load(life: Life) -> list[tuple[float, float]]:
    """Fatigue above the person's usual beside the load of the week before."""
    loads: Counter[date] = Counter()
    for log in life.scene.record.logs:
        loads[log.done_on] += (log.minutes or 0) * (log.effort or 0)
    return [
        (
            note.fatigue - life.scene.person.usual[1],
            sum(loads[note.noted_on - timedelta(days=n)] for n in range(1, 8)),
        )
        for note in life.scene.record.notes
        if note.illness is Illness.NONE
    ]


def test_nobody_does_hard_work_without_every_condition_met(lives):
    promoted = [
        evidence_from(decision.evidence_json)
        for life in lives
        for decision in life.scene.record.decisions
        if decision.kind is DecisionKind.PROMOTE
    ]

    assert promoted
    assert all(one.is_met for found in promoted for one in found)
    assert any({one.key for one in found} == set(CONDITION_KEYS) for found in promoted)


def test_hard_sessions_are_planned_in_phases_of_hard_work_only(lives):
    found = [(session.planned_on, life) for life in lives for session in life.scene.record.planned if session.is_hard]

    assert found
    assert all(
        any(
            decision.since_on <= on and decision.phase in HARD_WORK_PHASES for decision in life.scene.record.decisions
        )
        for on, life in found
    )


def test_names_are_made_of_our_own_syllables():
    names = {invented_name(np.random.default_rng(number)) for number in range(400)}

    assert len(names) > 350
    assert all(len(name.split()) == 2 for name in names)
