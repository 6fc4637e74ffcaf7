"""Rows about load, its averages, the answer to load, and readiness."""

from __future__ import annotations

import re
from collections.abc import Callable

from app.physiology import heart_rate_load as hearts
from app.physiology import impulse_response as impulse
from app.physiology import load, readiness
from app.physiology import load_averages as averages
from app.physiology.percent_change import change_percent, response_montero_2017
from app.physiology.taper import exponential_taper_mean_percent
from app.physiology.values import Missing, Sex
from tests.physiology.adapters.reading import Inputs, all_numbers, first_number, numbers, plain

Answer = float | str


def session_load(inputs: Inputs) -> Answer:
    if "sessions" not in inputs:
        return load.session_load_foster_2001(effort=float(inputs["rpe"]), minutes=float(inputs["minutes"]))
    pairs = [part.split("x") for part in inputs["sessions"].partition(" ")[0].split("|")]
    loads = [load.session_load_foster_2001(effort=float(rpe), minutes=float(minutes)) for rpe, minutes in pairs]
    return load.day_load_foster_2001(session_loads_au=loads)


_MONOTONY = {"1": load.monotony_sample_foster_1998, "0": load.monotony_population_foster_1998}


def _week(text: str) -> list[float | None]:
    known, _, unknown = text.partition(" and ")
    return [*numbers(known), *([None] * int(unknown.split()[0]) if unknown else [])]


def weekly_load(inputs: Inputs) -> Answer:
    return plain(load.weekly_load_foster_1998(daily_load_au=_week(inputs["daily"])))


def monotony(inputs: Inputs) -> Answer:
    form = _MONOTONY[inputs.get("ddof", "1")]
    return plain(form(daily_load_au=_week(inputs["daily"])))


def strain(inputs: Inputs) -> Answer:
    return plain(load.strain_foster_1998(daily_load_au=_week(inputs["daily"])))


def banister(inputs: Inputs) -> Answer:
    if "segments" in inputs:
        parts = [all_numbers(part) for part in inputs["segments"].split("|")]
        minutes, rates = [part[0] for part in parts], [part[1] for part in parts]
    else:
        minutes, rates = [float(inputs["minutes"])], [float(inputs["hr"])]
    given = {
        "minutes": minutes,
        "heart_rates_bpm": rates,
        "resting_bpm": float(inputs["hr_rest"]),
        "maximum_bpm": float(inputs["hr_max"]),
        "sex": Sex(inputs["sex"].upper()),
    }
    if "base" in inputs:
        given["base"] = float(inputs["base"])
    return plain(hearts.training_impulse_banister_1991(**given))


def summated(inputs: Inputs) -> Answer:
    minutes = [float(value) for value in inputs.values()]
    lower_edges = [float(name.split("_")[1]) for name in inputs]
    return hearts.summated_load_edwards_1993(minutes=minutes, percents_of_maximum=lower_edges).value


def summated_edge(inputs: Inputs) -> Answer:
    if "hr" in inputs:
        percent = 100 * float(inputs["hr"]) / float(inputs["hr_max"])
        weight = hearts.heart_rate_weight_edwards_1993(percent_of_maximum=percent)
        return f"zone {weight} (weight {weight})"
    minutes, percents = [float(inputs["minutes"])], [float(inputs["pct_hrmax"])]
    return hearts.summated_load_edwards_1993(minutes=minutes, percents_of_maximum=percents).value


def thresholds(inputs: Inputs) -> Answer:
    return hearts.threshold_load_lucia_2003(
        minutes_below_first=float(inputs["min_below_VT1"]),
        minutes_between=float(inputs["min_VT1_VT2"]),
        minutes_above_second=float(inputs["min_above_VT2"]),
    ).value


def log_linear_curve(inputs: Inputs) -> Answer:
    curve = hearts.lactate_curve_log_linear_manzi_2009(
        reserve_fractions=numbers(inputs["x"]), lactates_mmol_per_l=numbers(inputs["lactate"])
    )
    assert not isinstance(curve, Missing)
    return {"A": curve.factor_mmol_per_l, "B": curve.exponent}[inputs["want"]]


def non_linear_curve(inputs: Inputs) -> Answer:
    curve = hearts.lactate_curve_non_linear_manzi_2009(
        reserve_fractions=numbers(inputs["x"]), lactates_mmol_per_l=numbers(inputs["lactate"])
    )
    assert not isinstance(curve, Missing)
    return curve.exponent


def _days(inputs: Inputs) -> list[float]:
    """`300*28|450*7` or `100|0|200`, up to the day asked for."""
    days: list[float] = []
    for part in inputs["daily"].split("|"):
        value, _, times = part.partition("*")
        days += [float(value)] * int(times or 1)
    return days[: int(inputs.get("day", len(days)))]


def exponential(inputs: Inputs) -> Answer:
    return plain(averages.exponential_average_williams_2017(daily_load_au=_days(inputs), days=float(inputs["N"])))


def one_load(inputs: Inputs) -> Answer:
    amount, day = all_numbers(inputs["load"])
    days = [0.0] * int(inputs["t"])
    days[int(day)] = amount
    return plain(
        impulse.response_banister_1975(
            daily_load_au=days,
            start=0,
            gain=float(inputs["k1"]),
            loss=float(inputs["k2"]),
            long_days=float(inputs["tau1"]),
            short_days=float(inputs["tau2"]),
        )
    )


def fading_sum(inputs: Inputs) -> Answer:
    loads, days = numbers(inputs["loads day0-6"]), int(inputs["t"])
    tau = float(inputs["tau1"] if "tau1" in inputs else inputs["tau2"])
    known = (loads + [0.0] * days)[:days]
    return plain(impulse.impulse_sum_morton_1990(daily_load_au=known, tau_days=tau))


_AVERAGE: dict[str, Callable[..., float | Missing]] = {
    "1-exp(-1/tau)": impulse.load_average_morton_1990,
    "1/tau": impulse.load_average_short_cut,
}


def average(inputs: Inputs) -> Answer:
    days = [first_number(inputs["load"])] * int(inputs["days"])
    return plain(_AVERAGE[inputs["alpha"]](daily_load_au=days, tau_days=float(inputs["tau"])))


_PLAN = re.compile(r"([\d.]+) if d mod 7 in \{([\d.,]+)\}, ([\d.]+) if d mod 7=([\d.]+), else ([\d.]+)")


def fixed_tau(inputs: Inputs) -> Answer:
    found = _PLAN.fullmatch(inputs["load(d)"])
    if found is None:
        raise ValueError("not the plan of these rows")
    usual, usual_days, long, long_day, rest = found.groups()
    week = {**dict.fromkeys(map(int, usual_days.split(",")), float(usual)), int(long_day): float(long)}
    return plain(
        impulse.response_banister_1975(
            daily_load_au=[week.get(day % 7, float(rest)) for day in range(int(inputs["t"]))],
            start=float(inputs["p0"]),
            gain=float(inputs["k1"]),
            loss=float(inputs["k2"]),
            long_days=float(inputs["tau1"]),
            short_days=float(inputs["tau2"]),
        )
    )


def percent_change(inputs: Inputs) -> Answer:
    before, after = (float(value) for value in inputs.values())
    return plain(change_percent(before=before, after=after))


def response(inputs: Inputs) -> Answer:
    before, after, error = (float(inputs[name]) for name in ("pre", "post", "typical_error_pct"))
    return str(response_montero_2017(before=before, after=after, typical_error_percent=error))


def taper(inputs: Inputs) -> Answer:
    return exponential_taper_mean_percent(tau_days=first_number(inputs["tau"]), days=int(inputs["days"]))


_HOOPER = ("sleep", "fatigue", "stress", "soreness")


def hooper(inputs: Inputs) -> Answer:
    items = {name: None if inputs[name] == "missing" else int(inputs[name]) for name in _HOOPER}
    return plain(readiness.hooper_index_1995(**items))


def hooper_bounds(inputs: Inputs) -> Answer:
    ends = (int(number) for number in all_numbers(inputs["all"]))
    return "|".join(str(readiness.hooper_index_1995(**dict.fromkeys(_HOOPER, end))) for end in ends)


def wellness(inputs: Inputs) -> Answer:
    return plain(readiness.wellness_mclean_2010(**{name: float(value) for name, value in inputs.items()}))


def own_z(inputs: Inputs) -> Answer:
    return plain(readiness.own_baseline_z(baseline=numbers(inputs["baseline"]), today=float(inputs["today"])))


def rmssd(inputs: Inputs) -> Answer:
    return plain(readiness.rmssd_task_force_1996(rr_intervals_ms=numbers(inputs["rr_ms"])))


def log_of_rmssd(inputs: Inputs) -> Answer:
    found = readiness.rmssd_task_force_1996(rr_intervals_ms=numbers(inputs["rr_ms"]))
    assert not isinstance(found, Missing)
    return readiness.ln_rmssd(rmssd_ms=found)


def range_low(inputs: Inputs) -> Answer:
    found = readiness.ln_rmssd_range_javaloyes_2019(baseline_ln_ms=numbers(inputs["baseline"]))
    assert not isinstance(found, Missing)
    return found.low


ADAPTERS: dict[str, Callable[[Inputs], Answer]] = {
    "session-RPE load": session_load,
    "weekly load": weekly_load,
    "monotony (sample SD)": monotony,
    "monotony (population SD)": monotony,
    "monotony edge case": monotony,
    "strain (sample SD)": strain,
    "Banister TRIMP": banister,
    "Banister TRIMP trap": banister,
    "Edwards summated load": summated,
    "Edwards load edge": summated_edge,
    "Lucia TRIMP": thresholds,
    "individual TRIMP fit (log-linear)": log_linear_curve,
    "individual TRIMP fit (non-linear least squares)": non_linear_curve,
    "EWMA decay": lambda inputs: averages.exponential_weight_williams_2017(days=float(inputs["N"])),
    "EWMA half-life": lambda inputs: averages.exponential_half_life_days(days=float(inputs["N"])),
    "EWMA acute": exponential,
    "EWMA chronic": exponential,
    "EWMA series": exponential,
    "ACWR rolling coupled": lambda inputs: plain(
        averages.acute_against_chronic_coupled_windt_2019(daily_load_au=_days(inputs))
    ),
    "ACWR rolling uncoupled": lambda inputs: plain(
        averages.acute_against_chronic_uncoupled_windt_2019(daily_load_au=_days(inputs))
    ),
    "coupled from uncoupled": lambda inputs: averages.coupled_from_uncoupled_lolli_2019(
        uncoupled=float(inputs["uncoupled"])
    ),
    "impulse response, one load": one_load,
    "fitness state": fading_sum,
    "fatigue state": fading_sum,
    "averaged form": average,
    "model with fixed tau": fixed_tau,
    "percent change": percent_change,
    "percent change edge": percent_change,
    "response rule": response,
    "exponential taper": taper,
    "Hooper index": hooper,
    "Hooper index missing": hooper,
    "Hooper index bounds": hooper_bounds,
    "wellness score": wellness,
    "individual z-score": own_z,
    "RMSSD": rmssd,
    "lnRMSSD": log_of_rmssd,
    "normal range lower": range_low,
    "7-day mean": lambda inputs: plain(
        readiness.ln_rmssd_week_mean_plews_2014(mornings_ln_ms=numbers(inputs["last7"]))
    ),
    "mean of logs": lambda inputs: readiness.mean_ln_rmssd(rmssd_ms=numbers(inputs["rmssd"])),
}

_IN_WORDS = "the formula in words, not a value"
_STILL_UNDEFINED = "the gap stays a gap"

UNMOVED: dict[tuple[str, str], str] = {
    ("strain (sample SD)", "ddof"): "strain is offered in the sample form only",
    ("monotony edge case", "ddof"): _STILL_UNDEFINED,
    ("WEEK-E3", "daily"): _STILL_UNDEFINED,
    ("TRIMP-07", "minutes"): "nothing times any time is nothing",
    ("TRIMP-07", "hr_max"): "below resting heart rate nothing counts",
    ("TRIMP-08", "hr_rest"): "at the maximum the share of reserve is whole",
    ("TRIMP-09", "hr_rest"): "at the maximum the share of reserve is whole",
    ("percent change edge", "current"): _STILL_UNDEFINED,
    ("EDW-04", "minutes"): "below half of maximum nothing counts",
    ("EWMA decay", "lambda"): _IN_WORDS,
    ("averaged form", "alpha"): _IN_WORDS,
    ("exponential taper", "normal"): "the answer is a share of normal",
    ("exponential taper", "load(k)"): _IN_WORDS,
    ("normal range lower", "rule"): _IN_WORDS,
    **{("Hooper index missing", name): _STILL_UNDEFINED for name in ("sleep", "fatigue", "soreness")},
}
