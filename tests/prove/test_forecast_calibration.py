"""Do four ranges in five hold? Forecasts of simulated clients, who live by other rules than the forecast believes."""

from __future__ import annotations

import os
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor

from tests.forecast_calibration import BEYOND, Counted, Tried, counted, tried
from tests.forecast_lives import cases
from tests.prove import report

CLIENTS = int(os.environ.get("FOOTHILL_FORECAST_CLIENTS", "220"))
#: Not among the seeds the model was tuned on.
SEED = 20261201
WEEKS_IN = (8, 16, 26)
LEAST_FORECASTS = 500
HOLDS = (0.74, 0.86)
#: Fewer than all of them, so the share wavers more.
NAMED_HOLDS = (0.70, 0.90)
COURSES = 400
AT_ONCE = 2
PARTS = 12
SENTENCE = (
    "Simulated clients live 2.6 years each; on three days of their base (8, 16 and 26 weeks in) a forecast is made "
    "from what was known that morning, and compared with the first Monday on which the practice's own rules found "
    "the six conditions of training met. The clients differ from what the forecast assumes: weekday habits, a "
    "season, weeks that resemble the week before, bouts of illness and travel, blocks of their own coach. Those who "
    "leave the practice within the 78 weeks looked at are left out. An 80 % range has to hold for 74 to 86 of 100 "
    "(for 70 to 90 of the fewer that name a middle date). The model was tuned on the "
    "seeds 11 and 12; a first trial on seed 20261129 held for 86.4 of 100, so that the drift was made smaller."
)
COLUMNS = ("forecasts", "how many", "range held", "before it", "after it", "before the middle", "after the middle")


def test_four_ranges_in_five_hold() -> None:
    began = time.monotonic()

    with ProcessPoolExecutor(AT_ONCE) as pool:
        some = [one for part in pool.map(_part, range(PARTS)) for one in part]

    named = [one for one in some if one.has_middle]
    print(_kept(some, named, time.monotonic() - began))
    assert len(some) >= LEAST_FORECASTS
    assert HOLDS[0] <= counted(some).inside <= HOLDS[1]
    assert NAMED_HOLDS[0] <= counted(named).inside <= NAMED_HOLDS[1]


def _part(number: int) -> list[Tried]:
    """The forecasts of every so manieth client."""
    numbers = range(1 + number, CLIENTS + 1, PARTS)
    return tried(cases(numbers, seed=SEED, weeks_in=WEEKS_IN), courses=COURSES)


def _kept(some: Sequence[Tried], named: Sequence[Tried], seconds: float) -> str:
    late = [one for one in some if not one.has_middle]
    ended = [one for one in some if one.late < BEYOND]
    groups = (
        ("all forecasts", some),
        ("with a middle date within 78 weeks", named),
        ("with both ends within 78 weeks", ended),
        ("more likely than not later than that", late),
    )
    return report.keep(
        "Calibration of the forecast",
        command=f"make prove (tests/prove/test_forecast_calibration.py, {CLIENTS} clients, {AT_ONCE} at once, "
        f"seed {SEED}, {seconds / 60:.0f} min)",
        sentence=SENTENCE,
        columns=COLUMNS,
        rows=[_row(name, counted(list(group))) for name, group in groups if group],
    )


def _row(name: str, one: Counted) -> tuple[object, ...]:
    share = [f"{count / one.forecasts:.1%}" for count in (one.before, one.after, one.before_middle, one.after_middle)]
    return (name, one.forecasts, f"{one.inside:.1%}", *share)
