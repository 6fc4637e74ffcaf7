"""What a story of the demo is made of: who somebody is, how they answer, and the stretches of their year.

Weeks are counted from the week of the demo's day (0 is that week, -1 the one before), days from the day itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.coaching.people import ClientState, HeartRateUse, Mode, Origin, Sex
from app.coaching.phases import DecisionKind, Phase
from app.coaching.session_logs import WhyNot

#: Of the calm ones: the week that is over and the two it is held against are whole on any day of the demo.
STEADY_DAYS = 30


@dataclass(frozen=True, slots=True)
class Stretch:
    """Weeks in one phase, and the decision they began with."""

    phase: Phase
    first_week: int
    last_week: int
    #: Weekly minutes at the beginning and the most the plan goes up to.
    minutes: tuple[int, int]
    reason: str
    aim: str
    kind: DecisionKind = DecisionKind.PROMOTE
    #: Days of the hard sessions, counted from the demo's day; each stands for its weekday.
    hard_days: tuple[int, ...] = ()
    protocol: str = "four_by_four"
    #: How hard work is done, where it differs from the usual way.
    mode: Mode | None = None
    override: str | None = None
    #: The last day of keeping, in weeks from the demo's week.
    until_week: int | None = None


@dataclass(frozen=True, slots=True)
class Habit:
    """How somebody does and answers what is planned."""

    #: Share of the sessions that are done.
    done: float = 0.77
    #: Never loses a week: at most one outing of four goes, and never the longest.
    keeps_weeks: bool = False
    #: Weeks in which hardly anything was done, with the reason given.
    lost_weeks: Mapping[int, WhyNot] | None = None
    efforts: tuple[int, ...] = (2, 3, 3, 4)
    #: Share of the entries with words of the client's own.
    words: float = 0.22
    origin: Origin = Origin.CLIENT
    #: Days between readiness notes; 0: none.
    notes_every: int = 7
    #: What the four items usually are.
    usual: tuple[int, int, int, int] = (3, 3, 2, 2)
    #: Nothing is entered from so many days ago on.
    silent_days: int | None = None
    #: Everything is done as planned from so many days ago on.
    steady_days: int = 0
    #: Sessions not done lately, by days ago, with the reason given.
    missed: Mapping[int, WhyNot] | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One invented client: who it is, what the story says, and the year."""

    key: str
    name: str
    age: int
    sex: Sex
    story: str
    goal: str
    goal_why: str
    mode: Mode
    #: Training days, counted from the demo's day, with the longest slot in minutes.
    days: Mapping[int, int]
    place: str
    joined_week: int
    emergency: str
    year: tuple[Stretch, ...] = ()
    habit: Habit = Habit()
    state: ClientState = ClientState.ACTIVE
    coach: str = "head"
    has_phone: bool = True
    #: Looked at this week's plan on the phone.
    has_looked: bool = True
    confidence: int = 7
    kit: str | None = None
    #: The practice's hill that hard rounds are done on.
    hill: str | None = None
    base_weeks_asked: int | None = None
    is_regularly_active: bool = False
    heart_rate_use: HeartRateUse = HeartRateUse.RELIABLE
    heart_rate_source: str | None = "chest strap"
    effort_plan: str | None = None
    #: Watts of a work round, for those who ride with a power meter.
    round_power_w: float | None = None
    #: Metres a second of a work round, for those who know their distance.
    round_speed_m_per_s: float | None = None
    #: Of the standard loop at first: metres, seconds, beats; and beats it has come down since.
    loop: tuple[int, int, int] | None = (4000, 2700, 122)
    loop_gain_bpm: int = 6
    #: The week of the last standard loop, and how many weeks lie between them.
    last_loop_week: int = -3
    has_disease: bool = False
    medicines: tuple[str, ...] = ()
    pressure: tuple[int, int] = (128, 79)
    #: Days since the questions were answered last, and since the last contact.
    asked_days_ago: int = 40
    spoken_days_ago: int = 5
    #: Private notes after the story: weeks ago and the words.
    later_notes: tuple[tuple[int, str], ...] = ()
    #: A short note the client finds on Today: days ago and the words.
    note_to_client: tuple[int, str] | None = None
    remark: str | None = None
    #: Consent for hard work and the stop signs, in days ago; None: only with a promotion.
    agreed_days_ago: int | None = None

    @property
    def goes_to_two(self) -> bool:
        """Whether two hard sessions a week come in the year."""
        return any(stretch.phase is Phase.INTERVAL_TWO for stretch in self.year)
