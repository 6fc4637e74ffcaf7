"""A session keeps everything in every way it is said: JSON, table, cues, text for a client and for a calendar."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings

from app.coaching.effort import Band
from app.coaching.heat import HeatCaution, by_effort_in_heat
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.coaching.session_renderings import (
    TableRow,
    calendar_text,
    client_text,
    clock_words,
    cues,
    round_aims,
    safety_lines,
    table_rows,
    text_lines,
)
from app.coaching.session_target import TargetForm, target_to_json
from app.coaching.steps import (
    LONGEST_STEP_S,
    MOST_REPEATS,
    PART_WORDS,
    Node,
    Part,
    Repeat,
    Step,
    flatten,
    from_json,
    to_json,
    total_seconds,
)
from app.web.session_view import Line, session_view
from tests import factories as make
from tests.coaching.test_session_target import LADDER, POWER
from tests.step_trees import TREES

WORK = Step(Part.WORK, 240, Band.HARD, "Few words by the third minute.")
REST = Step(Part.RECOVERY, 180, Band.EASY, "Roll back down.")
END = Step(Part.COOL_DOWN, 600, Band.EASY, "Home.")
SETS = (Repeat(3, (Repeat(12, (Step(Part.WORK, 30, Band.HARD, "On"), REST)), WORK, REST)), END)


# Read back by hand, apart from the application's own reading


def _by(form: TargetForm, value: float) -> str:
    return target_to_json(replace(POWER, form=form, value=value, low=None, high=None))


def _seconds(words: str) -> int:
    if words.endswith(" s"):
        return int(words.removesuffix(" s"))
    minutes, _, rest = words.removesuffix(" min").partition(":")
    return int(minutes) * 60 + int(rest or 0)


def _clock(words: str) -> int:
    hours, minutes, seconds = ([0, 0, 0] + [int(one) for one in words.split(":")])[-3:]
    return hours * 3600 + minutes * 60 + seconds


def _of_part(words: str) -> Part:
    return next(part for part, said in PART_WORDS.items() if said == words)


def _from_lines(lines: list[str], indent: str = "") -> tuple[Node, ...]:
    found: list[Node] = []
    while lines and lines[0].startswith(indent):
        line = lines.pop(0).removeprefix(indent)
        if head := re.fullmatch(r"once:|(\d+) times:", line):
            found.append(Repeat(int(head[1] or 1), _from_lines(lines, indent + "  ")))
        else:
            time, _, rest = re.split(r"( (?=easy|middle|hard))", line, maxsplit=1)
            what, _, say = rest.partition(": ")
            band, _, part = what.partition(", ")
            found.append(Step(_of_part(part), _seconds(time), Band(band), say))
    return tuple(found)


def _from_rows(rows: list[TableRow], level: int = 0) -> tuple[Node, ...]:
    found: list[Node] = []
    while rows and rows[0].level == level:
        row = rows.pop(0)
        found.append(row.step if row.step is not None else Repeat(row.times, _from_rows(rows, level + 1)))
    return tuple(found)


def _from_calendar(body: str) -> list[tuple[int, Part, Band, int, str]]:
    found = []
    for line in body.split("\n"):
        start, _, rest = line.partition(" ")
        what, _, say = rest.partition(": ")
        name, band, time = what.split(", ")
        part = Part.WORK if name.startswith("round ") else _of_part(name)
        found.append((_clock(start), part, Band(band), _seconds(time), say))
    return found


def _of_lines(lines: Sequence[Line]) -> tuple[int, int]:
    """Steps and seconds of what a phone and the fridge show; the last of counted rounds has no rest behind it."""
    steps = seconds = 0
    for line in lines:
        if line.times is None:
            told = (1, _seconds(line.time))
        elif line.time:
            work_s, rest_s = (_seconds(one.time) for one in line.steps[:2])
            told = (2 * line.times - 1, line.times * (work_s + rest_s) - rest_s)
        else:
            once = _of_lines(line.steps)
            told = (line.times * once[0], line.times * once[1])
        steps, seconds = steps + told[0], seconds + told[1]
    return steps, seconds


@given(TREES)
def test_a_tree_comes_back_from_json_as_it_was(nodes):
    assert from_json(to_json(nodes)) == nodes
    assert to_json(from_json(to_json(nodes))) == to_json(nodes)


@given(TREES)
def test_a_tree_comes_back_from_the_coachs_table(nodes):
    rows = table_rows(nodes)

    assert _from_rows(list(rows)) == nodes
    assert sum(row.whole_s for row in rows if row.level == 0) == total_seconds(nodes)
    assert sum(row.in_all for row in rows if row.step) == len(list(flatten(nodes)))
    assert sum(row.in_all * row.step.duration_s for row in rows if row.step) == total_seconds(nodes)


@given(TREES)
def test_a_tree_comes_back_from_the_clients_text(nodes):
    assert _from_lines(list(text_lines(nodes))) == nodes


@given(TREES)
def test_the_timer_tells_every_step_without_a_gap(nodes):
    told = cues(nodes)

    assert [(one.part, one.duration_s, one.band, one.say) for one in told] == [
        (one.part, one.duration_s, one.band, one.say) for one in flatten(nodes)
    ]
    assert [one.starts_s for one in told] == [0, *(one.ends_s for one in told)][: len(told)]
    assert max((one.ends_s for one in told), default=0) == total_seconds(nodes)
    assert [one.number for one in told if one.number] == list(
        range(1, sum(one.part is Part.WORK for one in told) + 1)
    )


@settings(max_examples=50)
@given(TREES)
def test_a_calendar_tells_every_step_at_its_time(nodes):
    session = make.planned(steps_json=to_json(nodes), purpose="", easy_version=None)

    told = _from_calendar(calendar_text(session).body) if nodes else []

    assert told == [(one.starts_s, one.part, one.band, one.duration_s, one.say) for one in cues(nodes)]


@settings(max_examples=50)
@given(TREES)
def test_phone_and_fridge_show_as_many_steps_and_as_much_time(nodes):
    view = session_view(make.planned(steps_json=to_json(nodes)))

    assert _of_lines(view.lines) == (len(list(flatten(nodes))), total_seconds(nodes))


def test_the_words_of_a_session_stand_around_its_steps():
    session = make.planned(
        title="Hill rounds",
        purpose="Learn the pace.",
        place="the quarry road",
        minutes=50,
        easy_version="Easy version: 30 minutes.",
        steps_json=to_json((Repeat(2, (WORK, REST)), END)),
    )

    told = client_text(session)

    assert told.summary == "Hill rounds, 50 min"
    assert told.body.split("\n") == [
        "Why: Learn the pace.",
        "Where: the quarry road",
        "2 times:",
        "  4 min hard, round: Few words by the third minute.",
        "  3 min easy, recovery: Roll back down.",
        "10 min easy, cool-down: Home.",
        "Easy version: 30 minutes.",
    ]
    assert calendar_text(session).body.split("\n")[1:5] == [
        "Where: the quarry road",
        "0:00 round 1 of 2, hard, 4 min: Few words by the third minute.",
        "4:00 recovery, easy, 3 min: Roll back down.",
        "7:00 round 2 of 2, hard, 4 min: Few words by the third minute.",
    ]


def test_the_target_stands_in_both_texts_and_at_each_round_of_the_calendar():
    session = make.planned_hard(mode=Mode.RUN, target_json=target_to_json(LADDER))

    message, calendar = client_text(session).body, calendar_text(session).body

    assert "each a little quicker than the one before" in message
    assert re.findall(r"Round \d: (\S+) a km, 1 mile in (\S+)", message) == [
        ("5:09", "8:17"),
        ("5:00", "8:03"),
        ("4:57", "7:58"),
        ("4:57", "7:58"),
    ]
    assert re.findall(r"round (\d) of 4, hard, 4 min: Hold (\S+) a km\.", calendar) == [
        ("1", "5:09"),
        ("2", "5:00"),
        ("3", "4:57"),
        ("4", "4:57"),
    ]


@pytest.mark.parametrize(
    ("form", "value", "says"),
    [
        (TargetForm.POWER, 247.0, "Hold 247 W."),
        (TargetForm.INCLINE, 6.5, "Incline 6.5 %."),
        (TargetForm.POOL, 150.0, "Swim 150 m."),
    ],
)
def test_each_round_is_told_what_it_aims_at(form, value, says):
    session = make.planned_hard(target_json=_by(form, value))

    assert round_aims(session) == (says,) * 4


@pytest.mark.parametrize("target_json", [None, "[", _by(TargetForm.EFFORT, 7.0)])
def test_words_alone_or_nothing_are_no_aim_of_a_round(target_json):
    assert round_aims(make.planned_hard(target_json=target_json)) == ()


def test_both_texts_say_heat_and_the_stop_signs_before_what_hard_work_asks():
    session = make.planned_hard(target_json=_by(TargetForm.POWER, 247.0))
    first = safety_lines(session, HeatCaution("Hot today.", is_hot=True), "112")

    for said in (client_text(session, first=first).body, calendar_text(session, first=first).body):
        assert said.index("Heat. Hot today.") < said.index("Stop at once with pain") < said.index("Hold 247 W")
        assert "within a few minutes: call 112." in said
    assert safety_lines(make.planned(), None, "112") == ()


def test_on_a_day_noted_as_hot_no_figure_is_given_away():
    session = make.planned_hard(target_json=_by(TargetForm.POWER, 247.0))

    hot = by_effort_in_heat(session, HeatCaution("Hot today.", is_hot=True))

    assert "247" not in client_text(hot).body
    assert "247" not in calendar_text(hot).body
    assert by_effort_in_heat(session, HeatCaution("In heat: indoors.", is_hot=False)) == session
    assert by_effort_in_heat(session, None) == session


def test_sets_within_sets_are_counted_through():
    rows = table_rows(SETS)

    assert [(row.level, row.times, row.in_all) for row in rows] == [
        (0, 3, 3),
        (1, 12, 36),
        (2, 1, 36),
        (2, 1, 36),
        (1, 1, 3),
        (1, 1, 3),
        (0, 1, 1),
    ]
    # 12 x (30 + 180) = 2520, then 240 and 180: 2940 a set, three sets 8820
    assert [row.starts_s for row in rows] == [0, 0, 0, 30, 2520, 2760, 8820]
    assert clock_words(8820) == "2:27:00"


# What is no session


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        "7",
        "[7]",
        '[{"part":"work","s":"60","band":"hard","say":""}]',
        '[{"part":"work","s":60.5,"band":"hard","say":""}]',
        '[{"part":"work","s":true,"band":"hard","say":""}]',
        '[{"part":"work","s":0,"band":"hard","say":""}]',
        '[{"part":"work","s":60,"band":"red","say":""}]',
        '[{"part":"work","s":60,"band":"hard"}]',
        '[{"part":"work","s":60,"band":"hard","say":"","watts":250}]',
        '[{"part":"work","s":60,"band":"hard","say":"one\\nline more"}]',
        '[{"times":2,"steps":[]}]',
        '[{"times":0,"steps":[{"part":"work","s":60,"band":"hard","say":""}]}]',
        '[{"times":true,"steps":[{"part":"work","s":60,"band":"hard","say":""}]}]',
        "[" * 3000 + "]" * 3000,
    ],
)
def test_what_is_no_session_is_refused_and_never_mended(text):
    with pytest.raises(DomainError):
        from_json(text)


@pytest.mark.parametrize(
    "nodes",
    [
        (Repeat(MOST_REPEATS + 1, (WORK,)),),
        (Repeat(26, (Repeat(20, (WORK,)),)),),
        (Repeat(1, (Repeat(1, (Repeat(1, (Repeat(1, (WORK,)),)),)),)),),
        (Step(Part.MAIN, LONGEST_STEP_S + 1, Band.EASY, "On."),),
        (Step(Part.MAIN, 60, Band.EASY, "x" * 2001),),
    ],
    ids=["repeats", "steps", "levels", "length", "words"],
)
def test_what_no_page_could_carry_is_refused(nodes):
    with pytest.raises(DomainError):
        from_json(to_json(nodes))
