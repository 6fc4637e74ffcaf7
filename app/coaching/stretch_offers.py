"""Strongest stretches of a client's recordings as evidence for critical power: whose, which, and their fit."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.facts import facts_of
from app.coaching.hard_work import hard_done
from app.coaching.heart_rate_trust import trust_of
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.measured import (
    MODES,
    MOST_TRIALS,
    Fitted,
    KnownHow,
    Measured,
    MeasuredKind,
    Trial,
    is_too_old,
    newest_measured,
)
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import DomainError, Refused
from app.coaching.recordings import Recording
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.strongest_stretches import Effort, Stretch, fit_with, strongest_stretches
from app.coaching.target_plausible import out_of_reach
from app.coaching.weeks import day_words
from app.coaching.words import duration_words
from app.physiology.values import Missing

#: An all-out test asks for so many good hard sessions first (common practice, no published source).
HARD_SESSIONS_FIRST = 6
_ALL_OUT_KINDS = frozenset({SessionKind.RACE, SessionKind.TEST})


@dataclass(frozen=True, slots=True)
class Offered:
    """The strongest stretch of one length, with the session it is from."""

    stretch: Stretch
    log: SessionLog

    @property
    def key(self) -> str:
        """What a tick says."""
        return f"{self.log.id}_{self.stretch.length_s}"


@dataclass(frozen=True, slots=True)
class StretchOffer:
    """The stretches of one way of moving, shortest first, beside the figure in use."""

    mode: Mode
    offered: tuple[Offered, ...]
    present: Measured | None

    @property
    def trials(self) -> tuple[Trial, ...]:
        """The trials of the figure in use; empty where it was not fitted from any."""
        fitted = self.present is not None and self.present.how is KnownHow.TRIALS
        return self.present.trials if fitted and self.present is not None else ()


def why_not_offered(history: History, today: date, rules: Rules) -> str:
    """Why no critical power is made for a client, as a sentence; empty when it may be.

    Stopped hard work, or fewer hard sessions than an all-out test asks for: then no stretch is called a trial.
    Source: common practice, no published source.
    """
    stopped = stopped_now(history, today, rules)
    because = (*stopped.all_because, *stopped.hard_because)
    if because:
        return f"Nothing is offered while hard work waits: {'; '.join(one.rstrip('.') for one in because)}."
    done = sum(one.counts_for_progress for one in hard_done(history, rules, facts=facts_of(history, today, rules)))
    if done < HARD_SESSIONS_FIRST:
        return f"Nothing is offered before {HARD_SESSIONS_FIRST} good hard sessions; there are {done}."
    return ""


def stretch_offers(
    read: Sequence[tuple[SessionLog, Recording]], history: History, figures: Sequence[Measured], today: date
) -> tuple[StretchOffer, ...]:
    """The strongest stretch of each length over all recordings of each way of moving; ways without any left out."""
    offers = []
    for mode in MODES[MeasuredKind.CRITICAL_POWER]:
        newest = newest_measured(figures, MeasuredKind.CRITICAL_POWER, mode, today)
        present = newest if newest is not None and not is_too_old(newest, today) else None
        best: dict[int, Offered] = {}
        for log, recording in read:
            if log.mode is mode:
                for one in _stretches(log, recording, history, figures, present):
                    held = best.get(one.length_s)
                    if held is None or one.power_w > held.stretch.power_w:
                        best[one.length_s] = Offered(one, log)
        if best:
            offers.append(StretchOffer(mode, tuple(best[length] for length in sorted(best)), present))
    return tuple(offers)


def _stretches(
    log: SessionLog, recording: Recording, history: History, figures: Sequence[Measured], present: Measured | None
) -> tuple[Stretch, ...]:
    highest = newest_measured(figures, MeasuredKind.HIGHEST_HEART_RATE, None, log.done_on)
    counts = (
        highest is not None and not is_too_old(highest, log.done_on) and not trust_of(history, log.done_on).is_off
    )
    effort = Effort(
        was_all_out=log.felt_all_out or log.kind in _ALL_OUT_KINDS,
        effort=log.effort,
        highest_heart_rate_bpm=highest.value if highest is not None and counts else None,
    )
    found = strongest_stretches(recording, effort, log_id=log.id, present=_as_fit(present))
    return () if isinstance(found, Missing) else found


def _as_fit(present: Measured | None) -> Fitted | None:
    if present is None or present.capacity is None:
        return None
    errors = present.value_error, present.capacity, present.capacity_error, present.covariance
    return Fitted(present.value, *errors, present.fitted_form or "", (), ())


def chosen_of(offer: StretchOffer, keys: Collection[str]) -> tuple[Offered, ...]:
    """The stretches that were ticked. Raises: Refused when none is, or one is not offered any more."""
    chosen = tuple(one for one in offer.offered if one.key in keys)
    if not chosen:
        raise Refused("Tick the stretches that were all-out.")
    if len(chosen) < len(set(keys)):
        raise Refused("One of these stretches is not offered any more. Look at the list again.")
    return chosen


def offer_fit(offer: StretchOffer, chosen: Sequence[Offered]) -> Fitted:
    """The fit with the ticked stretches and the trials of the figure in use. Raises: Refused with a sentence."""
    if len(chosen) + len(offer.trials) > MOST_TRIALS:
        raise Refused(f"At most {MOST_TRIALS} trials go into one fit, those of the figure in use among them.")
    if any(one.stretch.trial in offer.trials for one in chosen):
        raise Refused("One of these stretches is a trial of the figure in use already; it counts once.")
    try:
        found = fit_with([one.stretch for one in chosen], offer.trials)
    except DomainError as refusal:
        raise Refused(str(refusal)) from refusal
    if isinstance(found, Missing):
        raise Refused(f"These stretches give nothing: {found.reason}.")
    if out_of_reach(MeasuredKind.CRITICAL_POWER, found.value, found.capacity):
        raise Refused(
            f"These stretches give {found.value:.0f} W and {found.capacity / 1000:.1f} kJ, which can hardly be: not "
            "all of them were all-out, or the meter was off."
        )
    return found


def sources_words(chosen: Sequence[Offered]) -> str:
    """Where each stretch is from, as it is kept with the figure."""
    said = (
        f"{duration_words(one.stretch.length_s)} at {one.stretch.power_w:.0f} W, "
        f"session of {day_words(one.log.done_on)}"
        for one in chosen
    )
    return f"Called all-out by the coach, from recordings: {'; '.join(said)}."
