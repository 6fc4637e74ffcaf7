"""Signals about keeping to the plan: the share of four weeks, reasons given, and a change today nobody has seen."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

from app.coaching.base_weeks import adherence
from app.coaching.lookahead_hard import is_vigorous
from app.coaching.people import ClientState
from app.coaching.reasons import Provenance
from app.coaching.session_logs import Answer, SessionLog, WhyNot
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, to_plan, why
from app.coaching.weeks import local_day, week_start, weeks_back
from app.coaching.words import counted, percent, percent_beside, short_day, short_days

SHARE_WEEKS = 4
#: While it goes on it is said once in four weeks.
SHARE_PERIOD_DAYS = 28
#: Under these minutes planned in four weeks a share says nothing (house choice).
SHARE_LEAST_MIN = 120
REASON_DAYS = 14
#: The same reason so often in that time is asked about; a body that complains at once (house choice).
REASON_TIMES = 2
_AT_ONCE = frozenset({WhyNot.SORE, WhyNot.ILL})
_REASON_WORDS = {
    WhyNot.NO_TIME: "no time",
    WhyNot.TIRED: "tired",
    WhyNot.ILL: "ill",
    WhyNot.SORE: "sore",
    WhyNot.WEATHER: "the weather",
    WhyNot.TRAVEL: "travel",
    WhyNot.CARING: "caring for somebody",
    WhyNot.FORGOT: "forgotten",
    WhyNot.NOT_IN_THE_MOOD: "not in the mood",
    WhyNot.OTHER: "another reason",
}
#: A change published in so many days before its own is looked for on the phone; one of this morning is still to be
#: opened (house choice).
FRESH_CHANGE_DAYS = 2


def low_share(scene: Scene) -> Signal | None:
    """Four whole weeks under the least that is normal, even if all that is not logged was done."""
    if scene.history.client.state is not ClientState.ACTIVE:
        return None
    found = adherence(scene.history, weeks_back(scene.today, SHARE_WEEKS), scene.today, pairing=scene.facts.pairing)
    share, best = found.fraction, found.best_fraction
    if (
        found.planned_minutes < SHARE_LEAST_MIN
        or share is None
        or best is None
        or best >= scene.rules.adherence_least
    ):
        return None
    period = week_start(scene.today).toordinal() // SHARE_PERIOD_DAYS
    least, normal = scene.rules.adherence_least, scene.rules.adherence_normal_highest
    reasons = why(
        f"{percent(least)} to {percent(normal)} of the planned minutes is what people usually do. Under it the plan "
        "is asked about, not the client.",
        ("done", f"{found.done_minutes:.0f} of {found.planned_minutes:.0f} min"),
        ("not logged", f"{found.not_logged_minutes:.0f} min"),
        ("at best", percent_beside(best, least)),
        provenance=Provenance.PUBLISHED_READ,
        source="Martin & Sinden 2001; Picorelli et al. 2014",
        would_change="A plan that fits the real week.",
    )
    return to_plan(
        scene,
        "low_share",
        f"{percent(share)} of four weeks' planned minutes done; {percent(least)} to {percent(normal)} is usual. "
        "Does the plan fit the week?",
        reasons,
        key=key_of("low_share", [f"period {period}"], least),
        acts=(Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        evidence_on=week_start(scene.today) - timedelta(days=1),
    )


def reason_given(scene: Scene) -> Signal | None:
    """The same reason for not training twice in a fortnight; sore or ill at once."""
    first = scene.today - timedelta(days=REASON_DAYS)
    given: dict[WhyNot, list[SessionLog]] = defaultdict(list)
    for log in scene.history.logs:
        if log.answer is Answer.NOT_DONE and log.why_not is not None and first < log.done_on <= scene.today:
            given[log.why_not].append(log)
    asked = [logs for reason, logs in given.items() if len(logs) >= (1 if reason in _AT_ONCE else REASON_TIMES)]
    if not asked:
        return None
    logs = sorted(
        max(asked, key=lambda some: max((log.done_on, log.id) for log in some)), key=lambda log: (log.done_on, log.id)
    )
    reason = logs[-1].why_not or WhyNot.OTHER
    reasons = why(
        "What keeps somebody from training is asked about: a reason given twice in a fortnight, sore or ill at once.",
        ("reason", _REASON_WORDS[reason]),
        ("sessions", short_days(log.done_on for log in logs)),
        would_change="A talk about it, or a plan that allows for it.",
    )
    return to_plan(
        scene,
        "reason_given",
        f"Not done because of “{_REASON_WORDS[reason]}”: {counted(len(logs), 'session')} in a fortnight, last on "
        f"{short_day(logs[-1].done_on)}.",
        reasons,
        key=key_of("reason_given", [logs[-1].id], reason.value),
        acts=(Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        evidence_on=logs[-1].done_on,
    )


def change_not_seen(scene: Scene) -> Signal | None:
    """Today's session was changed lately, and the change was not seen on the phone."""
    changed = [
        s
        for s in scene.sessions_today
        if s.version > 1
        and s.seen_at is None
        and s.published_at is not None
        and 0 < (scene.today - local_day(s.published_at, scene.history.client.zone)).days <= FRESH_CHANGE_DAYS
    ]
    if not changed:
        return None
    session = max(changed, key=lambda s: (is_vigorous(s), s.id))
    phone = "not seen on the phone" if scene.history.client.has_phone else "no phone here shows it"
    published = local_day(session.published_at, scene.history.client.zone) if session.published_at else scene.today
    reasons = why(
        "A change counts for the client once it is seen. What stands today and was not seen is told by telephone.",
        ("changed on", short_day(published)),
        ("now", f"{session.title}, {session.minutes} min"),
        ("because", session.reason or "no reason kept"),
        provenance=Provenance.HOUSE,
        would_change="The client opening Today, or a call.",
    )
    return Signal(
        "change_not_seen",
        scene.history.client.id,
        Shelf.TODAY,
        Family.HARD_TODAY,
        f"Today's session was changed on {short_day(published)}, {phone}: call before they start.",
        reasons,
        key_of("change_not_seen", [session.id], session.version),
        (Act.CONTACT, Act.OPEN_CLIENT),
        published,
    )


KEPT_RULES = (change_not_seen, low_share, reason_given)
