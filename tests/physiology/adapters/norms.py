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


ADAPTERS: dict[str, Callable[[Row], float | str]] = {"percentile_rank": percentile_rank}
