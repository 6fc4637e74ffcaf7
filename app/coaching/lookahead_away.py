"""Looking ahead at days a client told to be away: what is planned there and cannot be, or should not be."""

from __future__ import annotations

from collections.abc import Sequence

from app.coaching.done_work import is_endurance
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.matching import is_on_leave
from app.coaching.people import Mode
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.time_away import Possible
from app.coaching.told_away import ToldAway, told_on
from app.coaching.words import short_day

_ON_FOOT = frozenset({Mode.WALK, Mode.TREADMILL})


def away_breaches(history: History, drafts: Sequence[PlannedSession]) -> list[Breach]:
    """Drafts on a day that was told as away, where it allows less; agreed time off is said by itself."""
    found = []
    for draft in drafts:
        told = told_on(history.told_away, draft.planned_on)
        if told is None or is_on_leave(history.leaves, draft.planned_on) or _fits(told, draft):
            continue
        why = Why(
            (Figure("told", told.words), Figure("planned", draft.title)),
            "What a client told to be away allows less; hard work waits until they are back.",
            Provenance.HOUSE,
        )
        sentence = f"{draft.title} on {short_day(draft.planned_on)}. {told.words}."
        found.append(Breach(Level.SAYS, "away", draft.planned_on, sentence, why))
    return found


def _fits(told: ToldAway, draft: PlannedSession) -> bool:
    if told.possible is Possible.NOTHING or is_hard_or_middle(draft):
        return False
    return told.possible is Possible.LESS or (is_endurance(draft) and draft.mode in _ON_FOOT)
