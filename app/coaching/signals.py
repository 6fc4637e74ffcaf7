"""Every signal of one client, in the order they are said."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from app.coaching.history import History
from app.coaching.people import ClientState
from app.coaching.rules import Rules
from app.coaching.signals_away import AWAY_RULES
from app.coaching.signals_body import BODY_RULES
from app.coaching.signals_contact import CONTACT_RULES
from app.coaching.signals_execution import EXECUTION_RULES
from app.coaching.signals_gain import GAIN_RULES
from app.coaching.signals_hard_done import HARD_DONE_RULES
from app.coaching.signals_kept import KEPT_RULES
from app.coaching.signals_legs import LEGS_RULES
from app.coaching.signals_load import LOAD_RULES
from app.coaching.signals_papers import PAPER_RULES
from app.coaching.signals_plan import PLAN_RULES
from app.coaching.signals_progress import PROGRESS_RULES
from app.coaching.signals_safety import SAFETY_RULES
from app.coaching.signals_unsent import UNSENT_RULES
from app.coaching.signals_values import SHELF_WORDS, Act, Family, Scene, Shelf, Signal, scene_of

__all__ = [
    "NAMES",
    "SHELF_WORDS",
    "Act",
    "Family",
    "Rule",
    "Scene",
    "Shelf",
    "Signal",
    "look",
    "needs_act",
    "needs_word",
    "order_in_client",
    "rules_for",
    "safety_rank",
    "scene_of",
    "signals",
]

Rule = Callable[[Scene], Signal | None]

#: Every name a signal may have, in the order they are said of one client on one shelf.
NAMES = (
    "symptom",
    "named_not_sent",
    "paper_while_held",
    "hold_with_training",
    "trained_while_paused",
    "hard_without_leave",
    "hard_out_of_phase",
    "illness",
    "pressure_high",
    "medicine_changed",
    "clearance_missing",
    "questions_due",
    "waiting_for_questions",
    "clearance_ending",
    "consent_ending",
    "pressure_due",
    "incident_open",
    "change_not_seen",
    "hard_today_in_doubt",
    "readiness_down",
    "days_away_told",
    "legs_heavy",
    "spacing",
    "ceiling",
    "not_started",
    "base_met",
    "second_due",
    "gain_clear",
    "hard_gap",
    "missed_key_session",
    "second_may_be_left_out",
    "folded_over",
    "started_hot",
    "faded",
    "technique_lost",
    "easy_not_easy",
    "volume_step",
    "long_outing",
    "heavy_even_week",
    "year_course",
    "resting_heart_rate_up",
    "variability_low",
    "short_nights",
    "reason_given",
    "low_share",
    "quiet",
    "contact_overdue",
    "note_unread",
    "week_told",
    "waits_for_confirmation",
    "block_ending",
    "base_near",
    "retest_due",
    "easy_drifting_up",
    "identical_to_plan",
)
_RANK = {name: place for place, name in enumerate(NAMES)}
#: Lines beside those of safety that are not waved away without a word: product rules that ask for a reason.
_WORD_NEEDED = frozenset({"ceiling", "spacing"})
#: Lines that words alone do not settle: a paper is read, questions are asked, a client is started.
_ACT_FIRST = frozenset(
    {
        "paper_while_held",
        "hard_without_leave",
        "pressure_high",
        "clearance_missing",
        "questions_due",
        "waiting_for_questions",
        "incident_open",
        "not_started",
    }
)
_SHELF_ORDER = {Shelf.TODAY: 0, Shelf.PLANNING: 1}


def rules_for(state: ClientState) -> tuple[Rule, ...]:
    """Which rules speak for a client of that state: nobody's who asked or left, safety only while paused."""
    if state in (ClientState.ASKED, ClientState.LEFT):
        return ()
    if state is ClientState.PAUSED:
        return (*SAFETY_RULES, *UNSENT_RULES, *HARD_DONE_RULES, *PAPER_RULES)
    plan = (*PLAN_RULES, *AWAY_RULES, *LEGS_RULES, *LOAD_RULES, *EXECUTION_RULES, *KEPT_RULES)
    safety = (*SAFETY_RULES, *UNSENT_RULES, *HARD_DONE_RULES, *PAPER_RULES)
    return (*safety, *plan, *PROGRESS_RULES, *GAIN_RULES, *BODY_RULES, *CONTACT_RULES)


def signals(history: History, today: date, rules: Rules) -> tuple[Signal, ...]:
    """Everything that wants the coach's eye about one client, what comes first first.

    `history` should reach eight weeks back; for clients in base as far as the base, for its conditions.
    """
    return look(history, today, rules)[0]


def look(history: History, today: date, rules: Rules) -> tuple[tuple[Signal, ...], Scene | None]:
    """The signals, and the scene they stand on for whoever goes on with the same history; None where none speak."""
    speaking = rules_for(history.client.state)
    if not speaking:
        return (), None
    scene = scene_of(history, today, rules)
    found = [signal for signal in (rule(scene) for rule in speaking) if signal is not None]
    return tuple(sorted(found, key=order_in_client)), scene


def order_in_client(signal: Signal) -> tuple[int, int, bool, int]:
    """Shelf, family, what may settle the rest, then the fixed order of names; no two of a client share a name."""
    return (_SHELF_ORDER[signal.shelf], signal.family, not signal.leads, _RANK[signal.name])


def needs_word(signal: Signal) -> bool:
    """Whether handling a line asks what was done: safety, the fortnight's ceiling and the spacing of hard work."""
    return signal.family is Family.SAFETY or signal.name in _WORD_NEEDED


def needs_act(signal: Signal) -> bool:
    """Whether something is done first, so that a line is not settled along with others."""
    return signal.name in _ACT_FIRST


def safety_rank(signal: Signal) -> int:
    """Among safety lines the fixed order of names, else nothing."""
    return _RANK[signal.name] if signal.family is Family.SAFETY else 0
