"""From reference rows about norms to the public functions: names, no expected value."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from app.physiology import norms

Row = Mapping[str, str]


def percentile_rank(row: Row) -> float | str:
    rank = norms.percentile_kaminsky_2022(
        vo2max_ml_per_kg_min=float(row["vo2max"]), age_years=float(row["age"]), sex=row["sex"], mode=row["mode"]
    )
    if rank.value is not None:
        return rank.value
    return f"<{rank.lowest_percentile:g}" if rank.outside == "below" else f">{rank.highest_percentile:g}"


def _cell(edition: int) -> Callable[[Row], float]:
    def printed(row: Row) -> float:
        band = norms.grid_band(
            edition=edition, mode=row["mode"], sex=row["sex"], age_years=float(row["decade"].partition("-")[0])
        )
        cells = dict(zip(band.percentiles, band.values_ml_per_kg_min, strict=True))
        return cells[float(row["percentile"])]

    return printed


ADAPTERS: dict[str, Callable[[Row], float | str]] = {
    "percentile_rank": percentile_rank,
    **{f"norms_{edition}": _cell(edition) for edition in (2015, 2017, 2022)},
}
