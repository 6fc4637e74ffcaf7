"""The clients of the demo who do hard work, once or twice a week."""

from __future__ import annotations

from app.coaching.people import Mode, Sex
from app.coaching.phases import DecisionKind, Phase
from app.coaching.session_logs import WhyNot
from app.demo.parts import STEADY_DAYS, Habit, Part, Stretch


def _base(first: int, last: int, minutes: tuple[int, int], reason: str, aim: str) -> Stretch:
    return Stretch(Phase.AEROBIC_BASE, first, last, minutes, reason, aim, kind=DecisionKind.START)


def _one(first: int, last: int, minutes: int, days: tuple[int, ...], reason: str, **more: object) -> Stretch:
    aim = "One hard session a week, learned slowly"
    given = {"hard_days": days, "protocol": "four_by_four"} | more
    return Stretch(Phase.INTERVAL_ONE, first, last, (minutes, minutes), reason, aim, **given)  # type: ignore[arg-type]  # words of Stretch


RUUD = Part(
    key="ruud",
    name="Ruud Tenbrink",
    age=41,
    sex=Sex.MALE,
    story=(
        "Runs with a club on the side and calls its races 'not counted'. Quick, cheerful, deaf on that ear. Was let "
        "into hard work early, with a reason on file; has turned easy days hard ever since. Does listen when the "
        "numbers are laid on the table."
    ),
    goal="Five kilometres under twenty-one minutes",
    goal_why="The club's board has a line there",
    mode=Mode.RUN,
    days={0: 75, 2: 60, 4: 100, -2: 60},
    place="club track and the woods",
    joined_week=-30,
    emergency="Bente Tenbrink, wife",
    year=(
        _base(-29, -11, (130, 210), "Runs already; the easy share is what is missing.", "Easy means easy"),
        _one(
            -10,
            6,
            215,
            (0,),
            "Wants to race and will not wait. One a week, watched closely.",
            override="Short of the held weeks. Active for years, and better off with a plan than without one.",
        ),
    ),
    habit=Habit(done=0.74, keeps_weeks=True, efforts=(3, 4, 4), words=0.25),
    is_regularly_active=True,
    round_speed_m_per_s=3.6,
    loop=(6000, 2040, 141),
    asked_days_ago=52,
    spoken_days_ago=10,
    remark="Easy days that were none. Talked about what a fortnight can hold.",
)

MIRELA = Part(
    key="mirela",
    name="Mirela Stanek",
    age=44,
    sex=Sex.FEMALE,
    story=(
        "Paediatric ward doctor, single mother of one. Precise and hard on herself. Rides indoors before the house "
        "wakes. Her notes are worth reading: when she says tired, she is."
    ),
    goal="The mountain pass she gave up on at thirty",
    goal_why="To have it behind her",
    mode=Mode.INDOOR_RIDE,
    days={0: 75, 2: 60, 3: 75, 5: 100},
    place="at home, on the indoor bike",
    joined_week=-50,
    emergency="Jana Stanek, sister",
    year=(
        _base(-49, -21, (130, 220), "A proper base before the pass.", "Four rides a week, chatting"),
        _one(-20, -9, 220, (0,), "Every condition met; she asked for it in writing."),
        Stretch(
            Phase.INTERVAL_TWO,
            -8,
            6,
            (225, 225),
            "Eleven weeks on one, all rounds done, the last ones standing.",
            "Two hard sessions, three days between",
            hard_days=(0, 3),
        ),
    ),
    habit=Habit(done=0.76, keeps_weeks=True, notes_every=2, words=0.15, usual=(2, 3, 3, 2)),
    kit="indoor bike with power",
    round_power_w=186,
    loop=(15000, 2460, 131),
    loop_gain_bpm=9,
    asked_days_ago=48,
    spoken_days_ago=5,
    pressure=(116, 74),
)

FRAUKE = Part(
    key="frauke",
    name="Frauke Timm",
    age=50,
    sex=Sex.FEMALE,
    story=(
        "Auditor, three nights a week in hotels. Walks on hotel treadmills and knows their faults. Does the hard "
        "session first thing or not at all; travel eats it about once a month."
    ),
    goal="Climb four floors and still talk",
    goal_why="A meeting she does not want to remember",
    mode=Mode.TREADMILL,
    days={-2: 75, 0: 60, 2: 60, 3: 90},
    place="the hotel treadmill",
    joined_week=-42,
    emergency="Malte Timm, husband",
    year=(
        _base(-41, -14, (110, 180), "Never trained; a base first.", "Four times a week, on hotel treadmills"),
        _one(-13, 6, 185, (-2,), "The base is there; uphill walking, no running.", protocol="uphill_walk"),
    ),
    habit=Habit(done=0.66, keeps_weeks=True, missed={2: WhyNot.TRAVEL}),
    loop=(4000, 2520, 127),
    asked_days_ago=38,
    spoken_days_ago=9,
)

ANTON = Part(
    key="anton",
    name="Anton Rieder",
    age=61,
    sex=Sex.MALE,
    story=(
        "Type 2 diabetes, well managed, tablets only. His doctor signed for hard work a year ago and wants to see "
        "him every twelve months. Vineyard owner: strong legs, no patience with paper."
    ),
    goal="Off the second tablet",
    goal_why="His doctor said it might happen",
    mode=Mode.RIDE,
    days={-2: 60, 1: 75, 3: 60, 4: 110},
    place="vineyard roads",
    joined_week=-51,
    emergency="Theres Rieder, wife",
    year=(
        _base(-50, -19, (110, 190), "Cleared for hard work; a base first all the same.", "Riding most days"),
        _one(-18, 6, 200, (1,), "Cleared, base held, sugar steady.", mode=Mode.INDOOR_RIDE),
    ),
    habit=Habit(done=0.66, keeps_weeks=True, efforts=(2, 3, 3)),
    base_weeks_asked=20,
    has_disease=True,
    loop=(13000, 2520, 124),
    asked_days_ago=60,
    spoken_days_ago=7,
    pressure=(139, 85),
)

SANNE = Part(
    key="sanne",
    has_looked=False,
    name="Sanne Kuiper",
    age=35,
    sex=Sex.FEMALE,
    story=(
        "Kindergarten teacher: every cold of the town passes through her first. Rowed as a girl and is strong. "
        "Needs to be told to rest and is grateful for it the week after."
    ),
    goal="A quick lap of the lake in the double",
    goal_why="Her old partner has asked her",
    mode=Mode.ROW,
    days={0: 60, 2: 60, 4: 90, 5: 60},
    place="boathouse",
    joined_week=-45,
    emergency="Wout Kuiper, father",
    year=(
        _base(-44, -13, (120, 190), "Strong, but years off. Base first.", "Four rows a week, long and low"),
        _one(-12, 6, 200, (4,), "Base held through a season of colds."),
    ),
    habit=Habit(done=0.66, keeps_weeks=True, notes_every=4, silent_days=2),
    kit="rowing machine",
    loop=(8000, 2460, 133),
    asked_days_ago=41,
    spoken_days_ago=6,
    coach="second",
)

MATTHIS = Part(
    key="matthis",
    name="Matthis Korver",
    age=36,
    sex=Sex.MALE,
    story=(
        "Hill rider. Builds guitars, so he hears when a round is uneven before the figures say it. Two hard sessions "
        "a week for two months and the better for it. The roll back down is his recovery; he never stands still."
    ),
    goal="Four even rounds on the quarry hill",
    goal_why="Even is beautiful",
    mode=Mode.RIDE,
    days={0: 75, 2: 75, 3: 75, 5: 150},
    place="quarry hill",
    joined_week=-51,
    emergency="Ilse Korver, mother",
    year=(
        _base(-50, -22, (150, 240), "Active, but all of it middle. Easy first.", "Four rides, all chatting"),
        _one(-21, -10, 240, (0,), "Everything met, and he can wait."),
        Stretch(
            Phase.INTERVAL_TWO,
            -9,
            6,
            (260, 260),
            "Twelve weeks on one; the last rounds as even as the first.",
            "Two on the hill, three days between",
            hard_days=(0, 3),
        ),
    ),
    habit=Habit(done=0.7, keeps_weeks=True, efforts=(2, 3, 3), words=0.2, steady_days=STEADY_DAYS),
    is_regularly_active=True,
    kit="road bike with power, low gear",
    hill="Quarry hill, from the gate",
    round_power_w=252,
    loop=(18000, 2520, 132),
    loop_gain_bpm=8,
    asked_days_ago=35,
    spoken_days_ago=4,
    pressure=(121, 72),
    remark="Every hard session even. Nothing to change.",
)

HELMUT = Part(
    key="helmut",
    name="Helmut Grothe",
    age=72,
    sex=Sex.MALE,
    story=(
        "Retired postman. One hard session a week on the indoor bike, his wife reading in the same room. At 72 one a "
        "week is a good end, not a waiting room; that was talked over and written down."
    ),
    goal="Still on the bike at eighty",
    goal_why="His father was not",
    mode=Mode.INDOOR_RIDE,
    days={-1: 60, 1: 60, 3: 75, 5: 60},
    place="living room, on the indoor bike",
    joined_week=-50,
    emergency="Marga Grothe, wife",
    year=(
        _base(-49, -25, (100, 160), "Twenty held weeks asked, at his age.", "Four rides a week, chatting"),
        _one(-24, 6, 180, (1,), "Base held. One a week, someone in the room for the first two."),
    ),
    habit=Habit(done=0.7, keeps_weeks=True, efforts=(2, 3, 3), steady_days=STEADY_DAYS),
    base_weeks_asked=20,
    kit="indoor bike",
    loop=(13000, 2640, 117),
    asked_days_ago=27,
    spoken_days_ago=8,
    note_to_client=(3, "Your last sessions were the most even yet. The same again this week, nothing more."),
    medicines=("statin",),
    pressure=(137, 78),
    later_notes=((-6, "Asked himself whether two a week would be better. Agreed: one, kept for good."),),
)

IN_HARD_WORK = (RUUD, MIRELA, FRAUKE, ANTON, SANNE, MATTHIS, HELMUT)
