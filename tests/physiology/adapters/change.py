"""From reference rows about test error to the public functions: names, no expected value."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from app.physiology import change

Row = Mapping[str, str]


def measurement_error(row: Row) -> float:
    want = row["want"]
    if want == "typical_error":
        return change.typical_error_from_retest(retest_see=float(row["retest_see"]), correlation=float(row["r"]))
    if want == "vo2_te":
        run = change.typical_error_twelve_minute_run_alvero_2017(typical_error_m=float(row["typical_error_m"]))
        return run.value
    if want in ("sem", "mdc95"):
        return _pooled(float(row["vo2max"]), want)
    if want.startswith("prob"):
        return change.chance_of_true_change_weir_2005(
            observed_change=float(row["observed_change"]),
            typical_error=float(row["te"]),
            wanted_change=float(row.get("worthwhile", 0)),
        ).value
    return change.smallest_clear_change_weir_2005(
        typical_error=_typical_error(row),
        z=float(row["z"]),
        tests_before=int(row.get("n_before", 1)),
        tests_after=int(row.get("n_after", 1)),
    )


def _pooled(vo2max: float, want: str) -> float:
    error = change.typical_error_vickers_2003(vo2max_ml_per_kg_min=vo2max).value
    return error if want == "sem" else change.smallest_clear_change_weir_2005(typical_error=error)


def _typical_error(row: Row) -> float:
    if "te" in row:
        return float(row["te"])
    if "typical_error_m" in row:
        return float(row["typical_error_m"])
    if row["want"] == "mdc_pct":
        return float(row["te_pct"])
    return change.typical_error_from_percent(value=float(row["vo2max"]), error_percent=float(row["te_pct"]))


ADAPTERS: dict[str, Callable[[Row], float | str]] = {"measurement_error": measurement_error}
