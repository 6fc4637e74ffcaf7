"""What a target is worked out from, and one form of it as it is offered to the coach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.after_days_off import AfterDaysOff, afresh_words
from app.coaching.days_off import Run
from app.coaching.executed import Executed
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.history import History
from app.coaching.measured import Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.steps import Part, flatten, from_json
from app.coaching.typed_content import UPHILL

#: Shares of W' or D' a coach may ask to be left after the last round; 30 % is usual.
LEAST_RESERVE, USUAL_RESERVE, MOST_RESERVE = 0.05, 0.30, 0.80
#: Whoever was not regularly active is paced by effort and speech alone for so many hard sessions (house choice).
PACED_BY_EFFORT_SESSIONS = 6


@dataclass(frozen=True, slots=True)
class RoundsAsked:
    """The equal rounds of a session, as its steps say them."""

    rounds: int
    work_s: int
    recovery_s: int


@dataclass(frozen=True, slots=True)
class TargetWishes:
    """What a coach may change while looking at targets; None takes what is usual."""

    reserve_fraction: float = USUAL_RESERVE
    recovery_power_w: float | None = None
    recovery_speed_m_per_s: float | None = None
    #: Rounds run by distance instead of by time, m.
    distance_m: float | None = None
    pool_m: float = 25.0


@dataclass(frozen=True, slots=True)
class TargetScene:
    """One session, and everything known of its client that a target may rest on."""

    session: PlannedSession
    asked: RoundsAsked
    history: History
    measured: tuple[Measured, ...]
    heart_rate: HeartRateTrust
    #: Hard sessions of rounds with how they went, oldest first.
    executed: tuple[Executed, ...]
    #: Hard sessions done that count for progress.
    hard_done: int
    is_brought_in: bool
    first_of_phase: bool
    wishes: TargetWishes = TargetWishes()
    #: Days off that still make its rounds gentler; None without any.
    days_off: AfterDaysOff | None = None
    #: The last days off from which targets begin afresh; None without any.
    afresh: Run | None = None

    @property
    def mode(self) -> Mode:
        """How the session is done."""
        return self.session.mode

    @property
    def day(self) -> date:
        """The session's day."""
        return self.session.planned_on

    @property
    def is_on_a_hill(self) -> bool:
        """Whether its rounds go uphill."""
        return self.session.place == UPHILL or self.session.hill_id is not None

    @property
    def is_paced_by_effort_only(self) -> bool:
        """Whether the client began untrained and has not done enough hard sessions for anything but effort."""
        is_new = self.history.client.regularly_active_confirmed_on is None and not self.is_brought_in
        return is_new and self.hard_done < PACED_BY_EFFORT_SESSIONS

    def newest(self, kind: MeasuredKind, mode: Mode | None) -> Measured | None:
        """The newest measured figure of a kind that counts on the session's day."""
        return newest_measured(self.measured, kind, mode, self.day)

    def gone_stale(self, found: Measured) -> str:
        """Why no target is made from a figure on the session's day, as the end of a sentence; empty when one is."""
        if is_too_old(found, self.day):
            return "over half a year before"
        return self.before_afresh(found.measured_on)

    def before_afresh(self, on: date) -> str:
        """Why what was measured on a day waits to be measured again after days off; empty when it does not."""
        return afresh_words(self.afresh) if self.afresh is not None and on < self.afresh.back_on else ""

    def last_target(self, form: TargetForm) -> SessionTarget | None:
        """The target of the last session done the same way that had one of this form.

        While days off make rounds gentler it is the last one before them, which they are reckoned from.
        """
        done = self.executed
        if self.target_off and self.days_off is not None:
            done = tuple(one for one in done if one.on < self.days_off.run.first_on)
        return self._last_of(form, done)

    def is_first_by(self, form: TargetForm) -> bool:
        """Whether it is the first session done this way by this form, counted afresh after long days off."""
        since = self.afresh.back_on if self.afresh is not None else date.min
        return self._last_of(form, [one for one in self.executed if one.on >= since]) is None

    @property
    def target_off(self) -> float:
        """How much lower a target is after days off; 0 when it is as ever."""
        return self.days_off.target_off if self.days_off is not None else 0.0

    @property
    def days_off_figures(self) -> tuple[Figure, ...]:
        """What days off ask of the target, for its reason; empty when nothing."""
        return (self.days_off.figure,) if self.days_off is not None and self.target_off else ()

    def after_days_off(self, figure: float, form: TargetForm) -> float:
        """A figure as days off leave it: gentler by the row's share, and no harder than the last one since them."""
        if self.days_off is None or not self.target_off:
            return figure
        back_on = self.days_off.run.back_on
        last = self._last_of(form, [one for one in self.executed if one.on >= back_on])
        since = last.hardest if last is not None else None
        if form is TargetForm.PACE:
            slower = figure / (1 - self.target_off)
            return slower if since is None else max(slower, since)
        lower = figure * (1 - self.target_off)
        return lower if since is None else min(lower, since)

    def _last_of(self, form: TargetForm, done: Sequence[Executed]) -> SessionTarget | None:
        alike = (one for one in reversed(done) if one.mode is self.mode and one.target is not None)
        return next((one.target for one in alike if one.target is not None and one.target.form is form), None)


@dataclass(frozen=True, slots=True)
class ModelLine:
    """What one form of the balance says: its answer, its range, and what the offered value leaves after rounds."""

    name: str
    says: str
    value: float | None
    range: tuple[float, float] | None
    #: Share left after each round at the value offered, and its range; shorter where it runs out.
    left: tuple[float, ...] = ()
    left_range: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Option:
    """One form of target: what it would be, or what is missing for it."""

    key: str
    form: TargetForm
    title: str
    target: SessionTarget | None
    missing: tuple[str, ...]
    #: What it comes to, in a sentence for the coach.
    sentence: str
    uncertainty: str
    why: Why
    models: tuple[ModelLine, ...] = ()
    #: The hardest figure a coach may type: the most watts, the fewest seconds a kilometre; None: nothing is typed.
    hardest: float | None = None
    #: What to say of a target far above what was done; empty when it is not.
    far_above: str = ""

    @property
    def is_offered(self) -> bool:
        """Whether it can be chosen."""
        return self.target is not None


def missing_option(
    key: str, form: TargetForm, title: str, missing: Sequence[str], *, rule: str, models: Sequence[ModelLine] = ()
) -> Option:
    """A form that cannot be offered, with everything that is missing for it, each without its full stop."""
    said = tuple(one.removesuffix(".") for one in missing)
    figures = tuple(Figure("missing", one) for one in said)
    return Option(key, form, title, None, said, "", "", Why(figures, rule, Provenance.COMMON_PRACTICE), tuple(models))


def rounds_asked(session: PlannedSession) -> RoundsAsked | None:
    """The equal rounds of a session; None when it has none, or they differ in length."""
    steps = list(flatten(from_json(session.steps_json)))
    work = [one.duration_s for one in steps if one.part is Part.WORK]
    rest = [one.duration_s for one in steps if one.part is Part.RECOVERY]
    if not work or len(set(work)) > 1 or len(set(rest)) > 1:
        return None
    return RoundsAsked(len(work), work[0], rest[0] if rest else work[0])
