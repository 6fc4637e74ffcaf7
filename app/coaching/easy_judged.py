"""Whether an easy session was easy: talk, effort, heart rate where it is reliable, and its drift over the hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.coaching.change_points import moving_mean
from app.coaching.effort import TALK_WORDS, Band, Talk, band_of_session
from app.coaching.people import Mode
from app.coaching.planned_effort import MINUTES_ABOVE_EASY_MOST
from app.coaching.reasons import Figure
from app.coaching.recordings import Recording, Series
from app.coaching.rounds_signal import RoundSeries, filled, round_series
from app.coaching.rounds_values import RoundSignal
from app.coaching.rules import Rules
from app.physiology.repetitions import DRIFT_BEGINS_S, heart_rate_drift_percent
from app.physiology.values import Missing

#: Drift is looked at over an hour at most, and needs so much of it (house choices).
_DRIFT_LASTS_S = 3600
_DRIFT_LEAST_S = 1200
#: Output whose minutes vary more is not steady, and its drift says nothing (house choice).
_STEADY_PERCENT = 12.0
#: After a stop the heart needs so long to be where it was (house choice, about two of its time constants).
_AFTER_STOP_S = 90
_HEART_MEAN_S = 30
#: What a drift is called: convention, not published.
DRIFT_WORTH_A_WORD_PERCENT = 5.0


@dataclass(frozen=True, slots=True)
class EasyTold:
    """What is known of an easy session beside its recording; None is not known."""

    talk: Talk | None = None
    effort: float | None = None
    after_transition: bool = True
    was_hot: bool = False
    #: The client's upper edge of easy by heart rate; None unless measured and heart rate is reliable.
    easy_highest_bpm: float | None = None
    heart_rate_counts: bool = True


@dataclass(frozen=True, slots=True)
class EasyJudged:
    """The judgement: easy or not, or not known (None), what decided it, and the figures."""

    was_easy: bool | None
    decided_by: str
    sentence: str
    reasons: tuple[Figure, ...]
    #: What speaks otherwise, to be shown beside it; empty when all agree.
    disagreements: tuple[str, ...]
    #: Output per heartbeat, second half against the first, %; positive is a drift.
    drift_percent: float | Missing
    #: Minutes with the heart above the upper edge of easy.
    above_min: float | Missing


def judge_easy(recording: Recording | None, told: EasyTold, *, rules: Rules, mode: Mode | None = None) -> EasyJudged:
    """Whether an easy session was easy.

    The talk answer beats the number, the number beats heart rate; what disagrees is said. Heart rate alone decides
    only where nothing was answered: then at most 5 min above the client's own edge of easy. Drift never decides.
    Source: common practice, no published source.
    """
    above = _above(recording, told)
    drift = _drift(recording, told, mode)
    answer = band_of_session(talk=told.talk, effort=told.effort, after_transition=told.after_transition, rules=rules)
    by_heart = None if isinstance(above, Missing) else above <= MINUTES_ABOVE_EASY_MOST
    was_easy = answer.band is Band.EASY if answer is not None else by_heart
    decided_by = answer.decided_by if answer is not None else "heart rate" if by_heart is not None else "nothing"
    disagreements = [answer.disagreement] if answer is not None and answer.disagreement else []
    if answer is not None and by_heart is not None and by_heart != was_easy:
        disagreements.append(_heart_words(above))
    return EasyJudged(
        was_easy=was_easy,
        decided_by=decided_by,
        sentence=_sentence(was_easy, decided_by, told, above),
        reasons=_reasons(told, above, drift),
        disagreements=tuple(disagreements),
        drift_percent=drift,
        above_min=above,
    )


def _above(recording: Recording | None, told: EasyTold) -> float | Missing:
    if not told.heart_rate_counts:
        return Missing("heart rate is not reliable for this client")
    if told.was_hot:
        return Missing("a hot day makes the heart beat faster by itself")
    if told.easy_highest_bpm is None:
        return Missing("the client's upper edge of easy by heart rate is not known")
    if recording is None or recording.heart_rate_bpm is None or not np.isfinite(recording.heart_rate_bpm).any():
        return Missing("no heart rate was recorded")
    smooth = moving_mean(filled(recording.heart_rate_bpm), _HEART_MEAN_S)
    is_known = np.isfinite(recording.heart_rate_bpm)
    return float(np.count_nonzero((smooth > told.easy_highest_bpm) & is_known)) / 60


def _drift(recording: Recording | None, told: EasyTold, mode: Mode | None) -> float | Missing:
    """Halves of the hour after the first ten minutes, without stops and what follows them."""
    if told.was_hot:
        return Missing("a hot day makes the heart drift by itself")
    if not told.heart_rate_counts:
        return Missing("heart rate is not reliable for this client")
    if recording is None:
        return Missing("nothing was recorded")
    series = round_series(recording, mode)
    if isinstance(series, Missing):
        return series
    if series.signal is RoundSignal.HEART_RATE or recording.heart_rate_bpm is None:
        return Missing("drift needs heart rate beside power or speed")
    return _drift_of(series, recording.heart_rate_bpm)


def _drift_of(series: RoundSeries, heart: Series) -> float | Missing:
    counts = ~_with_what_follows(series) & np.isfinite(heart)
    counts[: int(DRIFT_BEGINS_S)] = False
    places = np.flatnonzero(counts)[:_DRIFT_LASTS_S]
    if len(places) < _DRIFT_LEAST_S:
        return Missing("fewer than 20 min of steady going are left after the first ten minutes and the stops")
    output, beats = series.values[places], heart[places]
    minutes = output[: len(output) // 60 * 60].reshape(-1, 60).mean(axis=1)
    if 100 * float(minutes.std(ddof=1) / minutes.mean()) > _STEADY_PERCENT:
        return Missing("the going was not steady enough for its drift to say anything")
    half = len(places) // 2
    return heart_rate_drift_percent(
        first_output=float(output[:half].mean()),
        first_heart_rate_bpm=float(beats[:half].mean()),
        second_output=float(output[half:].mean()),
        second_heart_rate_bpm=float(beats[half:].mean()),
    )


def _with_what_follows(series: RoundSeries) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Silent seconds, and those after each while the heart comes back."""
    quiet = np.concatenate([[0], np.cumsum(series.is_silent)])
    place = np.arange(1, len(quiet))
    return np.asarray(quiet[place] - quiet[np.maximum(0, place - _AFTER_STOP_S)] > 0)


def _sentence(was_easy: bool | None, decided_by: str, told: EasyTold, above: float | Missing) -> str:
    if was_easy is None:
        return "Not known whether it was easy: nothing was answered, and heart rate does not say."
    word = "It was easy" if was_easy else "It was not easy"
    if decided_by == "talk answer" and told.talk is not None:
        return f"{word}: “{TALK_WORDS[told.talk]}”."
    if decided_by == "effort":
        return f"{word}: effort {told.effort:g}."
    return f"{word}: {_heart_words(above)}."


def _heart_words(above: float | Missing) -> str:
    if isinstance(above, Missing):
        return above.reason
    return f"{above:.0f} min with the heart above the edge of easy (up to {MINUTES_ABOVE_EASY_MOST:g} are easy)"


def _reasons(told: EasyTold, above: float | Missing, drift: float | Missing) -> tuple[Figure, ...]:
    beside = "" if isinstance(drift, Missing) or drift <= DRIFT_WORTH_A_WORD_PERCENT else "; over 5 %, by convention"
    return (
        Figure("talk", "not answered" if told.talk is None else TALK_WORDS[told.talk]),
        Figure("effort", "not answered" if told.effort is None else f"{told.effort:g}"),
        Figure("heart above the edge of easy", above.reason if isinstance(above, Missing) else f"{above:.0f} min"),
        Figure("drift", drift.reason if isinstance(drift, Missing) else f"{drift:+z.1f} %{beside}"),
    )
