"""Invented recordings beside the last sessions of those in the demo who carry a recorder."""

from __future__ import annotations

import hashlib
from datetime import timedelta

import numpy as np

from app.coaching.people import Mode, Origin
from app.coaching.prescriptions import SessionKind
from app.coaching.recording_about import about, to_json
from app.coaching.recording_samples import Samples
from app.coaching.recording_series import READING_VERSION, lay
from app.coaching.recordings import Series, SpeedSource
from app.coaching.session_logs import RoundDone, SessionLog
from app.demo.diary import Diary
from app.files.kept_series import SERIES_FORMAT, pack
from app.storage import recordings, session_logs
from app.storage.recordings import KeptRecording

#: Who records, and over how many weeks.
RECORDED_KEYS = ("matthis", "mirela", "ruud")
RECORDED_FOR = timedelta(weeks=6)
_WARM_UP_S, _REST_S, _COOL_DOWN_S = 900, 240, 600
_EASY_SHARE, _REST_SHARE = 0.58, 0.42
_HEART_TAU_S, _HEART_REST, _HEART_SPAN = 38.0, 92.0, 78.0
_BEGINS_AT = 17
#: So many of the newest easy sessions, none shorter than this.
EASY_RECORDED = 2
_EASY_LEAST_MIN = 30
_EASY_W, _EASY_M_PER_S, _EASY_HEART, _STOP_S = 110.0, 2.6, 122.0, 40


def write_recordings(diary: Diary) -> None:
    """Keep a recording beside each hard session of the last weeks, and beside the newest easy ones."""
    if diary.part.key not in RECORDED_KEYS:
        return
    logs = session_logs.between(
        diary.db, client_ids=[diary.client.id], from_on=diary.today - RECORDED_FOR, until_on=diary.today
    )
    for log in logs:
        if len(log.rounds) > 1:
            _keep(diary, log, _samples(diary, log, _dice(log)))
    easy = [log for log in logs if log.kind is SessionKind.EASY and (log.minutes or 0) >= _EASY_LEAST_MIN]
    for log in easy[-EASY_RECORDED:]:
        _keep(diary, log, _easy_samples(diary, log, _dice(log)))


def _dice(log: SessionLog) -> np.random.Generator:
    return np.random.default_rng(log.id)


def _keep(diary: Diary, log: SessionLog, samples: Samples) -> None:
    at = diary.at(log.done_on, _BEGINS_AT)
    laid = lay(samples, latest_at=log.entered_at + timedelta(days=1))
    series = pack(laid.recording, {})
    recording = KeptRecording(
        id=0,
        client_id=diary.client.id,
        session_log_id=log.id,
        origin=Origin.CLIENT,
        file_kind="csv",
        file_sha256=hashlib.sha256(series).hexdigest(),
        file_bytes=8 * len(series),
        started_at=laid.recording.started_at,
        duration_s=int(laid.recording.duration_s),
        has_places=False,
        about_json=to_json(about(laid)),
        series_bytes=0,
        series_format=SERIES_FORMAT,
        reading_version=READING_VERSION,
        edges_json=None,
        edges_at=None,
        edges_by=None,
        added_at=max(log.entered_at, at),
        person_id=diary.entering,
        removed_at=None,
        removed_by=None,
    )
    recordings.add(diary.db, recording=recording, series=series)


def _samples(diary: Diary, log: SessionLog, rng: np.random.Generator) -> Samples:
    """Warm-up, the rounds with their recoveries, cool-down: what was put out, the heart behind it, the cadence."""
    by_power = log.rounds[0].power_w is not None
    outputs = [float((one.power_w if by_power else one.speed_m_per_s) or 0.0) for one in log.rounds]
    usual = sum(outputs) / len(outputs)
    parts = [np.full(_WARM_UP_S, _EASY_SHARE * usual)]
    for one, output in zip(log.rounds, outputs, strict=True):
        rest_s = _REST_S + int(rng.integers(-10, 25))
        parts += [_round(one, output, rng), np.full(rest_s, _REST_SHARE * usual)]
    parts.append(np.full(_COOL_DOWN_S, 0.9 * _EASY_SHARE * usual))
    wanted = np.concatenate(parts)
    noise = 0.04 if by_power else 0.025
    seen = np.maximum(0.0, wanted * (1 + noise * _smooth(rng.normal(size=wanted.size), 3)))
    values: dict[str, Series] = {"power_w" if by_power else "speed_m_per_s": seen}
    values["heart_rate_bpm"] = np.rint(_heart(wanted / usual, rng))
    values["cadence_per_min"] = np.rint(_cadence(log, wanted / usual, rng))
    start = diary.at(log.done_on, _BEGINS_AT).timestamp()
    # A strap that slips for some seconds.
    slip = int(rng.integers(_WARM_UP_S, wanted.size - 60))
    values["heart_rate_bpm"][slip : slip + int(rng.integers(4, 12))] = np.nan
    source = SpeedSource.SATELLITE if not by_power else None
    return Samples(start + np.arange(wanted.size, dtype=float), values, has_calendar=True, speed_source=source)


def _easy_samples(diary: Diary, log: SessionLog, rng: np.random.Generator) -> Samples:
    """Steady going that wanders a little, one stop at a road, and a heart that drifts up a few beats."""
    by_power = log.mode in (Mode.RIDE, Mode.INDOOR_RIDE)
    seconds = int(60 * (log.minutes or 0.0))
    level = _EASY_W if by_power else _EASY_M_PER_S
    share = np.linspace(0, 1, seconds)
    steady = level * (1 + 0.03 * np.sin(2 * np.pi * 3 * share)) * (1 + 0.03 * _smooth(rng.normal(size=seconds), 9))
    stop = int(rng.integers(seconds // 3, seconds // 2))
    steady[stop : stop + _STOP_S] = 0.0
    heart = _EASY_HEART + 5 * share + _smooth(rng.normal(size=seconds), 9)
    heart[:180] -= np.linspace(25, 0, 180)
    values: dict[str, Series] = {"power_w" if by_power else "speed_m_per_s": steady, "heart_rate_bpm": np.rint(heart)}
    start = diary.at(log.done_on, _BEGINS_AT).timestamp()
    source = None if by_power else SpeedSource.SATELLITE
    return Samples(start + np.arange(seconds, dtype=float), values, has_calendar=True, speed_source=source)


def _round(one: RoundDone, output: float, rng: np.random.Generator) -> Series:
    """A round that begins a little high, dips about the third minute and comes back, at its own mean."""
    share = np.linspace(0, 1, one.duration_s)
    shape = 1 + 0.03 * np.exp(-share * 9) - 0.02 * np.exp(-(((share - 0.65) / 0.12) ** 2)) + 0.01 * share
    shape += rng.normal(scale=0.004)
    return np.asarray(output * shape / shape.mean(), dtype=np.float64)


def _heart(share: Series, rng: np.random.Generator) -> Series:
    wanted = _HEART_REST + _HEART_SPAN * np.clip(share - 0.25, 0, 1) / 0.75
    followed = np.empty_like(wanted)
    rate = wanted[0] - 20
    for second, one in enumerate(wanted):
        rate += (one - rate) / _HEART_TAU_S
        followed[second] = rate
    return followed + 4 * np.linspace(0, 1, wanted.size) + _smooth(rng.normal(size=wanted.size), 5)


def _cadence(log: SessionLog, share: Series, rng: np.random.Generator) -> Series:
    usual = 172.0 if log.mode is Mode.RUN else 86.0
    return usual - 6 + 6 * np.clip(share, 0, 1) + 1.2 * _smooth(rng.normal(size=share.size), 8)


def _smooth(values: Series, over_s: int) -> Series:
    """A moving mean, brought back to its former spread."""
    kernel = np.ones(over_s) / over_s
    return np.asarray(np.convolve(values, kernel, mode="same") * np.sqrt(over_s), dtype=np.float64)
