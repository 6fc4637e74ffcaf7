"""Looking ahead past the end of a clinician's paper: middle and hard work that falls after its last day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from app.coaching.clearance_papers import paper_day
from app.coaching.facts import FactsOnDemand
from app.coaching.history import History
from app.coaching.lookahead_values import PAPER_ENDS, Breach, Level
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening import Clearance, Intensity
from app.coaching.screening_decision import decide, newest_paper
from app.coaching.weeks import day_words
from app.coaching.words import short_day


def last_day_of(paper: Clearance, rules: Rules) -> date:
    """The last day a paper counts: the end it names, or the oldest it may be, whichever comes first."""
    by_age = paper_day(paper) + timedelta(days=rules.clearance_days)
    return by_age if paper.ends_on is None else min(paper.ends_on, by_age)


def paper_breaches(
    history: History, drafts: Sequence[PlannedSession], today: date, rules: Rules, *, facts: FactsOnDemand
) -> list[Breach]:
    """Middle and hard sessions on days no paper covers any more, where there is leave for them today.

    The screening is decided as if the paper had ended already; what it then stops is not published for those days.
    Source: house choice.
    """
    paper = newest_paper(history, today)
    if paper is None or (last_on := last_day_of(paper, rules)) < today:
        return []
    beyond = [one for one in drafts if one.planned_on > last_on and is_hard_or_middle(one)]
    if not beyond or not decide(history, Intensity.VIGOROUS, today, rules, facts=facts.now).is_ok:
        return []
    ended = replace(paper, ends_on=today - timedelta(days=1))
    without = replace(history, clearances=tuple(ended if one is paper else one for one in history.clearances))
    if decide(without, Intensity.VIGOROUS, today, rules, facts=facts.now).is_ok:
        return []
    return [_breach(draft, last_on) for draft in beyond]


def _breach(draft: PlannedSession, last_on: date) -> Breach:
    needed = "A new clearance for vigorous work comes first; easy sessions may go out."
    shared = f"the clearance ends on {day_words(last_on)}. {needed}"
    why = Why(
        (Figure("last day of the clearance", day_words(last_on)),),
        "Middle and hard work is published only for days the paper covers.",
        Provenance.HOUSE,
        None,
        "A new paper for vigorous work that reaches as far as the session.",
    )
    sentence = f"{draft.title} on {short_day(draft.planned_on)}: {shared}"
    return Breach(Level.REFUSES, PAPER_ENDS, draft.planned_on, sentence, why, shared)
