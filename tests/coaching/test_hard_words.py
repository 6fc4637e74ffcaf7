"""An easy or middle session whose words sound hard is asked about before it is sent; a mere mention is not."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.easy_version import eased
from app.coaching.effort import Band
from app.coaching.hard_vocabulary import SOUNDS_HARD, TAKEN_BACK
from app.coaching.hard_words import hard_words
from app.coaching.lookahead import Level, breaches
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape, middle_rounds_content, steady_content
from app.coaching.session_steps import standard_loop_steps
from app.coaching.steps import Part, Step, to_json
from app.coaching.words import short_day
from tests import factories as make
from tests.factories import TODAY

ASKED_IN_EASY = """\
max effort on the last hill
Walk, 4 rounds of 4 min
4 times 4 min up the lane
Four times four minutes
4x4
4 x 4’ on the climb
4 × 4 min easy between
Walk 4 x 4 min, easy between
6 x 30 s with a minute's rest
8 x 400 m on the track
3 sets of 8 minutes
5 times up the hill
2 x 10 min
3 min uphill x 5
20 s on, 10 s off
30/30s
Last ten minutes flat out
ALL-OUT to the gate
Ride as fast as you can to the bridge
Up the lane as quickly as possible
As many hills as you can
As far as you can in 12 minutes
Go hard to the top
Go hard\u00a0er and hard\u00ader
Push the pace from the mill on
Sprint to every lamp post
Sprints, not hard ones
Not hard, then flat out
Not hard at first
No hard work until the last ten minutes
Nothing hard but the last hill
Don't go hard at the start
Don't go hard? Go harder
Do not hold back today
No gain without hard work
Nothing is too hard for you
Never walk when it gets hard
Don't slow down if it gets hard
No harder than you can bear
No harder than talking until the mill, then as you like
No easier than race pace
Nothing easy about this one
Why not sprint home
Give it everything you have
Empty the tank
Time trial round the lake
Intervals on the rower
A tempo ride
Threshold, 20 min
VO2max hills
95 % of your max
Effort 8 at the end
9/10 by the last lap
Until you can't talk any more
Till you drop
Legs should burn
High-intensity walk
Hill repeats behind the church
Short bursts on the flat
Strides: 6 strides after the walk
Walk fast, faster at the end
Easy, then hard
From easy to hard
just below hard
Hard sand run
Rather than easy, hard
4 by 4 min
Five 3 min efforts
Fullgas
No mercy
Race simulation
5 km pace from the bridge on
Explosive starts
no rest between 4 x 4 min
Not hard, but the hills as fast as you can
Go all out on the day after the hard day""".splitlines()

NOT_ASKED_IN_EASY = """\
No harder than talking
don't go hard
Don’t go hard
without any hard work
Soft shoes, hard ground
the day after the hard day
Easy walk the day after Tuesday's hard ride
Easy spin between two hard days
Recovery after yesterday's intervals
Fresh legs before Thursday's 4 x 4 min
The hard session is tomorrow: legs up today
You worked hard last week; easy now
Not hard
This is not a hard session
Nothing too hard
Nothing hard today, just time on your feet
Easy. No sprints, no intervals
No sprints or intervals
Neither hard nor long
Not meant to be hard
Never out of breath
If you get out of breath, slow down
If it gets hard, walk
Slow down if it feels hard
Talk the whole way; if you cannot talk, walk
If it is not easy, slow down
It should never feel hard
Do not start too fast
Walk as fast as feels easy
Without pushing hard
Instead of intervals
Easy rather than hard
Hardly uphill
A hard frost is likely, mind the ice
If it rains hard, ride indoors
60 to 70 % of max heart rate
Week 7 of 10, easy
45 min, 3 times a week
4 x 5 min easy walk
At an easy tempo
Two rounds of the lake with the dog
Breakfast first, then a stroll
All you have to do is walk
Stop if you feel pain
Longest easy ride: 40 km
Same route, same talk: compare distance and heart rate with last time.""".splitlines()

ASKED_IN_MIDDLE = """\
4 x 4 min
5 x 6 min
8 x 1 min
Middle effort, last 5 min flat out
2 x 10 min all out
2 x 10 min hard
Race pace 20 min
Above threshold for a while
Middle, then hard""".splitlines()

NOT_ASKED_IN_MIDDLE = """\
2 x 10 min
three times 12 minutes
3 x 15 min steady
Middle effort 3 × 8 min, walk
A steady stretch between easy and hard.
Harder than easy, not hard
Just below hard
Tempo ride
Threshold, 20 min
Brisk, no sprinting
Steady. Never a race.""".splitlines()

CALM_TITLES = (
    "Easy walk",
    "Longest easy ride: 40 km",
    "Round the lake, no hurry",
    "Day after the hard day",
    "Not hard, 30 min",
)
HARD_PHRASES = sorted({words for row in SOUNDS_HARD if row.bands != (Band.EASY,) for words in row.examples})
JOINTS = (". ", ", ", ": ", "; ", " (", "\n", " – ")


@pytest.mark.parametrize("words", ASKED_IN_EASY)
def test_an_easy_session_that_sounds_hard_asks(words):
    assert hard_words(words)


@pytest.mark.parametrize("words", NOT_ASKED_IN_EASY)
def test_an_easy_session_that_only_mentions_hard_work_does_not(words):
    assert hard_words(words) == ()


@pytest.mark.parametrize("words", ASKED_IN_MIDDLE)
def test_a_middle_session_that_sounds_hard_asks(words):
    assert hard_words(words, Band.MIDDLE)


@pytest.mark.parametrize("words", NOT_ASKED_IN_MIDDLE)
def test_a_middle_session_that_sounds_middle_does_not(words):
    assert hard_words(words, Band.MIDDLE) == ()


@pytest.mark.parametrize(
    ("words", "band"), [(words, band) for row in SOUNDS_HARD for words in row.examples for band in row.bands]
)
def test_every_example_of_the_table_asks(words, band):
    assert hard_words(words, band)


@pytest.mark.parametrize(
    ("words", "band"), [(words, band) for row in TAKEN_BACK for words in row.examples for band in row.bands]
)
def test_every_example_of_what_is_taken_back_does_not(words, band):
    assert hard_words(words, band) == ()


@settings(max_examples=300)
@given(
    title=st.sampled_from(CALM_TITLES) | st.sampled_from(NOT_ASKED_IN_EASY) | st.text(max_size=60),
    joint=st.sampled_from(JOINTS),
    phrase=st.sampled_from(HARD_PHRASES),
    is_first=st.booleans(),
)
def test_a_hard_phrase_added_to_any_title_always_asks(title, joint, phrase, is_first):
    added = f"{phrase}. {title}" if is_first else f"{title}{joint}{phrase}"

    assert hard_words(added)


@pytest.mark.parametrize("mode", [Mode.WALK, Mode.RUN, Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW, Mode.SWIM, Mode.OTHER])
def test_no_easy_or_middle_session_that_the_desk_itself_words_asks(mode):
    easy = [steady_content(shape, mode, 45, Rules()) for shape in (Shape.EASY, Shape.LONGEST, Shape.LOOP)]
    middle = [steady_content(Shape.MIDDLE, mode, 45, Rules()), middle_rounds_content(4, 180, 120, mode, Rules())]

    assert [hard_words(f"{one.title}. {one.purpose}") for one in easy] == [()] * 3
    assert [hard_words(f"{one.title}. {one.purpose}", Band.MIDDLE) for one in middle] == [()] * 2


def _asked(session):
    return [one for one in breaches(make.history(), [session], TODAY, Rules()) if one.kind == "wording"]


@pytest.mark.parametrize(
    ("session", "is_asked"),
    [
        (make.planned(title="4 x 4 min flat out uphill"), True),
        (make.planned(purpose="As hard as you can, four times"), True),
        (make.planned(), False),
        (make.planned(title="Without", purpose="hard work"), True),
        (make.planned_hard(title="4 x 4 min hard"), False),
        (make.planned(kind=SessionKind.MIDDLE, title="2 x 10 min"), False),
        (make.planned(kind=SessionKind.MIDDLE, title="2 x 10 min flat out"), True),
        (
            make.planned(steps_json=to_json((Step(Part.MAIN, 1800, Band.MIDDLE, "Brisk."),)), title="2 x 10 min"),
            False,
        ),
        (
            make.planned(
                kind=SessionKind.TEST, steps_json=to_json(standard_loop_steps(40, Mode.WALK)), title="Loop, all out"
            ),
            True,
        ),
        (make.planned(kind=SessionKind.STRENGTH, title="Strength, 3 x 10"), False),
        (eased(make.planned_hard(title="4 × 4 min flat out")), False),
    ],
)
def test_only_a_session_not_planned_as_hard_is_asked_about(session, is_asked):
    assert [one.level for one in _asked(session)] == [Level.ASKS] * is_asked


def test_an_easy_version_with_words_of_its_own_is_asked_about():
    easy = eased(make.planned_hard(title="4 × 4 min"))

    assert _asked(make.planned(title=easy.title, purpose="Flat out"))


@pytest.mark.parametrize(
    ("kind", "said"), [(SessionKind.EASY, "planned as easy"), (SessionKind.MIDDLE, "planned as middle effort")]
)
def test_the_question_names_the_words_and_the_effort_in_plain_words(kind, said):
    [found] = _asked(make.planned(kind=kind, title="Hills", purpose="Flat out, then sprint"))

    assert found.sentence == f'Hills on {short_day(TODAY)} is {said} and sounds hard: "Flat out", "sprint".'
