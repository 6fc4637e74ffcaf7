"""What was told about one client, and what surely follows from it: the safety rules read a second time.

Nothing of the application's own rules is used here. Only what is beyond doubt is said: where the rules leave room the
answer is None, so that a reason found here is a reason to stop whatever else stands in the record.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta

WEEK = timedelta(weeks=1)
#: Screening and safety reference: papers count a year; asked every twelve weeks; a gap is two weeks.
PAPER_DAYS, ASKED_DAYS, GAP_DAYS, TRANSITION_WEEKS = 365, 84, 14, 12
#: Free of fever for three days before light work and seven before an interval; the first well day comes after it.
EASY_AFTER_FEVER, HARD_AFTER_FEVER = timedelta(days=4), timedelta(days=8)
#: Then half the minutes for as many days as were lost, and at most this many, before anything hard.
HALF_DAYS_MOST = 14
#: A resting heart rate above this on two readings: no session.
RESTING_RATE_HIGHEST = 100


@dataclass(frozen=True)
class Answered:
    """One filled-in set of questions; not sure is written down as yes."""

    on: date
    is_active: bool
    has_disease: bool
    has_symptom: bool
    is_pregnant: bool
    has_news: bool


@dataclass(frozen=True)
class Paper:
    """A clinician's answer as it was kept."""

    on: date
    is_granted: bool
    is_wide: bool = False
    is_seen: bool = False
    ends_on: date = date.max

    @property
    def is_sound(self) -> bool:
        """Granted, and seen by somebody here."""
        return self.is_granted and self.is_seen


@dataclass(frozen=True)
class OwnNumbers:
    """A clinician's two numbers from a paper: all training stops from them on."""

    on: date
    high: int
    low: int


@dataclass(frozen=True)
class Read:
    """One seated reading; the resting heart rate where it was counted."""

    on: date
    high: int
    low: int
    rate: int | None


@dataclass(frozen=True)
class Paused:
    """A hold that was raised and that nobody lifted."""

    kind: str
    stops: str
    mode: str | None
    began_on: date

    @property
    def stops_all(self) -> bool:
        """Whether it stops everything; one way of moving that is not named is every way."""
        return self.stops == "all" or (self.stops == "mode_and_hard" and self.mode is None)


@dataclass
class Told:
    """Everything that was told and accepted, in the order it came."""

    answers: list[Answered] = field(default_factory=list)
    #: Signs and diseases named in answers that wait to be sent, with the day; gone once answered no.
    signs_named: dict[str, date] = field(default_factory=dict)
    diseases_named: dict[str, date] = field(default_factory=dict)
    #: Days of a symptom of the heart, chest, breath, head, faintness or the like.
    symptoms: list[date] = field(default_factory=list)
    papers: list[Paper] = field(default_factory=list)
    readings: list[Read] = field(default_factory=list)
    #: A clinician's two numbers that nobody took back.
    own_numbers: list[OwnNumbers] = field(default_factory=list)
    outings: set[date] = field(default_factory=set)
    #: First and last day of each stretch told as off, however it was answered.
    days_off: list[tuple[date, date]] = field(default_factory=list)
    fevers: list[date] = field(default_factory=list)
    #: Days of any note that says ill.
    ill: list[date] = field(default_factory=list)
    #: The first day on which nothing is half any more, for each illness that is over.
    whole_again: list[date] = field(default_factory=list)
    #: Consents to hard work in force, and those taken back since.
    agreed: set[str] = field(default_factory=set)
    taken_back: set[str] = field(default_factory=set)
    #: Those given to a text that has changed since.
    outdated: set[str] = field(default_factory=set)
    holds: dict[int, Paused] = field(default_factory=dict)
    talks: list[date] = field(default_factory=list)
    is_promoted: bool = False
    is_brought_in: bool = False
    is_confirmed_active: bool = False

    @property
    def newest(self) -> Answered | None:
        """The answers that count."""
        return max(enumerate(self.answers), key=lambda one: (one[1].on, one[0]))[1] if self.answers else None

    @property
    def last_word(self) -> Paper | None:
        """The paper that counts: the last by its day, told by telephone alone left out."""
        counted = [one for one in enumerate(self.papers) if one[1].is_sound or not one[1].is_granted]
        return max(counted, key=lambda one: (one[1].on, one[0]))[1] if counted else None

    @property
    def symptom_on(self) -> date | None:
        """The day of the latest symptom, reported, answered, or named in an answer that waits to be sent."""
        said = [one.on for one in self.answers if one.has_symptom]
        return max([*said, *self.symptoms, *self.signs_named.values()], default=None)

    def no_hard_because(self, today: date) -> list[str]:
        """Every reason beyond doubt to offer nothing middle or hard today; empty when there is none."""
        return [*self.nothing_because(today), *(word for word, holds in self._hard_stops(today) if holds)]

    def nothing_because(self, today: date) -> list[str]:
        """Every reason beyond doubt to offer nothing at all today; empty when there is none."""
        return [word for word, holds in self._full_stops(today) if holds]

    def stopped_modes(self) -> set[str]:
        """Ways of moving that a hold stops altogether."""
        return {one.mode for one in self.holds.values() if one.mode is not None}

    def _full_stops(self, today: date) -> Iterator[tuple[str, bool]]:
        symptom_on, newest, last = self.symptom_on, self.newest, self.last_word
        later = [one for one in self.papers if one.is_sound and symptom_on and symptom_on < one.on <= today]
        in_date = [one for one in self.papers if one.is_sound and _is_in_date(one, today)]
        yield "a hold on everything", any(one.stops_all for one in self.holds.values())
        yield "a symptom and no later paper", symptom_on is not None and not later
        # With a paper that stands, the table's row for symptoms not known leaves light work, and only that.
        yield "never asked", newest is None and not self.is_brought_in and not in_date
        yield "a refused paper", newest is not None and last is not None and not last.is_granted
        yield "fever", any(day <= today < day + EASY_AFTER_FEVER for day in self.fevers)
        yield "pressure over the limit", self._newest_reading_over(*self._numbers(today))
        yield "a fast heart at rest", self._has_fast_heart()
        yield "disease, inactive, no paper", _is_at_risk(newest) and not in_date
        is_active = newest is not None and newest.is_active
        yield "a disease named and not sent", bool(self.diseases_named) and not is_active and not in_date

    def _hard_stops(self, today: date) -> Iterator[tuple[str, bool]]:
        newest, symptom_on = self.newest, self.symptom_on
        yield "a hold", bool(self.holds)
        yield "fever in the last week", any(day <= today < day + HARD_AFTER_FEVER for day in self.fevers)
        high, low = self._numbers(today)
        yield "pressure over the limit for hard work", self._newest_reading_over(min(160, high), min(100, low))
        yield "on the way back from illness", any(today < day for day in self.whole_again)
        yield "a gap", self._is_in_gap(today)
        yield "two weeks told as off", any(_is_off_or_back(first, last, today) for first, last in self.days_off)
        yield "a paper run out, narrow or overtaken", self._is_paper_short(today)
        yield "consent taken back", bool(self.taken_back)
        yield "consent to an earlier text", bool(self.outdated) and self.is_promoted
        yield "brought in without consent", self.is_brought_in and not self.is_promoted and len(self.agreed) < 2
        yield "a symptom and no wide paper", symptom_on is not None and not self._wide_since(symptom_on, today)
        is_named = bool(self.diseases_named)
        yield "a disease named and no wide paper", is_named and not self._wide_since(date.min, today)
        if newest is None:
            yield "nothing answered", True
            return
        yield "asked too long ago", (today - newest.on).days > ASKED_DAYS
        yield "not asked since a symptom", newest.on < max(self.symptoms, default=date.min)
        yield "disease and no wide paper", newest.has_disease and not self._wide_since(date.min, today)
        yield "pregnant", newest.is_pregnant and not self._wide_since(self._pregnant_since(), today)
        yield "transition", not newest.is_active and self._is_new(today)

    def _newest_reading_over(self, high: int, low: int) -> bool:
        newest = max(enumerate(self.readings), key=lambda one: (one[1].on, one[0]), default=None)
        return newest is not None and (newest[1].high >= high or newest[1].low >= low)

    def _numbers(self, today: date) -> tuple[int, int]:
        """From which numbers on surely everything stops: a clinician's last two, while their paper stands."""
        if not self.own_numbers:
            return 180, 100
        own = max(enumerate(self.own_numbers), key=lambda one: (one[1].on, one[0]))[1]
        new = self._news_days()
        if (today - own.on).days > PAPER_DAYS or any(day > own.on for day in new):
            return min(180, own.high), min(100, own.low)
        return own.high, own.low

    def _news_days(self) -> list[date]:
        """Days of a symptom, however it was told, and of news since the last paper."""
        said = [one.on for one in self.answers if one.has_symptom or one.has_news]
        return [*said, *self.symptoms, *self.signs_named.values()]

    def _has_fast_heart(self) -> bool:
        in_order = sorted(enumerate(self.readings), key=lambda one: (one[1].on, one[0]))
        rates = [one.rate for _, one in in_order if one.rate is not None]
        return len(rates) >= 2 and min(rates[-2:]) > RESTING_RATE_HIGHEST

    def _wide_since(self, day: date, today: date) -> bool:
        return any(one.is_sound and one.is_wide and one.on > day and _is_in_date(one, today) for one in self.papers)

    def _pregnant_since(self) -> date:
        """The first of the unbroken run of answers that say pregnant."""
        run = date.min
        for one in sorted(self.answers, key=lambda one: one.on, reverse=True):
            if not one.is_pregnant:
                break
            run = one.on
        return run

    def _is_paper_short(self, today: date) -> bool:
        last = self.last_word
        if last is None or not last.is_granted:
            return False
        new = self._news_days()
        return not last.is_wide or not _is_in_date(last, today) or any(day > last.on for day in new)

    def _is_in_gap(self, today: date) -> bool:
        """Two weeks off: no hard work while it lasts, nor in the two whole weeks asked for after it."""
        days = sorted(day for day in self.outings if day <= today)
        if not days:
            return False
        steps = zip(days, [*days[1:], today], strict=True)
        return any(
            (b - a).days >= GAP_DAYS and (b == today or _monday(today) - _monday(b) < 2 * WEEK) for a, b in steps
        )

    def _is_new(self, today: date) -> bool:
        weeks = {_monday(day) for day in self.outings if _monday(day) < _monday(today)}
        return len(weeks) < TRANSITION_WEEKS and not self.is_promoted and not self.is_confirmed_active

    def may_be_lifted(self, hold: Paused, given: Lift, today: date) -> bool:
        """Whether what was brought can lift a hold at all; False is beyond doubt."""
        if not given.because.strip():
            return False
        if hold.kind in ("symptom", "clearance", "pregnancy"):
            return given.has_password and self._is_cleared_for(hold, today)
        if hold.kind == "illness":
            return self._is_well(hold, given.well_since_on, today) and self._is_advised(hold, given)
        has_talk = bool(given.talk) or bool(self.talks)
        if hold.kind == "injury":
            easy_on = given.easy_on
            return has_talk and easy_on is not None and hold.began_on < easy_on <= today and easy_on in self.outings
        if hold.kind == "stopped_early":
            return has_talk
        return given.is_reviewed or hold.kind != "medicine_change"

    def _is_cleared_for(self, hold: Paused, today: date) -> bool:
        after = date.min if hold.kind == "clearance" else hold.began_on
        fitting = [one for one in self.papers if one.is_sound and one.on > after and today <= one.ends_on]
        wide = [one for one in fitting if one.is_wide or hold.kind == "symptom" or hold.stops == "all"]
        refused = [one.on for one in self.papers if not one.is_granted]
        return bool(wide) and max(one.on for one in wide) >= max(refused, default=date.min)

    def _is_advised(self, hold: Paused, given: Lift) -> bool:
        """Medical advice comes first where a disease is known, unless only signs above the neck were stopped for."""
        return hold.stops != "all" or given.has_advice or self.newest is None or not self.newest.has_disease

    def comes_back(self, hold: Paused, today: date) -> None:
        """An illness that stopped everything is over: half the minutes for as many days as were lost."""
        if hold.kind == "illness" and hold.stops == "all":
            lost = max(1, (today - hold.began_on).days)
            self.whole_again.append(today + timedelta(days=min(lost, HALF_DAYS_MOST)))

    def _is_well(self, hold: Paused, since: date | None, today: date) -> bool:
        if since is None or since <= hold.began_on or any(day >= since for day in self.ill):
            return False
        return (today - since).days >= (3 if hold.stops == "all" else 7)


@dataclass(frozen=True)
class Lift:
    """What somebody brings to lift a hold."""

    because: str
    has_password: bool
    talk: str | None
    easy_on: date | None
    well_since_on: date | None
    is_reviewed: bool
    has_advice: bool = True


def _is_in_date(paper: Paper, today: date) -> bool:
    return paper.on <= today <= paper.ends_on and (today - paper.on).days <= PAPER_DAYS


def _is_off_or_back(first: date, last: date, today: date) -> bool:
    """Whether two weeks or more told as off go on, or the two whole weeks asked for after them are not over."""
    days = (min(last, today) - first).days + 1
    return days >= GAP_DAYS and _monday(today) - _monday(last + timedelta(days=1)) < 2 * WEEK


def _is_at_risk(answers: Answered | None) -> bool:
    return answers is not None and answers.has_disease and not answers.is_active


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
