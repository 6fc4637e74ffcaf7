"""A signal about a symptom or a disease named in answers not sent yet: told before the client presses send."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.reasons import Provenance
from app.coaching.screening_decision import Outcome, Stopped, newly_named_diseases
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.unsent_answers import REPLY_WORDS, UnsentAnswer, named_unsent
from app.coaching.weeks import local_day
from app.coaching.words import short_day


def named_not_sent(scene: Scene) -> Signal | None:
    """A yes, or not sure, to a sign or a disease in questions the client has begun and not sent."""
    signs = named_unsent(scene.history.unsent)
    return _sign(scene, signs) if signs else _disease(scene)


def _sign(scene: Scene, named: Sequence[UnsentAnswer]) -> Signal:
    zone = scene.history.client.zone
    newest = named[-1]
    more = f" {len(named) - 1} more besides." if len(named) > 1 else ""
    reasons = why(
        "A sign that is named counts at once; the answers need not be sent first. Not sure counts as yes.",
        *((one.text, f"{_said(one)}, {_moment(one.answered_at, zone)}") for one in named),
        provenance=Provenance.HOUSE,
        would_change="A clinician's paper dated after it, or another answer from the client; both stay on record.",
    )
    return Signal(
        "named_not_sent",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        f"Answered {_said(newest)} in questions not yet sent ({_moment(newest.answered_at, zone)}): "
        f"“{newest.text}”{more} Training is stopped until a clinician has settled it.",
        reasons,
        key_of("named_not_sent", [f"{one.question}-{one.answered_at.isoformat()}" for one in named]),
        (Act.CONTACT, Act.CLEARANCE_PAGE, Act.OPEN_CLIENT),
        local_day(newest.answered_at, zone),
        stops_all=True,
    )


def _disease(scene: Scene) -> Signal | None:
    """A disease the sent answers do not have, where it stops training or hard work."""
    named = newly_named_diseases(scene.history)
    if not named or scene.vigorous.outcome is not Outcome.HOLD:
        return None
    zone, newest = scene.history.client.zone, named[-1]
    stops_all = scene.light.stops is Stopped.ALL
    waits = "Training waits" if stops_all else "Hard work waits"
    reasons = why(
        "A disease that is named counts at once; the answers need not be sent first. Not sure counts as yes.",
        *((one.text, f"{_said(one)}, {_moment(one.answered_at, zone)}") for one in named),
        provenance=Provenance.HOUSE,
        would_change="A clinician's paper dated after it, or another answer from the client; both stay on record.",
    )
    return Signal(
        "named_not_sent",
        scene.history.client.id,
        Shelf.TODAY if stops_all and scene.sessions_today else Shelf.PLANNING,
        Family.SAFETY,
        f"Answered {_said(newest)} in questions not yet sent ({_moment(newest.answered_at, zone)}): “{newest.text}” "
        f"{waits} for a clinician's clearance.",
        reasons,
        key_of("named_not_sent", [f"{one.question}-{one.answered_at.isoformat()}" for one in named]),
        (Act.CLEARANCE_PAGE, Act.CONTACT, Act.OPEN_CLIENT),
        local_day(newest.answered_at, zone),
        stops_all=stops_all,
    )


def _said(one: UnsentAnswer) -> str:
    return REPLY_WORDS[one.reply] if one.reply is not None else "nothing"


def _moment(at: datetime, zone: str) -> str:
    local = at.astimezone(ZoneInfo(zone))
    return f"{short_day(local.date())}, {local:%H:%M}"


UNSENT_RULES = (named_not_sent,)
