"""Whether a client's heart rate may steer and be compared on a day, and where its series breaks."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from app.coaching.history import History
from app.coaching.holds import Hold, HoldKind
from app.coaching.people import Client, HeartRateUse
from app.coaching.questions import MEDICINE_GROUPS, named_medicines
from app.coaching.readiness import ReadinessNote
from app.coaching.screening import ScreeningAnswers, YesNo
from app.coaching.weeks import day_words, local_day

#: What stands beside a heart rate that is kept and shown, but steers and judges nothing.
RECORDED_ONLY = "recorded only, not compared"

_SLOWING = frozenset(group.key for group in MEDICINE_GROUPS if group.uncouples_heart_rate)
_ACTIVE = frozenset(group.key for group in MEDICINE_GROUPS if group.facts)
#: Stands for a group when the single answers were not kept.
_UNNAMED = "not said which"


@dataclass(frozen=True, slots=True)
class HeartRateTrust:
    """What a client's heart rate is worth on a day.

    `use` is the client's record, made stricter by what the answers and holds say. `breaks` are the days up to that
    day on which a medicine that acts on heart rate was begun, stopped or changed: nothing is compared across one.
    """

    use: HeartRateUse
    #: The first day it is not reliable; None when it is, or when the record alone says so, which knows no day.
    since_on: date | None = None
    because: tuple[str, ...] = ()
    breaks: tuple[date, ...] = ()

    @property
    def is_off(self) -> bool:
        """Whether no heart rate may steer or be compared."""
        return self.use is HeartRateUse.NOT_RELIABLE

    @property
    def sentence(self) -> str:
        """Why it is off, for a page; empty while it is not."""
        if not self.is_off:
            return ""
        return f"Heart rate is not reliable for this client: {'; '.join(self.because)}. Steer by talk and effort."

    def beside(self, said: str) -> str:
        """A recorded heart rate as it is shown: marked while it is off."""
        return f"{said} ({RECORDED_ONLY})" if self.is_off else said

    def breaks_between(self, earlier: date, later: date) -> bool:
        """Whether a medicine changed between two days, both included."""
        return any(earlier <= one <= later for one in self.breaks)

    def may_compare(self, earlier: date, later: date) -> bool:
        """Whether heart rates of two days may stand against each other."""
        return not self.is_off and not self.breaks_between(earlier, later)


def heart_rate_trust(
    client: Client,
    day: date,
    *,
    answers: Sequence[ScreeningAnswers] = (),
    holds: Sequence[Hold] = (),
    changed_on: Collection[date] = (),
) -> HeartRateTrust:
    """What a client's heart rate is worth on a day, from the records up to that day.

    changed_on: days of notes that say a medicine changed.

    Not reliable: the record says so; the newest answers name a medicine or rhythm that uncouples it (not sure counts
    as yes) and nobody has reviewed it since; or a medicine change waits for its review. Lifting that hold is the
    review: from that day the client's record counts again, and with such a medicine only the word "reliable" does.
    Breaks: notes that say a medicine changed, holds for one, answers that name other groups than the ones before.
    Source: house choice, after common practice: a change of dose or hour makes the series begin anew.
    """
    known = sorted((one for one in answers if one.answered_on <= day), key=lambda one: (one.answered_on, one.id))
    changes = [one for one in holds if one.kind is HoldKind.MEDICINE_CHANGE and one.began_on <= day]
    reasons = [
        *_by_record(client),
        *_by_answers(client, known, changes, day),
        *_by_hold(client, changes, day),
    ]
    since = [on for on, _ in reasons]
    days = [on for on in since if on is not None]
    return HeartRateTrust(
        use=HeartRateUse.NOT_RELIABLE if reasons else client.heart_rate_use,
        since_on=min(days) if days and None not in since else None,
        because=tuple(words for _, words in reasons),
        breaks=_breaks(known, changes, [one for one in changed_on if one <= day]),
    )


def trust_of(history: History, day: date) -> HeartRateTrust:
    """The same from a client's history."""
    noted = {one.noted_on for one in history.readiness if one.medicine_changed}
    return heart_rate_trust(
        history.client,
        day,
        answers=history.screening,
        holds=history.holds,
        changed_on=noted.union(history.medicine_changes),
    )


def since_last_break(
    notes: Iterable[ReadinessNote], day: date, heart_rate: HeartRateTrust
) -> tuple[ReadinessNote, ...]:
    """The notes up to a day whose heart rate may be set beside that day's: all after the last break, none when off.

    A note of the day of the change itself stands on neither side.
    """
    if heart_rate.is_off:
        return ()
    last = max((one for one in heart_rate.breaks if one <= day), default=None)
    return tuple(one for one in notes if one.noted_on <= day and (last is None or one.noted_on > last))


_Reason = tuple[date | None, str]


def _by_record(client: Client) -> list[_Reason]:
    is_off = client.heart_rate_use is HeartRateUse.NOT_RELIABLE
    return [(None, "the client's record says so")] if is_off else []


def _by_answers(
    client: Client, known: Sequence[ScreeningAnswers], changes: Sequence[Hold], day: date
) -> list[_Reason]:
    """The newest answers name something that uncouples it; the review is asked for since they first did."""
    if not known or known[-1].heart_rate_medicine is not YesNo.YES:
        return []
    first = known[-1]
    for one in reversed(known):
        if _named(one, _SLOWING) != _named(known[-1], _SLOWING):
            break
        first = one
    is_reviewed = any(
        one.lifted_at is not None
        and one.lifted_at >= first.entered_at
        and local_day(one.lifted_at, client.zone) <= day
        for one in changes
    )
    if is_reviewed and client.heart_rate_use is HeartRateUse.RELIABLE:
        return []
    words = f"the answers of {day_words(first.answered_on)} name a medicine or rhythm that uncouples it"
    return [(first.answered_on, words)]


def _by_hold(client: Client, changes: Sequence[Hold], day: date) -> list[_Reason]:
    return [
        (one.began_on, f"a medicine changed on {day_words(one.began_on)} and the source is not reviewed yet")
        for one in changes
        if one.lifted_at is None or local_day(one.lifted_at, client.zone) > day
    ]


def _breaks(
    known: Sequence[ScreeningAnswers], changes: Sequence[Hold], changed_on: Sequence[date]
) -> tuple[date, ...]:
    days = set(changed_on)
    days |= {one.began_on for one in changes}
    days |= {later.answered_on for earlier, later in pairwise(known) if _has_changed(earlier, later)}
    return tuple(sorted(days))


def _has_changed(earlier: ScreeningAnswers, later: ScreeningAnswers) -> bool:
    return _named(earlier, _ACTIVE) != _named(later, _ACTIVE)


def names_other_groups(earlier: ScreeningAnswers | None, later: ScreeningAnswers) -> bool:
    """Whether later answers name other medicines or rhythms that uncouple heart rate than the answers before."""
    named = _named(later, _SLOWING)
    return bool(named) and earlier is not None and named != _named(earlier, _SLOWING)


def _named(answers: ScreeningAnswers, groups: frozenset[str]) -> frozenset[str]:
    """The groups of medicines answered with yes or not sure; a sum of yes without them names an unnamed one."""
    found = groups & named_medicines(answers)
    is_said = answers.heart_rate_medicine is YesNo.YES
    return found | {_UNNAMED} if is_said and not found & _SLOWING else found
