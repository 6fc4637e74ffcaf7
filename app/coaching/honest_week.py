"""The honest week: of what was meant to be easy, how much was easy by the client's own answers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.coaching.done_work import done_minutes
from app.coaching.effort import Band, band_of_effort, band_of_talk
from app.coaching.matching import Pair, Status, planned_band
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.words import minutes_words, percent


@dataclass(frozen=True, slots=True)
class HonestEasy:
    """Minutes meant to be easy: by talk answer and effort both easy, by one of them above, or not said."""

    easy: float = 0.0
    above: float = 0.0
    unsaid: float = 0.0

    @property
    def known(self) -> float:
        """Minutes of which something was said."""
        return self.easy + self.above

    @property
    def fraction(self) -> float | None:
        """Easy minutes of those known; None when nothing was said."""
        return self.easy / self.known if self.known > 0 else None

    @property
    def sentence(self) -> str:
        """What it comes to, in words."""
        total = self.known + self.unsaid
        if total <= 0:
            return "Nothing meant to be easy was done."
        rest = f"; {minutes_words(self.unsaid)} without an answer" if self.unsaid else ""
        if self.fraction is None:
            return f"{minutes_words(total)} meant to be easy, and no answer says how they were."
        return (
            f"Of {minutes_words(total)} meant to be easy, {minutes_words(self.easy)} were "
            f"({percent(self.fraction)} of those with an answer){rest}."
        )

    def __add__(self, other: HonestEasy) -> HonestEasy:
        return HonestEasy(self.easy + other.easy, self.above + other.above, self.unsaid + other.unsaid)


def honest_easy(pairs: Iterable[Pair], rules: Rules) -> HonestEasy:
    """How much of what was meant to be easy was, by the stricter of talk answer and effort; the plan does not count.

    Meant to be easy: planned so, or entered so without a plan. The third talk answer is the top edge of easy.
    Limits: answers of the whole session; a recording may tell more.
    Source: common practice, no published source.
    """
    return sum((_of(pair.log, rules) for pair in pairs if pair.log is not None and _is_meant(pair)), HonestEasy())


def _is_meant(pair: Pair) -> bool:
    if pair.is_strength or pair.status is Status.MISSED or pair.log is None:
        return False
    if pair.planned is not None:
        return planned_band(pair.planned) is Band.EASY or pair.status is Status.KEPT_AS_AGREED
    return pair.log.kind is SessionKind.EASY


def _of(log: SessionLog, rules: Rules) -> HonestEasy:
    bands = [
        *([band_of_talk(log.talk, after_transition=True)] if log.talk is not None else []),
        *([band_of_effort(log.effort, rules)] if log.effort is not None else []),
    ]
    minutes = done_minutes(log)
    if not bands:
        return HonestEasy(unsaid=minutes)
    return HonestEasy(easy=minutes) if all(band is Band.EASY for band in bands) else HonestEasy(above=minutes)
