"""Pace as a target of running rounds: a ladder from a 5-km race, by time, by distance or by the mile."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching import ladders
from app.coaching.done_work import done_minutes
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.history import History
from app.coaching.holds import HoldKind
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_logs import SessionLog
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_by_words import effort_first
from app.coaching.target_values import Option, TargetScene, missing_option
from app.coaching.weeks import day_words, local_day, week_start
from app.physiology.mile_rounds import FIVE_KM_M, five_km_pace
from app.physiology.units import KILOMETRE_M, MILE_M
from app.physiology.values import Missing, OutOfRange

#: A race counts for twelve weeks, and pace is for who has run so long without pain.
RACE_COUNTS = timedelta(weeks=12)
RUNNING_WEEKS = 12
#: In so many of those weeks a run is logged (house choice: two weeks without are no break).
WEEKS_WITH_A_RUN = 10
SAME_DISTANCE_FRACTION = 0.02
_LADDER_RULE = (
    "A 5 km raced within 12 weeks: in the first session from 15 s a kilometre slower down to 5-km pace, later 103, "
    "100, 99 and 98 % of its time. No race, or under 12 weeks of pain-free running: uphill walking."
)
_MILE_RULE = (
    "Miles about 5 s quicker each, the last at 5-km pace, at most 8 km in all; slower than 8:30 a mile: rounds of "
    "six minutes."
)
_MISSED_LAPS = (
    "Recreational runners miss an asked-for 400 m by 9.5 s (SD 6.6; Green et al. 2010): 5 to 10 s a lap early on is "
    "no fault."
)


def ladder_option(scene: TargetScene) -> Option | None:
    """A pace for each round out of a 5-km race; None for anything but running."""
    if scene.mode is not Mode.RUN:
        return None
    title = "Pace ladder, from a 5-km race"
    race = _race_of(scene)
    missing = _not_for_pace(scene, race)
    if missing or race is None or race.duration_s is None:
        return missing_option("pace_ladder", TargetForm.PACE, title, missing, rule=_LADDER_RULE)
    is_first = scene.is_first_by(TargetForm.PACE)
    make = ladders.first_session_ladder if is_first else ladders.percent_ladder
    try:
        paces = make(five_km_time_s=race.duration_s, rounds=scene.asked.rounds)
    except OutOfRange as refusal:
        return missing_option("pace_ladder", TargetForm.PACE, title, [str(refusal)], rule=_LADDER_RULE)
    paces = tuple(scene.after_days_off(one, TargetForm.PACE) for one in paces)
    how = _how_it_climbs(five_km_pace(race.duration_s), scene.asked.rounds, is_first=is_first)
    why = _race_why(
        scene,
        race,
        race.duration_s,
        Figure("which ladder", how),
        rule=_LADDER_RULE,
        formula="first_session_ladder" if is_first else "percent_ladder",
    )
    return _ladder("pace_ladder", title, _target(paces, scene.wishes.distance_m, race, why), how)


def mile_option(scene: TargetScene) -> Option | None:
    """Rounds of a mile; None unless the session is a run of three rounds or more that are long enough for a mile."""
    is_fitting = scene.asked.work_s >= ladders.SIX_MINUTES_S and scene.asked.rounds >= ladders.FEWEST_MILES
    if scene.mode is not Mode.RUN or not is_fitting:
        return None
    title = "Rounds of a mile, from a 5-km race"
    race = _race_of(scene)
    missing = _not_for_pace(scene, race)
    if scene.is_first_by(TargetForm.PACE) and not missing:
        missing = ("the first session by pace is the gentler ladder above",)
    if missing or race is None or race.duration_s is None:
        return missing_option("pace_miles", TargetForm.PACE, title, missing, rule=_MILE_RULE)
    try:
        times = ladders.mile_round_times(five_km_time_s=race.duration_s, rounds=scene.asked.rounds)
    except OutOfRange as refusal:
        return missing_option("pace_miles", TargetForm.PACE, title, [str(refusal)], rule=_MILE_RULE)
    if isinstance(times, Missing):
        return missing_option("pace_miles", TargetForm.PACE, title, [times.reason], rule=_MILE_RULE)
    usual = Figure("usual for this 5-km time", f"{ladders.usual_miles(race.duration_s)} miles")
    why = _race_why(scene, race, race.duration_s, usual, rule=_MILE_RULE, formula="mile_round_times")
    paces = tuple(scene.after_days_off(one * KILOMETRE_M / MILE_M, TargetForm.PACE) for one in times)
    how = f"each {ladders.MILE_STEP_S:.0f} s quicker than the one before, the last at 5-km pace"
    return _ladder("pace_miles", title, _target(paces, MILE_M, race, why), how)


def raced_five_km(tests: Sequence[FitnessTest], day: date) -> FitnessTest | None:
    """The newest 5 km run for time that still counts on a day."""
    counting = [
        one
        for one in tests
        if one.protocol is Protocol.FIVE_KM
        and one.mode is Mode.RUN
        and one.duration_s is not None
        and (one.distance_m is None or abs(one.distance_m - FIVE_KM_M) <= SAME_DISTANCE_FRACTION * FIVE_KM_M)
        and day - RACE_COUNTS <= one.tested_on <= day
    ]
    return max(counting, key=lambda one: (one.tested_on, one.id), default=None)


def _race_of(scene: TargetScene) -> FitnessTest | None:
    race = raced_five_km(scene.history.tests, scene.day)
    return None if race is not None and scene.before_afresh(race.tested_on) else race


def _not_for_pace(scene: TargetScene, race: FitnessTest | None) -> tuple[str, ...]:
    found = [effort_first(scene)] if scene.is_paced_by_effort_only else []
    if race is None:
        older = [one for one in scene.history.tests if one.protocol is Protocol.FIVE_KM and one.mode is Mode.RUN]
        last = f"; the last is of {day_words(older[-1].tested_on)}" if older else ""
        stale = scene.before_afresh(older[-1].tested_on) if older else ""
        found.append(
            f"no 5 km raced within 12 weeks that counts{last}, {stale}"
            if stale
            else f"no 5 km raced within 12 weeks{last}"
        )
    return (*found, *not_for_pace_here(scene))


def not_for_pace_here(scene: TargetScene) -> list[str]:
    """What speaks against pace: a hill, and weeks without a run or an injury in the last twelve."""
    first = week_start(scene.day) - timedelta(weeks=RUNNING_WEEKS)
    weeks = {week_start(one.done_on) for one in _runs(scene.history) if first <= one.done_on < week_start(scene.day)}
    found = ["pace is for flat ground; uphill goes by effort"] if scene.is_on_a_hill else []
    if len(weeks) < WEEKS_WITH_A_RUN:
        found.append(
            f"a run is logged in {len(weeks)} of the last {RUNNING_WEEKS} weeks; pace asks for {WEEKS_WITH_A_RUN}. "
            "Uphill walking instead"
        )
    zone = scene.history.client.zone
    hurt = [
        one
        for one in scene.history.holds
        if one.kind is HoldKind.INJURY and (one.lifted_at is None or local_day(one.lifted_at, zone) >= first)
    ]
    if hurt:
        found.append("an injury or pain within the last twelve weeks. Uphill walking instead, where it does not hurt")
    return found


def _runs(history: History) -> list[SessionLog]:
    return [one for one in history.logs if one.mode is Mode.RUN and done_minutes(one) > 0]


def _race_why(scene: TargetScene, race: FitnessTest, time_s: float, more: Figure, *, rule: str, formula: str) -> Why:
    pace = five_km_pace(time_s)
    return Why(
        (
            Figure("5 km raced", f"{ladders.clock(time_s)} on {day_words(race.tested_on)}"),
            Figure("5-km pace", f"{ladders.clock(pace)} a km, {ladders.clock(pace * MILE_M / KILOMETRE_M)} a mile"),
            Figure("recovery", "walked" if ladders.walks_between(time_s) else "jogged"),
            more,
            *scene.days_off_figures,
        ),
        rule,
        Provenance.COMMON_PRACTICE,
        None,
        "A newer race, or twelve weeks passing since this one.",
        (formula,),
    )


def _target(paces: Sequence[float], distance_m: float | None, race: FitnessTest, why: Why) -> SessionTarget:
    basis = f"5 km in {ladders.clock(race.duration_s or 0)} on {day_words(race.tested_on)}"
    return SessionTarget(TargetForm.PACE, None, None, None, tuple(paces), distance_m, basis, why)


def _how_it_climbs(pace_s_per_km: float, rounds: int, *, is_first: bool) -> str:
    """Why the rounds differ, beside the 5-km pace they are made from."""
    pace = f"5-km pace ({ladders.clock(pace_s_per_km)})"
    slower = f"{ladders.FIRST_SESSION_SLOWER_S_PER_KM:.0f} s a km slower than {pace}"
    if is_first and rounds == 1:
        return f"the first session by pace is {slower}"
    if is_first:
        return f"the first session by pace begins {slower} and ends at it, with even steps between"
    shares = ", ".join(f"{100 * one:.0f}" for one in ladders.ladder_fractions(rounds))
    return f"{shares} % of the time at {pace}"


def _ladder(key: str, title: str, target: SessionTarget, how: str) -> Option:
    said = ", ".join(ladders.clock(one) for one in target.rounds)
    by = f" Rounds of {target.distance_m:.0f} m." if target.distance_m is not None else ""
    sentence = f"{said} a km, round by round: {how}.{by}"
    return Option(key, TargetForm.PACE, title, target, (), sentence, _MISSED_LAPS, target.why)
