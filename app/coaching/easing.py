"""How far hard rounds go back after a session that was not well executed: one figure for every page that says one.

Source: common practice, no published source.
"""

from __future__ import annotations

from app.coaching.execution_values import Blame
from app.coaching.session_target import WRONG_TARGET_FRACTION
from app.coaching.words import counted, duration_words

#: The practice's 5 to 10 after having to bend, taken at its careful end (house choice).
BAD_FRACTION, BENT_FRACTION = 0.05, 0.10
#: So many in a row that were not held: rounds go back instead of the target; then base.
STEP_BACK_AFTER, BACK_TO_BASE_AFTER = 2, 3
FULL_ROUNDS, USUAL_S = 4, 240
LEAST_ROUNDS = 2


def eased_by(blame: Blame, *, had_to_bend: bool, in_a_row: int = 1) -> float:
    """How much lower the target comes after a bad session, as a share; 0 where rounds go back instead.

    blame: what went wrong in it. in_a_row: bad sessions up to it whose target was not wrong.
    """
    if blame is Blame.TARGET_WRONG:
        return WRONG_TARGET_FRACTION
    if in_a_row == STEP_BACK_AFTER:
        return 0.0
    return BENT_FRACTION if had_to_bend else BAD_FRACTION


def stepped_back(rounds: int, work_s: int) -> tuple[int, int]:
    """One step back: from longer or fifth rounds to four of four minutes, else one in four fewer, never under two.

    Shorter rounds stay short: four of four minutes are no step back from ten of half a minute.
    """
    if work_s > USUAL_S or (work_s == USUAL_S and rounds > FULL_ROUNDS):
        return min(rounds, FULL_ROUNDS), USUAL_S
    return max(LEAST_ROUNDS, rounds - max(1, rounds // FULL_ROUNDS)), work_s


def row_words(in_a_row: int, rounds: int, work_s: int) -> str:
    """What several bad sessions in a row ask for, in a sentence; "" for one alone."""
    if in_a_row < STEP_BACK_AFTER:
        return ""
    if in_a_row >= BACK_TO_BASE_AFTER:
        return f"{in_a_row} sessions in a row were not held: base for two to four weeks."
    rounds, work_s = stepped_back(rounds, work_s)
    return f"Two in a row were not held: back to {counted(rounds, 'round')} of {duration_words(work_s)}."
