"""The clients of the demo whose story stands apart: coming, waiting, quiet, keeping, returning, resting, gone."""

from __future__ import annotations

from app.coaching.people import ClientState, HeartRateUse, Mode, Sex
from app.coaching.phases import DecisionKind, Phase
from app.demo.parts import STEADY_DAYS, Habit, Part, Stretch

CLEMENS = Part(
    key="clemens",
    name="Clemens Varga",
    age=47,
    sex=Sex.MALE,
    story=(
        "Rower on a machine in a cellar he tiled himself. Writes long entries for weeks and then none at all; each "
        "time it was work. Does not answer messages then, but picks up the telephone."
    ),
    goal="Two thousand metres without fear of the last five hundred",
    goal_why="He stopped in one, in front of people",
    mode=Mode.ROW,
    days={-1: 60, 1: 60, 3: 60, 5: 90},
    place="cellar",
    joined_week=-24,
    emergency="Zsofia Varga, sister",
    year=(
        Stretch(
            Phase.AEROBIC_BASE,
            -23,
            6,
            (100, 180),
            "Strong back, no base.",
            "Four easy rows a week",
            kind=DecisionKind.START,
        ),
    ),
    habit=Habit(done=0.62, words=0.35, silent_days=10),
    kit="rowing machine",
    loop=(8000, 2520, 129),
    asked_days_ago=55,
    spoken_days_ago=12,
)

PETRA = Part(
    key="petra",
    name="Petra Lindgard",
    age=66,
    sex=Sex.FEMALE,
    story=(
        "A stent four years ago, well since. Wants to walk with a group and was sent by the practice next door. The "
        "letter to her cardiologist went out eleven days ago. Nothing begins before it is back."
    ),
    goal="Walk with the Thursday group",
    goal_why="Company",
    mode=Mode.WALK,
    days={1: 45, 3: 45, 5: 45},
    place="park",
    joined_week=-2,
    emergency="Gunnar Lindgard, son",
    state=ClientState.WAITING_FOR_CLEARANCE,
    heart_rate_use=HeartRateUse.UNKNOWN,
    heart_rate_source=None,
    loop=None,
    has_disease=True,
    medicines=("beta_blocker", "statin"),
    pressure=(144, 82),
    asked_days_ago=11,
    spoken_days_ago=4,
)

YUKI = Part(
    key="yuki",
    name="Yuki Tanabe",
    age=33,
    sex=Sex.FEMALE,
    story=(
        "Architect, new in town. Signed up from her desk on a Sunday evening. Says she cycles to work and would "
        "like to breathe less on the bridge. The questions are not answered yet."
    ),
    goal="Over the bridge without changing down",
    goal_why="A daily small defeat",
    mode=Mode.RIDE,
    days={1: 60, 3: 60, 6: 90},
    place="riverside",
    joined_week=-1,
    emergency="Emi Tanabe, sister",
    state=ClientState.INTAKE,
    heart_rate_use=HeartRateUse.UNKNOWN,
    heart_rate_source=None,
    loop=None,
    spoken_days_ago=2,
)

DAGNY = Part(
    key="dagny",
    name="Dagny Rolfsen",
    age=57,
    sex=Sex.FEMALE,
    story=(
        "Moved here from the coast with two years of training behind her and a spreadsheet to show for it. Her "
        "coach there wrote a kind page about her: hard once a week for half a year. Brought in, not yet confirmed."
    ),
    goal="Not to begin again from nothing",
    goal_why="She has done that twice",
    mode=Mode.WALK,
    days={-1: 60, 1: 60, 4: 90},
    place="headland",
    joined_week=-2,
    emergency="Sverre Rolfsen, husband",
    heart_rate_source="wrist watch, compared with a strap",
    loop=None,
    spoken_days_ago=3,
)

GERDA = Part(
    key="gerda",
    name="Gerda Wendt",
    age=70,
    sex=Sex.FEMALE,
    story=(
        "Paused by her own wish while her husband is in hospital. Walks to the ward and back each day, and that is "
        "enough. Call, do not write."
    ),
    goal="Dance through a whole evening",
    goal_why="Their fiftieth",
    mode=Mode.WALK,
    days={0: 45, 2: 60, 5: 60},
    place="old town",
    joined_week=-30,
    emergency="Silke Wendt, daughter",
    year=(
        Stretch(
            Phase.AEROBIC_BASE,
            -29,
            -6,
            (90, 140),
            "Easy base, by talk.",
            "Three walks a week",
            kind=DecisionKind.START,
        ),
    ),
    habit=Habit(done=0.64, efforts=(2, 2, 3)),
    state=ClientState.PAUSED,
    base_weeks_asked=26,
    loop=(3000, 2520, 112),
    last_loop_week=-8,
    asked_days_ago=10,
    spoken_days_ago=6,
    pressure=(141, 83),
    coach="second",
)

LIONEL = Part(
    key="lionel",
    name="Lionel Abbas",
    age=42,
    sex=Sex.MALE,
    story="Trained well for eight months, then moved abroad for work. Left on the best of terms.",
    goal="Fit for the children",
    goal_why="Three of them",
    mode=Mode.RUN,
    days={0: 50, 2: 50, 5: 75},
    place="harbour",
    joined_week=-46,
    emergency="Noor Abbas, wife",
    year=(
        Stretch(
            Phase.AEROBIC_BASE,
            -45,
            -12,
            (95, 170),
            "Easy base.",
            "Three runs a week, chatting",
            kind=DecisionKind.START,
        ),
    ),
    habit=Habit(done=0.62),
    state=ClientState.LEFT,
    loop=(5500, 2160, 136),
    last_loop_week=-13,
    asked_days_ago=100,
    spoken_days_ago=80,
)

ANNEGRET = Part(
    key="annegret",
    name="Annegret Sailer",
    age=62,
    sex=Sex.FEMALE,
    story=(
        "Swimmer since childhood, retired teacher of chemistry. A year of base and rounds in the pool; now keeping, "
        "until her operation on the hand in two months. Counts strokes without being asked. Never swims alone."
    ),
    goal="The bay and back with her old class",
    goal_why="They are all over sixty now",
    mode=Mode.SWIM,
    days={-2: 60, 1: 60, 3: 75},
    place="town pool, lane two",
    joined_week=-51,
    emergency="Lorenz Sailer, husband",
    year=(
        Stretch(
            Phase.AEROBIC_BASE,
            -50,
            -29,
            (100, 150),
            "Swims already, always the same speed. Base first.",
            "Three calm swims a week",
            kind=DecisionKind.START,
        ),
        Stretch(
            Phase.INTERVAL_ONE,
            -28,
            -12,
            (160, 160),
            "Everything met; rounds in the pool, never alone.",
            "Rounds in the pool",
            hard_days=(1,),
            protocol="pool_rounds",
        ),
        Stretch(
            Phase.KEEPING,
            -11,
            8,
            (140, 140),
            "The hand is operated on in some months. Keep what is won until then.",
            "Two easy swims and one short hard one",
            kind=DecisionKind.STEP_BACK,
            hard_days=(1,),
            protocol="pool_rounds",
            until_week=8,
        ),
    ),
    habit=Habit(done=0.75, keeps_weeks=True, efforts=(2, 3, 3), steady_days=STEADY_DAYS),
    base_weeks_asked=18,
    is_regularly_active=True,
    heart_rate_use=HeartRateUse.NOT_RELIABLE,
    heart_rate_source=None,
    effort_plan="In the water by effort and stroke count; no heart rate.",
    loop=(1600, 2640, 0),
    loop_gain_bpm=0,
    last_loop_week=-5,
    asked_days_ago=36,
    spoken_days_ago=9,
    coach="second",
)

PIOTR = Part(
    key="piotr",
    name="Piotr Wolanski",
    age=45,
    sex=Sex.MALE,
    story=(
        "Was on one hard session a week until a bad flu took five weeks out of his year. Returning: half of the "
        "old minutes, nothing hard until the weeks are held again. Impatient, but he was ill enough to be careful."
    ),
    goal="Back to where he was before the flu",
    goal_why="He was proud of it",
    mode=Mode.RUN,
    days={-1: 50, 0: 50, 2: 60, 4: 80},
    place="fields",
    joined_week=-48,
    emergency="Hania Wolanska, wife",
    year=(
        Stretch(
            Phase.AEROBIC_BASE,
            -47,
            -19,
            (110, 180),
            "Easy base.",
            "Four runs a week, chatting",
            kind=DecisionKind.START,
        ),
        Stretch(
            Phase.INTERVAL_ONE,
            -18,
            -9,
            (190, 190),
            "Everything met.",
            "One hard session a week, learned slowly",
            hard_days=(2,),
        ),
        Stretch(
            Phase.RETURNING,
            -3,
            6,
            (95, 150),
            "Five weeks out with the flu. Easy only, until four weeks are held.",
            "Back in, half the minutes first",
            kind=DecisionKind.STEP_BACK,
        ),
    ),
    habit=Habit(done=0.66, keeps_weeks=True, efforts=(2, 3, 3), steady_days=STEADY_DAYS),
    loop=(5500, 2220, 137),
    last_loop_week=-2,
    asked_days_ago=22,
    spoken_days_ago=5,
)

APART = (CLEMENS, PETRA, YUKI, DAGNY, GERDA, LIONEL, ANNEGRET, PIOTR)
