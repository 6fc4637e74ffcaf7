"""Three effort bands and the client's two ways to say how hard it was: the talk answer and a 0-10 number."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.coaching.rules import Rules

LOWEST_EFFORT = 0
HIGHEST_EFFORT = 10


class Band(StrEnum):
    """How hard a stretch of work is; there are three bands and no others."""

    EASY = "easy"
    MIDDLE = "middle"
    HARD = "hard"


class Talk(StrEnum):
    """What the client could have said aloud during the main part."""

    SING = "sing"
    CHAT = "chat"
    SENTENCES = "sentences"
    FEW_WORDS = "few_words"


TALK_WORDS = {
    Talk.SING: "could sing",
    Talk.CHAT: "could chat in comfort",
    Talk.SENTENCES: "could speak in sentences, would rather not",
    Talk.FEW_WORDS: "only a few words",
}

EFFORT_WORDS = {
    0: "resting",
    1: "hardly moving",
    2: "very light, could go on all day",
    3: "light, breathing calmly",
    4: "comfortable, still chatting",
    5: "steady, talk comes in pieces",
    6: "brisk, rather not talk",
    7: "hard, a few words",
    8: "very hard, counting the minutes",
    9: "almost everything",
    10: "everything I had",
}


@dataclass(frozen=True, slots=True)
class BandAnswer:
    """The band a session is counted in, what decided it, and whether the two answers disagree."""

    band: Band
    decided_by: str
    disagreement: str | None


def band_of_effort(effort: float, rules: Rules) -> Band:
    """Band of an effort number from 0 to 10 (common practice, no published source)."""
    if effort <= rules.easy_effort_highest:
        return Band.EASY
    return Band.MIDDLE if effort < rules.hard_effort_lowest else Band.HARD


def band_of_talk(talk: Talk, *, after_transition: bool) -> Band:
    """Band of a talk answer.

    The third answer is the top edge of easy once the transition weeks are over (common practice, no published
    source) and middle before; the literature puts equivocal speech between the thresholds [foster2009].
    """
    if talk in (Talk.SING, Talk.CHAT):
        return Band.EASY
    if talk is Talk.FEW_WORDS:
        return Band.HARD
    return Band.EASY if after_transition else Band.MIDDLE


def band_of_session(
    *, talk: Talk | None, effort: float | None, after_transition: bool, rules: Rules
) -> BandAnswer | None:
    """Band of a whole session: the talk answer beats the number; None when neither was given."""
    if talk is None:
        return None if effort is None else BandAnswer(band_of_effort(effort, rules), "effort", None)
    by_talk = band_of_talk(talk, after_transition=after_transition)
    if effort is None or band_of_effort(effort, rules) == by_talk:
        return BandAnswer(by_talk, "talk answer", None)
    said = f"“{TALK_WORDS[talk]}” but effort {effort:g}"
    return BandAnswer(by_talk, "talk answer", said)
