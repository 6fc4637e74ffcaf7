"""Rows about critical power and speed, W' balance, repetitions, kinetics and slopes."""

from __future__ import annotations

import re
from collections.abc import Callable

from app.physiology import critical_power as cp
from app.physiology import critical_power_three as three
from app.physiology import critical_speed as cs
from app.physiology import gradient_cost, kinetics, repetitions, slope
from app.physiology import w_balance as balance
from app.physiology.values import Missing
from tests.physiology.adapters.reading import Inputs, all_numbers, first_number, numbers, plain

Answer = float | str

# Some published trials lie outside 2 to 20 min on purpose: they show what goes wrong there.
_ANY_TRIAL_S = (1.0, 86_400.0)


def _fit(form: Callable[..., cp.CriticalPowerFit | Missing], inputs: Inputs) -> cp.CriticalPowerFit:
    found = form(durations_s=numbers(inputs["t"]), powers_w=numbers(inputs["power"]), limits_s=_ANY_TRIAL_S)
    if isinstance(found, Missing):
        raise ValueError(found.reason)
    return found


def power_of(form: Callable[..., cp.CriticalPowerFit | Missing]) -> Callable[[Inputs], Answer]:
    return lambda inputs: _fit(form, inputs).critical_power_w


def capacity_of(form: Callable[..., cp.CriticalPowerFit | Missing]) -> Callable[[Inputs], Answer]:
    return lambda inputs: _fit(form, inputs).w_prime_j


def predicted_power(inputs: Inputs) -> Answer:
    return cp.power_for_time_monod_1965(
        critical_power_w=float(inputs["cp"]), w_prime_j=float(inputs["w_prime"]), duration_s=float(inputs["t"])
    )


def predicted_time(inputs: Inputs) -> Answer:
    return plain(
        cp.time_for_power_monod_1965(
            critical_power_w=float(inputs["cp"]), w_prime_j=float(inputs["w_prime"]), power_w=float(inputs["power"])
        )
    )


def three_parameters(inputs: Inputs) -> Answer:
    return plain(
        three.time_for_power_morton_1996(
            critical_power_w=float(inputs["cp"]),
            w_prime_j=float(inputs["w_prime"]),
            p_max_w=float(inputs["p_max"]),
            power_w=float(inputs["power"]),
        )
    )


def running_speed(inputs: Inputs) -> Answer:
    found = cs.critical_speed_galbraith_2014(
        distances_m=numbers(inputs["distance"]), durations_s=numbers(inputs["time"])
    )
    assert not isinstance(found, Missing)
    return found.critical_speed_m_per_s


def _swims(inputs: Inputs) -> dict[str, float]:
    names = {"short_m": "d1", "short_s": "t1", "long_m": "d2", "long_s": "t2"}
    return {name: float(inputs[short]) for name, short in names.items()}


def swimming_speed(inputs: Inputs) -> Answer:
    return plain(cs.critical_speed_swimming_wakayoshi_1992(**_swims(inputs)))


def swimming_pace(inputs: Inputs) -> Answer:
    speed = cs.critical_speed_swimming_wakayoshi_1992(**_swims(inputs))
    assert not isinstance(speed, Missing)
    return cs.pace_per_100_m(speed_m_per_s=speed)


def swimming_capacity(inputs: Inputs) -> Answer:
    return plain(cs.d_prime_swimming_wakayoshi_1992(**_swims(inputs)))


_POINT = re.compile(r"end (?:of )?(rep|rest) (\d+)")


def _session(inputs: Inputs) -> list[float]:
    """Power second by second up to the point asked for: `4x(240 s at 300 W) with 180 s at 150 W`, `end rest 1`."""
    count, work_s, work_w, rest_s, rest_w = all_numbers(inputs["session"])
    found = _POINT.fullmatch(inputs["point"])
    if found is None or int(found[2]) > count:
        raise ValueError("no such point in this session")
    work, rest = [work_w] * int(work_s), [rest_w] * int(rest_s)
    powers = (work + rest) * int(found[2])
    return powers if found[1] == "rest" else powers[: len(powers) - len(rest)]


def _last(found: object) -> float:
    if isinstance(found, Missing):
        raise ValueError(found.reason)
    return float(found[-1])  # type: ignore[index]  # an array


def differential(inputs: Inputs) -> Answer:
    given = {"critical_power_w": float(inputs["cp"]), "w_prime_j": float(inputs["w_prime"])}
    if "session" in inputs:
        return _last(balance.w_balance_differential_skiba_2015(powers_w=_session(inputs), **given))
    rest_s, rest_w = all_numbers(inputs["rest"])
    return _last(
        balance.w_balance_differential_skiba_2015(
            powers_w=[rest_w], step_s=rest_s, start_j=float(inputs["start"]), **given
        )
    )


def integral(inputs: Inputs) -> Answer:
    return _last(
        balance.w_balance_integral_skiba_2012(
            powers_w=_session(inputs),
            critical_power_w=float(inputs["cp"]),
            w_prime_j=float(inputs["w_prime"]),
            tau_s=balance.recovery_tau_skiba_2012(below_critical_power_w=float(inputs["d_cp"])),
        )
    )


def two_phases(inputs: Inputs) -> Answer:
    return balance.recovered_percent_chorley_2022(
        rest_s=float(inputs["t"]),
        fast_percent=float(inputs["a1"]),
        fast_tau_s=float(inputs["tau1"]),
        slow_percent=float(inputs["a2"]),
        slow_tau_s=float(inputs["tau2"]),
    )


def near_vo2max(inputs: Inputs) -> Answer:
    return plain(
        kinetics.time_to_near_vo2max_george_2018(
            tau_s=float(inputs["tau"]),
            start_fraction=float(inputs["baseline"]),
            target_fraction=float(inputs["asymptote"]),
        )
    )


def over_repetitions(figure: Callable[..., float | Missing]) -> Callable[[Inputs], Answer]:
    return lambda inputs: plain(figure(repetitions=numbers(inputs["power"])))


def stroke_rate(inputs: Inputs) -> Answer:
    return repetitions.stroke_rate_per_min(strokes=float(inputs["strokes"]), time_s=first_number(inputs["time"]))


def stroke_length(inputs: Inputs) -> Answer:
    return repetitions.stroke_length_m(length_m=first_number(inputs["pool"]), strokes=float(inputs["strokes"]))


def between_halves(figure: Callable[..., float]) -> Callable[[Inputs], Answer]:
    return lambda inputs: figure(
        first_output=float(inputs["p1"]),
        first_heart_rate_bpm=float(inputs["hr1"]),
        second_output=float(inputs["p2"]),
        second_heart_rate_bpm=float(inputs["hr2"]),
    )


_RIDER = {
    "mass": "mass_kg",
    "CdA": "drag_area_m2",
    "Crr": "rolling_coefficient",
    "rho": "air_density_kg_per_m3",
    "I": "wheel_inertia_kg_m2",
    "r": "wheel_radius_m",
    "eff": "drive_efficiency",
}


def _rider(inputs: Inputs) -> slope.Rider:
    given = {name: float(inputs[short]) for short, name in _RIDER.items() if short in inputs}
    # Where a row names no drag of the wheels it has none.
    return slope.Rider(**given, wheel_drag_area_m2=float(inputs.get("Fw", 0)))


def _trial(inputs: Inputs) -> slope.CyclingPower:
    wind, angle = all_numbers(inputs["wind"])
    duration = float(inputs["time"])
    return slope.cycling_power_martin_1998(
        rider=_rider(inputs),
        speed_m_per_s=float(inputs["distance"]) / duration,
        slope=float(inputs["slope"]),
        headwind_m_per_s=slope.headwind_m_per_s(wind_m_per_s=wind, degrees_from_travel=angle),
        start_speed_m_per_s=float(inputs["v_start"]),
        end_speed_m_per_s=float(inputs["v_end"]),
        duration_s=duration,
    )


def term(inputs: Inputs) -> Answer:
    return float(getattr(_trial(inputs), f"{inputs['term']}_w"))


def climbing_speed(inputs: Inputs) -> Answer:
    found = slope.cycling_speed_martin_1998(
        rider=_rider(inputs),
        power_w=float(inputs["power"]),
        slope=float(inputs["slope"]),
        headwind_m_per_s=float(inputs["wind"]),
    )
    assert not isinstance(found, Missing)
    return found * 3.6


def flat_power(inputs: Inputs) -> Answer:
    return slope.cycling_power_martin_1998(
        rider=_rider(inputs),
        speed_m_per_s=float(inputs["speed_kmh"]) / 3.6,
        slope=float(inputs["slope"]),
        headwind_m_per_s=float(inputs["wind"]),
    ).total_w


def climb_rate(inputs: Inputs) -> Answer:
    return slope.climb_rate_m_per_h(slope=float(inputs["slope"]), speed_m_per_s=float(inputs["speed_kmh"]) / 3.6)


def equal_effort(inputs: Inputs) -> Answer:
    return plain(
        gradient_cost.equal_effort_pace_minetti_2002(
            flat_pace_s_per_km=float(inputs["flat_pace_s_per_km"]), slope=float(inputs["gradient"])
        )
    )


_LINE, _INVERSE = cp.critical_power_work_time_moritani_1981, cp.critical_power_inverse_time_moritani_1981

ADAPTERS: dict[str, Callable[[Inputs], Answer]] = {
    "two-trial CP": power_of(_LINE),
    "two-trial W-prime": capacity_of(_LINE),
    "predict power": predicted_power,
    "predict time": predicted_time,
    "predict time edge": predicted_time,
    "CP three trials, work-time line": power_of(_LINE),
    "W' three trials, work-time line": capacity_of(_LINE),
    "CP three trials, power-1/time line": power_of(_INVERSE),
    "W' three trials, power-1/time line": capacity_of(_INVERSE),
    "CP three trials, hyperbola, error in t": power_of(cp.critical_power_hyperbola_monod_1965),
    "CP four trials, work-time line": power_of(_LINE),
    "W' four trials, work-time line": capacity_of(_LINE),
    "CP four trials, power-1/time line": power_of(_INVERSE),
    "W' four trials, power-1/time line": capacity_of(_INVERSE),
    "CP two trials inside 2-15 min": power_of(_LINE),
    "W' two trials inside 2-15 min": capacity_of(_LINE),
    "three-parameter CP": three_parameters,
    "critical speed running": running_speed,
    "critical speed swimming": swimming_speed,
    "critical speed swimming pace": swimming_pace,
    "D' swimming": swimming_capacity,
    "tau of W-prime recovery": lambda inputs: balance.recovery_tau_skiba_2012(
        below_critical_power_w=float(inputs["d_cp"])
    ),
    "tau of W-prime recovery, elite": lambda inputs: balance.recovery_tau_bartram_2018(
        below_critical_power_w=float(inputs["d_cp"])
    ),
    "W-prime balance differential": differential,
    "W-prime balance integral": integral,
    "bi-exponential recovery": two_phases,
    "time to 90 % VO2max, ideal": near_vo2max,
    "variation between repetitions": over_repetitions(repetitions.variation_percent),
    "fade": over_repetitions(repetitions.fade_percent),
    "slope per repetition": over_repetitions(repetitions.slope_per_repetition),
    "stroke rate": stroke_rate,
    "stroke length": stroke_length,
    "heart-rate drift, half against half": between_halves(repetitions.heart_rate_drift_percent),
    "internal/external ratio": between_halves(repetitions.internal_external_ratio_smyth_2022),
    "cycling model, published worked trial": lambda inputs: _trial(inputs).total_w,
    **dict.fromkeys(
        (f"cycling model term: {name}" for name in ("air", "rolling", "bearings", "gravity", "kinetic")), term
    ),
    "climbing speed": climbing_speed,
    "power needed, flat": flat_power,
    "climb rate": climb_rate,
    "running energy cost": lambda inputs: (
        gradient_cost.running_cost_minetti_2002(slope=float(inputs["gradient"])).value
    ),
    "walking energy cost": lambda inputs: (
        gradient_cost.walking_cost_minetti_2002(slope=float(inputs["gradient"])).value
    ),
    "equal-effort pace": equal_effort,
}

_IN_WORDS = "the formula in words, not a value"
_OF_TERM = {
    "air": {"distance", "time", "wind", "rho", "CdA", "Fw"},
    "rolling": {"mass", "distance", "time", "slope", "Crr"},
    "bearings": {"distance", "time"},
    "gravity": {"mass", "distance", "time", "slope"},
    "kinetic": {"mass", "time", "v_start", "v_end", "I", "r"},
}
_OF_TRIAL = set().union(*_OF_TERM.values()) | {"eff"}
_CYCLING = ("cycling model, published worked trial", "climbing speed", "power needed, flat")

UNMOVED: dict[tuple[str, str], str] = {
    ("predict time edge", "w_prime"): "the gap stays a gap",
    ("CP-31", "w_prime"): "at the greatest power the time is nothing",
    ("CP-31", "cp"): "at the greatest power the time is nothing",
    ("tau of W-prime recovery", "tau"): _IN_WORDS,
    ("tau of W-prime recovery, elite", "tau"): _IN_WORDS,
    ("stroke rate", "pool"): "strokes in a minute do not depend on the length",
    **{(topic, "g"): "gravity is a constant" for topic in _CYCLING},
    **{
        (f"cycling model term: {name}", other): "not part of this term"
        for name, used in _OF_TERM.items()
        for other in (_OF_TRIAL | {"g"}) - used
    },
}
