"""The clients of the demo who are building their base."""

from __future__ import annotations

from app.coaching.people import HeartRateUse, Mode, Origin, Sex
from app.coaching.phases import DecisionKind, Phase
from app.coaching.session_logs import WhyNot
from app.demo.parts import STEADY_DAYS, Habit, Part, Stretch


def _base(first: int, last: int, minutes: tuple[int, int], reason: str, aim: str) -> Stretch:
    return Stretch(Phase.AEROBIC_BASE, first, last, minutes, reason, aim, kind=DecisionKind.START)


HEDDA = Part(
    key="hedda",
    has_looked=False,
    name="Hedda Marquart",
    age=63,
    sex=Sex.FEMALE,
    story=(
        "Never trained before. Ran a flower shop for thirty years, always on her feet, never out of breath. Began "
        "after a friend had bypass surgery. Careful, honest, apologises for every missed walk. Worries about the "
        "hill behind her house and climbs it every day."
    ),
    goal="Up the hill behind the house without a stop",
    goal_why="The view, and not to be the one the others wait for",
    mode=Mode.WALK,
    days={0: 60, 2: 60, 4: 60, 6: 75},
    place="orchard path",
    joined_week=-10,
    emergency="Arne Marquart, brother",
    year=(
        _base(
            -9, 6, (90, 150), "Never trained: twelve easy weeks first, by talk alone.", "Walking four times a week"
        ),
    ),
    habit=Habit(done=0.8, efforts=(2, 3, 3), words=0.3, silent_days=2),
    loop=(2600, 2160, 118),
    last_loop_week=-2,
    asked_days_ago=66,
    spoken_days_ago=6,
    pressure=(138, 84),
    remark="A first month of four walks a week, all of them chatting. No hurry from here.",
)

WALTRAUD = Part(
    key="waltraud",
    name="Waltraud Ohm",
    age=68,
    sex=Sex.FEMALE,
    story=(
        "On a beta-blocker for her blood pressure for years; her heart rate says nothing about effort. Retired "
        "choir leader, so the talk test is the singing test for her. Walks at the same hour every day and knows "
        "every dog on the way."
    ),
    goal="A week of walking in the hills with the choir",
    goal_why="They go every spring and she always stayed at the inn",
    mode=Mode.WALK,
    days={1: 60, 3: 60, 5: 90, 6: 60},
    place="canal",
    joined_week=-34,
    emergency="Friedrun Ohm, daughter",
    year=(
        _base(-33, -18, (95, 150), "A long base; steered by talk only.", "Four walks a week, singing the first"),
        _base(-17, 6, (145, 190), "The base goes on.", "Towards three hours a week"),
    ),
    habit=Habit(done=0.72, efforts=(2, 3, 4), usual=(3, 2, 2, 3), steady_days=STEADY_DAYS),
    base_weeks_asked=26,
    heart_rate_use=HeartRateUse.NOT_RELIABLE,
    heart_rate_source=None,
    effort_plan="By talk only: sing the first ten minutes, chat after that. No heart rate on any plan.",
    loop=(3600, 2760, 104),
    loop_gain_bpm=0,
    last_loop_week=-5,
    medicines=("beta_blocker",),
    pressure=(136, 82),
    asked_days_ago=33,
    spoken_days_ago=4,
    later_notes=((-12, "Tablet moved from morning to evening by her doctor, same dose. Talked it through."),),
)

ERNST = Part(
    key="ernst",
    name="Ernst Halvard",
    age=74,
    sex=Sex.MALE,
    story=(
        "No mobile phone and no wish for one. Keeps a paper diary in a carpenter's hand, reads it out on the phone "
        "each week and brings the pages in. Retired joiner; two new hips, both good. Never overstates anything."
    ),
    goal="Carry the wood up without pausing on the stairs",
    goal_why="It was always his job",
    mode=Mode.WALK,
    days={-1: 60, 1: 60, 3: 75, 5: 60},
    place="forest road",
    joined_week=-44,
    emergency="Liv Halvard, wife",
    year=(
        _base(-43, -28, (90, 130), "Easy base; the hips decide the surface.", "Four walks a week on soft ground"),
        _base(-27, -12, (130, 170), "The base goes on.", "A longer walk each week"),
        _base(-11, 5, (165, 180), "Steady is the goal now.", "Holding three hours"),
    ),
    habit=Habit(
        done=0.78, efforts=(2, 2, 3), origin=Origin.FROM_PAPER, notes_every=0, words=0.3, steady_days=STEADY_DAYS
    ),
    has_phone=False,
    heart_rate_use=HeartRateUse.NOT_RELIABLE,
    heart_rate_source=None,
    effort_plan="By talk; no watch, no strap.",
    loop=(3200, 2640, 108),
    last_loop_week=-5,
    medicines=("statin",),
    pressure=(142, 80),
    asked_days_ago=45,
    spoken_days_ago=3,
    remark="Hardly a gap. The paper diary is the best log of the practice.",
)

ILKA = Part(
    key="ilka",
    name="Ilka Brandner",
    age=52,
    sex=Sex.FEMALE,
    story=(
        "School librarian, two grown children. Came with 'I am not sporty' and has not missed two outings running "
        "since. Asked early when the hard part begins; was told: when the base is there. It is there now."
    ),
    goal="Keep up with her daughter on a day's hike",
    goal_why="They used to, until she fell behind",
    mode=Mode.WALK,
    days={-2: 75, 0: 60, 2: 60, 3: 120},
    place="reservoir",
    joined_week=-29,
    emergency="Konrad Brandner, husband",
    year=(
        _base(-28, -15, (110, 170), "Never trained; 26 held weeks before anything hard.", "Four outings a week"),
        _base(-14, 5, (165, 200), "The base goes on.", "Three hours a week, all of it chatting"),
    ),
    habit=Habit(done=0.7, keeps_weeks=True, efforts=(2, 3, 3), lost_weeks={-19: WhyNot.ILL, -27: WhyNot.CARING}),
    loop=(4200, 2820, 124),
    loop_gain_bpm=8,
    asked_days_ago=12,
    spoken_days_ago=7,
    agreed_days_ago=9,
    pressure=(124, 78),
    remark="One held week after the other. The conversation about hard work is next.",
)

JOSEF = Part(
    key="josef",
    name="Josef Amrein",
    age=58,
    sex=Sex.MALE,
    story=(
        "Long-distance lorry driver until his back said no; now in the depot office. Lost eleven kilos on his own "
        "before he came. Counts everything. Two weeks short of the base he was told to build, and says so each call."
    ),
    goal="Ride round the lake with his brother",
    goal_why="A promise from ten years ago",
    mode=Mode.INDOOR_RIDE,
    days={-1: 60, 1: 60, 3: 60, 5: 100},
    place="garage, on the indoor bike",
    joined_week=-26,
    emergency="Regula Amrein, wife",
    year=(
        _base(-25, -14, (110, 165), "Easy base on the bike, for the back.", "Four rides a week"),
        _base(-13, 6, (160, 200), "The base goes on.", "Three hours a week in the saddle"),
    ),
    habit=Habit(done=0.72, keeps_weeks=True, efforts=(3, 3, 4), notes_every=5),
    kit="indoor bike",
    loop=(14000, 2580, 126),
    loop_gain_bpm=7,
    asked_days_ago=18,
    spoken_days_ago=5,
    agreed_days_ago=16,
    pressure=(134, 84),
)

BRUNO = Part(
    key="bruno",
    name="Bruno Castell",
    age=49,
    sex=Sex.MALE,
    story=(
        "Pastry chef, up at three in the morning, in bed at eight. Came back to running after twenty years and does "
        "everything a little too soon. The left knee has spoken before, always after downhill."
    ),
    goal="Run ten kilometres without walking",
    goal_why="Because at thirty he could",
    mode=Mode.RUN,
    days={-2: 50, 0: 50, 2: 50, 4: 75},
    place="river meadows",
    joined_week=-22,
    emergency="Elodie Castell, wife",
    year=(
        _base(-21, -10, (95, 140), "Walk and run, all of it chatting.", "From walking to running, four days"),
        _base(-9, 6, (135, 170), "The base goes on.", "Running on soft ground"),
    ),
    habit=Habit(done=0.66, efforts=(3, 3, 4, 4)),
    loop=(5000, 2220, 138),
    asked_days_ago=30,
    spoken_days_ago=8,
)

KASPAR = Part(
    key="kaspar",
    name="Kaspar Luning",
    age=55,
    sex=Sex.MALE,
    story=(
        "Night nurse on a rota that changes every month; his mother lives with them. The plan follows the rota, not "
        "the other way round. The long walk is the first thing to go when home is heavy, and he will not say so."
    ),
    goal="Sleep through, and two hours in the woods without hurry",
    goal_why="His own two hours",
    mode=Mode.WALK,
    days={-2: 120, 0: 45, 2: 45, 3: 45},
    place="north wood",
    joined_week=-18,
    emergency="Inge Luning, wife",
    year=(_base(-17, 8, (95, 170), "Easy base round the rota.", "Three short walks and one long one"),),
    habit=Habit(done=0.6, efforts=(2, 3, 3), missed={2: WhyNot.CARING}),
    loop=(3800, 2700, 118),
    asked_days_ago=50,
    spoken_days_ago=9,
    coach="second",
)

OTTILIE = Part(
    key="ottilie",
    name="Ottilie Behm",
    age=59,
    sex=Sex.FEMALE,
    story=(
        "Organist. Sat for forty years and says her calves are stronger than they look. Likes a plan to the end of "
        "its page and asks what comes on the next one."
    ),
    goal="Cycle to every church she plays in",
    goal_why="Eleven churches, the farthest twenty kilometres off",
    mode=Mode.RIDE,
    days={1: 60, 3: 60, 5: 100, 6: 60},
    place="lanes",
    joined_week=-13,
    emergency="Gesine Behm, sister",
    year=(_base(-12, 0, (90, 170), "Easy base on the bike.", "Four rides a week on dry lanes"),),
    habit=Habit(done=0.72, efforts=(2, 3, 3)),
    loop=(12000, 2640, 121),
    last_loop_week=-2,
    asked_days_ago=70,
    spoken_days_ago=2,
)

NILS = Part(
    key="nils",
    name="Nils Ostrem",
    age=46,
    sex=Sex.MALE,
    story=(
        "Surveyor, walks for a living and thought that was training. Two small children. Away with the family on "
        "agreed leave; told to leave the watch at home."
    ),
    goal="An easy marathon of walking in one day",
    goal_why="A bet among colleagues",
    mode=Mode.WALK,
    days={-1: 60, 1: 60, 3: 120, 4: 60},
    place="ridge road",
    joined_week=-20,
    emergency="Kaia Ostrem, wife",
    year=(_base(-19, 6, (110, 190), "Easy base beside a walking job.", "Longer, not faster"),),
    habit=Habit(done=0.68, steady_days=STEADY_DAYS),
    asked_days_ago=44,
    spoken_days_ago=6,
)

IN_BASE = (HEDDA, WALTRAUD, ERNST, ILKA, JOSEF, BRUNO, KASPAR, OTTILIE, NILS)
