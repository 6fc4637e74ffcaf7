"""Recordings written for tests: GPX and tables, with whatever a test wants wrong in them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"'
STARTED = datetime(2026, 11, 24, 16, 30, tzinfo=UTC)
#: Three metres north on a sphere of the mean radius.
STEP_DEG = 3 / 111_195.08


def point(second: float, *, moved: float | None = None, more: str = "", started: datetime = STARTED) -> str:
    """One point of a track, three metres north of the last one for every second moved."""
    at = (started + timedelta(seconds=second)).isoformat().replace("+00:00", "Z")
    north = 48.0 + STEP_DEG * (second if moved is None else moved)
    return f'<trkpt lat="{north:.8f}" lon="11.0"><time>{at}</time>{more}</trkpt>'


def gpx(*segments: Iterable[str], attributes: str = "") -> bytes:
    """A track of segments."""
    inner = "".join(f"<trkseg>{''.join(one)}</trkseg>" for one in segments)
    return f"{HEAD}{attributes}><trk>{inner}</trk></gpx>".encode()


def steady(seconds: int = 120, more: Callable[[int], str] = lambda _: "") -> list[str]:
    """Points one a second at three metres a second."""
    return [point(second, more=more(second)) for second in range(seconds)]


def rounds_gpx(*, rounds: int = 4, work_s: int = 240, rest_s: int = 240, warm_up_s: int = 600) -> bytes:
    """A ride with power and heart rate, easy but for its rounds."""
    seconds = warm_up_s + rounds * (work_s + rest_s)

    def more(second: int) -> str:
        into = second - warm_up_s
        is_work = into >= 0 and into % (work_s + rest_s) < work_s
        power, heart = (240 + second % 5, 160) if is_work else (110 + second % 7, 120)
        return f"<extensions><a:power xmlns:a='urn:a'>{power}</a:power><hr>{heart}</hr></extensions>"

    return gpx(steady(seconds, more))


def table(header: str, rows: Iterable[str]) -> bytes:
    """A logger's table."""
    return "\r\n".join((header, *rows)).encode()
