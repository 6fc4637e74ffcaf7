"""What is measured of a client that targets are made from: reading it, keeping it, and setting a mistake aside."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.after_days_off import afresh_since, afresh_words
from app.coaching.executed import executed_sessions
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.history import History
from app.coaching.measured import (
    KIND_WORDS,
    MEASURED_LASTS,
    MODES,
    MOST_TRIALS,
    WAYS,
    Fitted,
    KnownHow,
    Measured,
    MeasuredKind,
    Trial,
    fit_trials,
    is_too_old,
    newest_measured,
    trials_to_json,
)
from app.coaching.people import Client, Mode, Origin
from app.coaching.reasons import DomainError, Refused
from app.coaching.recording_about import from_json
from app.coaching.rules import Rules
from app.coaching.stretch_offers import (
    StretchOffer,
    chosen_of,
    offer_fit,
    sources_words,
    stretch_offers,
    why_not_offered,
)
from app.coaching.target_plausible import doubted, out_of_reach
from app.coaching.weeks import local_day
from app.coaching.windows import WHOLE_BASE
from app.files.kept_series import unpack
from app.physiology.values import Missing
from app.storage import accounts, history, measured, recordings
from app.storage import heart_rate as trusts
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, allowed_actions, open_record


class Doubted(Refused):
    """The figure may be kept once somebody says to have looked twice; the sentence says what speaks against it."""


class OutOfReach(Refused):
    """The figure can hardly be anybody's."""


@dataclass(frozen=True, slots=True)
class MeasuredLine:
    """One figure, whether it counts now, and what its trials say of themselves."""

    measured: Measured
    is_newest: bool
    is_too_old: bool
    #: Why no target is made from it after days off, as the end of a sentence; empty when one is.
    afresh: str
    by: str
    fitted: Fitted | None


@dataclass(frozen=True, slots=True)
class MeasuredPage:
    """A client's measured figures, newest first."""

    client: Client
    today: date
    lines: tuple[MeasuredLine, ...]
    heart_rate: HeartRateTrust
    may_log: bool
    may_decide: bool


#: So many of the newest recordings are looked through for one page.
MOST_RECORDINGS = 40


@dataclass(frozen=True, slots=True)
class StretchesPage:
    """What a client's recordings offer as evidence for critical power, by way of moving."""

    client: Client
    #: Why nothing is offered, as a sentence; empty when it may be.
    refusal: str
    offers: tuple[StretchOffer, ...]
    may_log: bool

    def by(self, mode: Mode) -> StretchOffer:
        """The offer for one way of moving. Raises: Refused when there is none."""
        found = next((one for one in self.offers if one.mode is mode), None)
        if found is None:
            raise Refused(self.refusal or "No recording offers a stretch done this way of moving.")
        return found


def open_measured(db: Session, *, actor: Actor, client_id: int, now: datetime, action: Action) -> MeasuredPage:
    """Everything measured of a client. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    if not actor.is_coach:
        raise NotYours("There is no such page here.")
    today = local_day(now, client.zone)
    found = measured.of_client(db, client_id=client_id)
    may = allowed_actions(db, actor=actor, client=client, now=now)
    names = accounts.names_of(db, person_ids={one.person_id for one in found})
    known = history.load(db, client_ids=[client_id], from_on=today, until_on=today)[0]
    afresh = afresh_since(known, today)
    return MeasuredPage(
        client,
        today,
        tuple(
            MeasuredLine(
                measured=one,
                is_newest=newest_measured(found, one.kind, one.mode, today) is one,
                is_too_old=is_too_old(one, today),
                afresh=afresh_words(afresh) if afresh is not None and one.measured_on < afresh.back_on else "",
                by=names.get(one.person_id, "somebody who has left"),
                fitted=_fitted(one),
            )
            for one in sorted(found, key=lambda one: (one.measured_on, one.id), reverse=True)
        ),
        heart_rate=trusts.trust_on(db, client=client, day=today),
        may_log=Action.LOG in may,
        may_decide=Action.DECIDE in may,
    )


def keep_fitted(
    db: Session,
    *,
    actor: Actor,
    figure: Measured,
    trials: Sequence[Trial],
    rules: Rules,
    now: datetime,
    looked_twice: bool = False,
) -> tuple[int, Fitted]:
    """Fit trials and keep what they give.

    figure: kind, mode, day, note and origin; its numbers are taken from the fit.
    Raises: NotYours, NotAllowed; Refused with a sentence when the trials give nothing; else as `keep_figure`.
    """
    if len(trials) > MOST_TRIALS:
        raise Refused(f"At most {MOST_TRIALS} trials go into one fit.")
    try:
        found = fit_trials(figure.kind, trials)
    except DomainError as refusal:
        raise Refused(str(refusal)) from refusal
    if isinstance(found, Missing):
        raise Refused(f"These trials give nothing: {found.reason}.")
    whole = replace(
        figure,
        value=found.value,
        value_error=found.value_error,
        capacity=found.capacity,
        capacity_error=found.capacity_error,
        covariance=found.covariance,
        how=KnownHow.TRIALS,
        fitted_form=found.form,
        trials_json=trials_to_json(trials),
    )
    kept = keep_figure(db, actor=actor, figure=whole, rules=rules, now=now, looked_twice=looked_twice)
    return kept, found


def keep_figure(
    db: Session, *, actor: Actor, figure: Measured, rules: Rules, now: datetime, looked_twice: bool = False
) -> int:
    """Keep one measured figure.

    Raises: NotYours, NotAllowed; Refused for a day to come, and for what is not measured that way or by that means;
    OutOfReach for what can hardly be; Doubted for what is far above what is known, until it was looked at twice.
    """
    client = open_record(db, actor=actor, client_id=figure.client_id, action=Action.LOG, now=now)
    if not actor.is_coach:
        raise NotYours("There is no such page here.")
    if figure.measured_on > local_day(now, client.zone):
        raise Refused("A figure is kept once it is measured; this day has not come yet.")
    if figure.mode not in MODES[figure.kind]:
        raise Refused(f"The {KIND_WORDS[figure.kind]} is not measured this way of moving.")
    if figure.how not in WAYS[figure.kind]:
        raise Refused(f"This is no way to the {KIND_WORDS[figure.kind]}; a formula from age is none either.")
    if unlikely := out_of_reach(figure.kind, figure.value, figure.capacity):
        raise OutOfReach(unlikely)
    doubt = "" if looked_twice else _doubt(db, client, figure, rules, now)
    if doubt:
        raise Doubted(doubt)
    figure_id = measured.add(db, measured=replace(figure, person_id=actor.person_id, entered_at=now))
    _read_again(db, figure)
    _trace(db, actor, figure_id, "kept a measured figure", figure=figure, key="after", now=now)
    return figure_id


def open_stretches(
    db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime, action: Action = Action.READ
) -> StretchesPage:
    """The strongest stretches of a client's recordings that may be evidence for critical power.

    Raises: NotYours, NotAllowed.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    if not actor.is_coach:
        raise NotYours("There is no such page here.")
    today = local_day(now, client.zone)
    may_log = Action.LOG in allowed_actions(db, actor=actor, client=client, now=now)
    known = history.load(db, client_ids=[client.id], from_on=today - WHOLE_BASE, until_on=today)[0]
    refusal = why_not_offered(known, today, rules)
    figures = measured.of_client(db, client_id=client.id)
    offers = () if refusal else _offers(db, known, figures, today)
    return StretchesPage(client, refusal, offers, may_log)


def keep_stretches(
    db: Session, *, actor: Actor, client_id: int, mode: Mode, keys: Collection[str], rules: Rules, now: datetime
) -> tuple[int, Fitted]:
    """Keep the fit with the stretches that the coach says were all-out, each with its session in the note.

    Raises: NotYours, NotAllowed; Refused with a sentence when they give nothing or may not be used.
    """
    page = open_stretches(db, actor=actor, client_id=client_id, rules=rules, now=now, action=Action.LOG)
    offer = page.by(mode)
    chosen = chosen_of(offer, keys)
    trials = (*offer.trials, *(one.stretch.trial for one in chosen))
    offer_fit(offer, chosen)
    days = [one.log.done_on for one in chosen]
    if offer.trials and offer.present is not None:
        days.append(offer.present.measured_on)
    figure = Measured(
        id=0,
        client_id=client_id,
        kind=MeasuredKind.CRITICAL_POWER,
        mode=mode,
        measured_on=max(days),
        value=0.0,
        value_error=None,
        capacity=None,
        capacity_error=None,
        covariance=None,
        how=KnownHow.TRIALS,
        fitted_form=None,
        trials_json="[]",
        note=sources_words(chosen),
        origin=Origin.FILE,
        entered_at=now,
        person_id=actor.person_id,
    )
    # Her own recordings are what was done, and each stretch was ticked beside its session.
    return keep_fitted(db, actor=actor, figure=figure, trials=trials, rules=rules, now=now, looked_twice=True)


def _doubt(db: Session, client: Client, figure: Measured, rules: Rules, now: datetime) -> str:
    today = local_day(now, client.zone)
    known = history.load(db, client_ids=[client.id], from_on=today - WHOLE_BASE, until_on=today)[0]
    return doubted(figure, executed_sessions(known, today, rules), measured.of_client(db, client_id=client.id), today)


def _offers(db: Session, known: History, figures: Sequence[Measured], today: date) -> tuple[StretchOffer, ...]:
    logs = {one.id: one for one in known.logs}
    found = []
    for one in recordings.of_client(db, client_id=known.client.id)[::-1]:
        log = logs.get(one.session_log_id)
        if one.removed_at is None and log is not None and today - log.done_on <= MEASURED_LASTS:
            found.append((one, log))
    read = []
    for kept, log in found[:MOST_RECORDINGS]:
        about = from_json(kept.about_json)
        series = recordings.series_of(db, recording_id=kept.id)
        read.append((log, unpack(series, about=about, started_at=kept.started_at)[0]))
    return stretch_offers(read, known, figures, today)


def set_aside(db: Session, *, actor: Actor, client_id: int, measured_id: int, now: datetime) -> str:
    """Set a mistaken figure aside; returns what it was. Raises: NotYours, NotAllowed, Refused."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    found = measured.one(db, measured_id=measured_id)
    if found is None or found.client_id != client.id:
        raise NotYours("There is no such figure here.")
    if not measured.set_aside(db, measured_id=measured_id, person_id=actor.person_id, at=now):
        raise Refused("This figure is set aside already.")
    _read_again(db, found)
    _trace(db, actor, measured_id, "set a measured figure aside", figure=found, key="before", now=now)
    return KIND_WORDS[found.kind]


def _read_again(db: Session, figure: Measured) -> None:
    """What a heart in a recording says rests on the measured maximum."""
    if figure.kind is MeasuredKind.HIGHEST_HEART_RATE:
        recordings.ask_for_all(db, client_id=figure.client_id)


def _fitted(one: Measured) -> Fitted | None:
    if one.how is not KnownHow.TRIALS:
        return None
    try:
        found = fit_trials(one.kind, one.trials)
    except DomainError:
        return None
    return None if isinstance(found, Missing) else found


def _told(one: Measured) -> dict[str, object]:
    return {
        "kind": one.kind,
        "mode": one.mode,
        "measured_on": one.measured_on,
        "value": one.value,
        "value_error": one.value_error,
        "capacity": one.capacity,
        "capacity_error": one.capacity_error,
        "how": one.how,
    }


def _trace(
    db: Session, actor: Actor, measured_id: int, action: str, *, figure: Measured, key: str, now: datetime
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=figure.client_id,
        action=action,
        subject="measured figure",
        subject_id=measured_id,
        change={key: _told(figure)},
    )
