"""Pregnancy pauses hard work until the maternity provider agrees in writing."""

from __future__ import annotations

from datetime import date

from app.coaching.clearance_papers import paper_faults
from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.screening import Intensity, YesNo


def pregnant_since(history: History) -> date | None:
    """The first of the last unbroken run of answers that say pregnant; None when it ended with a no.

    An answer left open ends nothing.
    """
    since = None
    for one in sorted(history.screening, key=lambda one: (one.answered_on, one.id), reverse=True):
        if one.pregnant is YesNo.NO:
            break
        if one.pregnant is YesNo.YES:
            since = one.answered_on
    return since


def has_providers_word(history: History, since: date, today: date) -> bool:
    """Whether a sound paper for vigorous work was given after a day."""
    return any(
        not paper_faults(one, today)
        and one.scope is Intensity.VIGOROUS
        and one.given_on is not None
        and one.given_on > since
        and (one.ends_on is None or one.ends_on >= today)
        for one in history.clearances
    )


def pregnancy_stop(history: History, today: date) -> ComputedStop | None:
    """Hard work waits for the provider's written word; None when nobody said pregnant or the word is there.

    Source: house choice, after ACOG Committee Opinion 804 (2020) (published, read).
    """
    since = pregnant_since(history)
    if since is None or has_providers_word(history, since, today):
        return None
    return ComputedStop(Stops.HARD, "pregnancy: hard work waits until the maternity provider agrees in writing.")
