"""What publishing some drafts would break, with dates, before it is sent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from app.coaching.done_work import is_endurance
from app.coaching.facts import FactsOnDemand
from app.coaching.hard_words import wording_breaches
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.leave_to_train import computed_stops
from app.coaching.lookahead_away import away_breaches
from app.coaching.lookahead_days_off import days_off_breaches
from app.coaching.lookahead_hard import hard_breaches
from app.coaching.lookahead_paper import paper_breaches
from app.coaching.lookahead_values import Breach, Level, without_leave
from app.coaching.lookahead_volume import volume_breaches
from app.coaching.lookahead_week import week_breaches
from app.coaching.matching import is_on_leave
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening import Intensity
from app.coaching.screening_decision import Stopped, decide, newest_answers
from app.coaching.words import short_day

__all__ = ["Breach", "Level", "as_if_sent", "breaches", "in_order", "may_publish", "needs_reason"]

_ORDER = {Level.REFUSES: 0, Level.ASKS: 1, Level.SAYS: 2}


def breaches(
    history: History,
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    facts: FactsOnDemand | None = None,
) -> tuple[Breach, ...]:
    """Everything the drafts would break, what refuses first, then by date.

    A draft replaces the published session with the same id; a cancelled draft takes it away and breaks nothing.
    facts: of this history on this day; whoever looks many times passes them on.
    """
    known = facts or FactsOnDemand(history, today, rules)
    going = sorted((d for d in drafts if not d.is_cancelled), key=lambda d: (d.planned_on, d.id))
    gone = {draft.id for draft in drafts}
    standing = tuple(s for s in history.planned if s.id not in gone and not s.is_cancelled)
    found = [
        *_past(going, today),
        *_light(history, going, today, rules, known),
        *_stopped(history, going, today, rules),
        *paper_breaches(history, going, today, rules, facts=known),
        *hard_breaches(history, standing, going, today, rules, facts=known),
        *week_breaches(history, standing, going, today, rules, facts=known),
        *volume_breaches(history, standing, going, today, rules),
        *_day_breaches(history, going),
        *away_breaches(history, going),
        *days_off_breaches(history, standing, going),
        *wording_breaches(going),
    ]
    return in_order(found)


def in_order(found: Sequence[Breach]) -> tuple[Breach, ...]:
    """What refuses first, then what asks, each by date."""
    return tuple(sorted(found, key=lambda b: (_ORDER[b.level], b.on, b.kind, b.sentence)))


def as_if_sent(history: History, today: date) -> History:
    """The history with its drafts from a day on standing as published, for looking at a plan in the making.

    Otherwise a week would be held against the weeks before it without what is only drafted there.
    """
    newer = {draft.id for draft in history.drafts if draft.planned_on >= today}
    going = [draft for draft in history.drafts if draft.id in newer and not draft.is_cancelled]
    standing = [session for session in history.planned if session.id not in newer]
    return replace(history, planned=tuple(sorted([*standing, *going], key=lambda s: (s.planned_on, s.id))))


def may_publish(found: Sequence[Breach]) -> bool:
    """Whether nothing found refuses publishing."""
    return all(breach.level is not Level.REFUSES for breach in found)


def needs_reason(found: Sequence[Breach]) -> bool:
    """Whether publishing asks the coach for a reason that is kept."""
    return any(breach.level is Level.ASKS for breach in found)


def _past(drafts: Sequence[PlannedSession], today: date) -> list[Breach]:
    why = Why((Figure("today", short_day(today)),), "Nothing is published into the past.", Provenance.HOUSE)
    return [
        Breach(Level.REFUSES, "past", d.planned_on, f"{short_day(d.planned_on)} is over: {d.title}.", why)
        for d in drafts
        if d.planned_on < today
    ]


def _light(
    history: History, drafts: Sequence[PlannedSession], today: date, rules: Rules, known: FactsOnDemand
) -> list[Breach]:
    """Nothing at all goes out while the screening stops all training."""
    decision = decide(history, Intensity.LIGHT_MODERATE, today, rules, facts=known.now)
    if decision.stops is not Stopped.ALL:
        return []
    rule = "Without leave for light to moderate work nothing is published."
    is_asked = newest_answers(history) is not None
    return without_leave(decision, drafts, rule=rule, lacking="no leave to train yet", is_asked=is_asked)


def _stopped(history: History, drafts: Sequence[PlannedSession], today: date, rules: Rules) -> list[Breach]:
    """Nothing goes out that a reading, a pregnancy, a gap or a due question stops."""
    found = []
    for stop in computed_stops(history, today, rules):
        why = Why((Figure("stopped", stop.sentence),), "Nothing the records stop is published.", Provenance.HOUSE)
        for draft in drafts:
            if stop.stops is Stops.ALL or is_hard_or_middle(draft):
                sentence = f"{draft.title} on {short_day(draft.planned_on)}: {stop.sentence}"
                found.append(Breach(Level.REFUSES, "stopped", draft.planned_on, sentence, why, stop.sentence))
    return found


def _day_breaches(history: History, drafts: Sequence[PlannedSession]) -> list[Breach]:
    """Days the client has not, slots too short, agreed leave."""
    slots = {day.weekday: day.minutes for day in history.available}
    found = []
    for draft in drafts:
        day, slot = short_day(draft.planned_on), slots.get(draft.planned_on.weekday(), 0)
        figures = (Figure("planned", f"{draft.minutes} min"), Figure("slot that day", f"{slot} min"))
        why = Why(figures, "Plans keep to the days and slots the client really has.", Provenance.COMMON_PRACTICE)
        if is_on_leave(history.leaves, draft.planned_on):
            sentence = f"{day} is agreed time off: {draft.title}."
            found.append(Breach(Level.SAYS, "leave", draft.planned_on, sentence, why))
        elif slots and slot == 0 and is_endurance(draft):
            shared = f"{draft.planned_on:%A} is not one of the client's days"
            sentence = f"{shared}: {draft.title} on {day}."
            found.append(Breach(Level.SAYS, "day", draft.planned_on, sentence, why, f"{shared}."))
        elif slots and draft.minutes > slot and is_endurance(draft):
            sentence = f"{day} has {slot} min; {draft.title} takes {draft.minutes}."
            found.append(Breach(Level.SAYS, "slot", draft.planned_on, sentence, why))
    return found
