"""A recording as a table that any spreadsheet opens and our own reader takes back without a question."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from app.coaching.recording_samples import Place
from app.coaching.recordings import Recording, Series

_HEADERS: Mapping[str, tuple[str, int]] = {
    "power_w": ("power (W)", 1),
    "heart_rate_bpm": ("heart rate (bpm)", 1),
    "speed_m_per_s": ("speed (m/s)", 3),
    "cadence_per_min": ("cadence (per min)", 1),
    "altitude_m": ("altitude (m)", 1),
    "distance_m": ("distance (m)", 2),
    Place.LATITUDE: ("latitude (deg)", 6),
    Place.LONGITUDE: ("longitude (deg)", 6),
}


def recording_csv(recording: Recording, places: Mapping[Place, Series]) -> bytes:
    """One row a second, unknown values as empty cells; numbers only, so nothing to guard a spreadsheet from."""
    columns: dict[str, Series] = {
        name: values for name in recording.channels if (values := recording.channel(name)) is not None
    }
    columns |= {str(place.value): values for place, values in places.items()}
    headers = ",".join(("time (s)", *(_HEADERS[name][0] for name in columns)))
    cells = [_cells(values, _HEADERS[name][1]) for name, values in columns.items()]
    rows = (",".join((str(second), *row)) for second, row in enumerate(zip(*cells, strict=True)))
    return "\r\n".join((headers, *rows, "")).encode()


def _cells(values: Series, decimals: int) -> list[str]:
    return ["" if np.isnan(value) else f"{value:.{decimals}f}" for value in values]
