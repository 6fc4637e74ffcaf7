"""What an entry of the practice's own has to be before it is kept: rounds people can do, words that stay safe.

The first-rounds rules, the ceilings and the look-ahead hold for it as for any other session; this is beside them.
Source: house choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from app.coaching.heart_rate_words import typed_rates
from app.coaching.people import Mode
from app.coaching.protocol_library import OwnDraft
from app.coaching.protocol_values import LONG_ROUND_S
from app.coaching.typed_session import LONGEST_ROUND_S, MOST_HARD_S
from app.coaching.words import duration_words

SHORTEST_ROUND_S = 10
SHORTEST_RECOVERY_S = 5
MOST_ROUNDS = 40
#: A recovery is at least so large a share of its round.
RECOVERY_FRACTION = 0.25
#: After a long round it is never shorter than this.
LEAST_RECOVERY_OF_LONG_S = 60
LONGEST_NAME, LONGEST_WORDS, LONGEST_TEXT = 80, 400, 600
NOT_DONE_IN_ROUNDS = frozenset({Mode.STRENGTH, Mode.OTHER})

_HARDER = r"(?:all[\s-]out|flat[\s-]out|maximal|maximum effort|to exhaustion|as hard as you can|sprint\w*)"
_FORBIDDEN = re.compile(rf"\b(?:never|not|no)\s+(?:an?\s+)?{_HARDER}", re.IGNORECASE)
_TOO_HARD = re.compile(
    rf"\b{_HARDER}\b|\b(?:effort|rpe)\s*(?:of\s*|at\s*|is\s*)?(?:9|10)\b|\b(?:9|10)\s*(?:of|out of|/)\s*10\b",
    re.IGNORECASE,
)

Problem = tuple[str, str]


def problems_of(draft: OwnDraft, *, taken: Iterable[str]) -> tuple[Problem, ...]:
    """Why an entry cannot be kept, by field; empty when it can. taken: names of all other entries."""
    return (
        *_rounds_problems(draft),
        *_recovery_problems(draft),
        *_set_problems(draft),
        *_words_problems(draft, taken),
    )


def _rounds_problems(draft: OwnDraft) -> Iterable[Problem]:
    if not SHORTEST_ROUND_S <= draft.work_s <= LONGEST_ROUND_S:
        yield "work", f"A round lasts {SHORTEST_ROUND_S} s to {duration_words(LONGEST_ROUND_S)}."
    if not 1 <= draft.rounds_least <= draft.rounds_most <= MOST_ROUNDS:
        yield "rounds_least", f"From 1 to {MOST_ROUNDS} rounds, the fewest not above the most."
    elif not draft.rounds_least <= draft.rounds <= draft.rounds_most:
        yield "rounds", "The usual rounds lie between the fewest and the most."
    if draft.rounds_most * draft.work_s > MOST_HARD_S:
        longest = duration_words(MOST_HARD_S)
        yield "rounds_most", f"All rounds together last at most {longest}: take fewer, or shorter ones."
    if not draft.modes or NOT_DONE_IN_ROUNDS & set(draft.modes):
        yield "modes", "Tick at least one way it is done."


def _recovery_problems(draft: OwnDraft) -> Iterable[Problem]:
    least = max(SHORTEST_RECOVERY_S, draft.work_s * RECOVERY_FRACTION)
    if draft.work_s >= LONG_ROUND_S:
        least = max(least, LEAST_RECOVERY_OF_LONG_S)
    if draft.recovery_s < least:
        yield (
            "recovery",
            f"At least {duration_words(round(least))} are easy after such a round; rest is shortened last.",
        )
    elif draft.recovery_s > LONGEST_ROUND_S:
        yield "recovery", f"At most {duration_words(LONGEST_ROUND_S)}; longer, and the warm-up is lost."


def _set_problems(draft: OwnDraft) -> Iterable[Problem]:
    if draft.set_of == 0 and draft.set_recovery_s == 0:
        return
    if not 2 <= draft.set_of < draft.rounds_most:
        yield "set_of", "A set has at least 2 rounds, and fewer than the most; leave both fields empty for no sets."
    if not draft.recovery_s < draft.set_recovery_s <= LONGEST_ROUND_S:
        yield "set_recovery", "The rest between sets is longer than that between rounds."


def _words_problems(draft: OwnDraft, taken: Iterable[str]) -> Iterable[Problem]:
    if draft.name.casefold() in {name.casefold() for name in taken}:
        yield "name", f"The library has a session called {draft.name} already; give this one another name."
    read_by_clients = {"purpose": draft.purpose, "also_words": draft.also_words, "name": draft.name}
    for name in typed_rates(read_by_clients):
        yield name, "A heart rate is one client's own; say it by effort and talk here."
    for name, text in (*read_by_clients.items(), ("finish_rule", draft.finish_rule)):
        if text and asks_too_much(text):
            yield name, "No round here is harder than effort 8; say it so that nobody goes all out."


def asks_too_much(text: str) -> bool:
    """Whether a text sends somebody above effort 8; one that forbids it does not."""
    return _TOO_HARD.search(_FORBIDDEN.sub("", text)) is not None
