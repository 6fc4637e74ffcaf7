"""How a session went on its page: the sentence first, the drawings, one beside another, on paper, on the phone."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from datetime import timedelta
from itertools import pairwise

import pytest

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.coaching.thinned_series import Stretch
from app.storage import measured
from app.web.charts.overlay import Overlay, RoundLine, draw_overlay
from app.web.charts.scale import NARROW, figure_scale, minute_scale, room_of, unit_of
from app.web.charts.trace import Step, Trace, draw_trace
from tests import factories, seed
from tests.plan_scenes import may_do_hard_work, words_of
from tests.seed import TODAY

EVEN, FADED = (200.0, 201.0, 199.0, 200.0), (214.0, 207.0, 197.0, 184.0)


def _session(db, people, days_ago, levels=None, **changes) -> int:
    day = TODAY - timedelta(days=days_ago)
    planned_id = seed.add_planned_hard(db, client=people.client, planned_on=day, mode=Mode.INDOOR_RIDE)
    rounds = tuple(factories.work_round(number=n, duration_s=240, power_w=150.0, effort=7.0) for n in range(1, 5))
    given = {"planned_session_id": planned_id, "mode": Mode.INDOOR_RIDE, "kind": "intervals", "rounds": rounds}
    log_id = seed.add_log(db, client=people.client, done_on=day, effort=8.0, **(given | changes))
    if levels is not None:
        seed.add_recording(db, client=people.client, log_id=log_id, levels=levels)
    return log_id


@pytest.fixture
def faded(coach, people):
    """A session whose recording fades, and an even one a week before."""
    with coach.db(write=True) as db:
        before = _session(db, people, 9, EVEN)
        return _session(db, people, 2, FADED), before


def _at(people, log_id) -> str:
    return f"/clients/{people.client.id}/sessions/{log_id}"


def test_the_sentence_comes_first_then_the_drawings_then_the_figures(coach, people, faded):
    page = coach.get(_at(people, faded[0]))
    text = words_of(page)

    order = ["Faded: the last", "The rounds over each other", "The whole session: outlines", "First 30 s"]
    assert [text.index(one) for one in order] == sorted(text.index(one) for one in order)
    assert "214 W" in text
    assert page.text.count("<svg") == 2 * 3
    assert "Rounds read from power, edges within about 3 s" in text


def test_what_was_left_of_w_prime_is_told_once_critical_power_is_measured(coach, people, faded):
    before = words_of(coach.get(_at(people, faded[0])))
    with coach.db(write=True) as db:
        known = factories.measured(client_id=people.client.id, person_id=people.coach.id, value=180.0)
        measured.add(db, measured=known)

    after = words_of(coach.get(_at(people, faded[0])))

    assert "is not shown: no critical power was measured up to that day" in before
    assert "kJ of W' were left" in after.replace("’", "'")


def test_without_a_recording_the_entered_rounds_are_judged_and_drawn(coach, people):
    with coach.db(write=True) as db:
        log_id = _session(db, people, 2)

    page = coach.get(_at(people, log_id))

    assert "Even: best to worst" in words_of(page)
    assert "without a recording there is no minute by minute" in words_of(page)
    assert page.text.count("<svg") == 2


def test_a_walk_without_rounds_or_recording_shows_none_of_it(coach, people):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client)

    assert "Print how it went" not in words_of(coach.get(_at(people, log_id)))


def test_an_earlier_session_of_the_same_rounds_is_laid_beside(coach, people, faded):
    now, before = faded

    offered = coach.get(_at(people, now)).text
    beside = words_of(coach.get(f"{_at(people, now)}?beside={before}"))
    wrong = coach.get(f"{_at(people, before)}?beside={now}")

    assert f"?beside={before}#beside" in offered
    assert "How it went faded even" in beside
    assert "Mean of the rounds 200 W 200 W" in beside
    assert "Round 1 214 W 200 W" in beside
    assert "Both sets from the start of the first round" in beside
    assert wrong.status_code == 404


def test_two_sets_not_held_in_a_row_go_back_in_rounds_on_every_page(coach, people, faded):
    with coach.db(write=True) as db:
        may_do_hard_work(db, people.client)
        _session(db, people, 5, FADED)

    asked = "Two in a row were not held: back to 3 rounds of 4 min."
    assert asked in words_of(coach.get(_at(people, faded[0])))
    assert asked in words_of(coach.get(f"/clients/{people.client.id}/next-step"))


def test_it_prints_without_what_to_do_next(coach, people, faded):
    paper = words_of(coach.get(f"{_at(people, faded[0])}/print"))

    assert "Faded: the last" in paper
    assert "Figures of each round, by the minute, in W" in paper
    assert "1 15:00 to 19:00 4:00" in paper
    assert "0:00 to 1:00 110 110 142" in paper
    assert "a little less" not in paper


def test_an_easy_session_is_judged_as_one_on_the_page_and_on_paper(coach, people):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client, mode=Mode.INDOOR_RIDE)
        seed.add_recording(db, client=people.client, log_id=log_id, levels=(112.0,))

    page, paper = words_of(coach.get(_at(people, log_id))), words_of(coach.get(f"{_at(people, log_id)}/print"))

    for text in (page, paper):
        assert "It was easy: " in text
        assert "No rounds were found" not in text
    assert "As it was recorded" in page


def test_where_the_rounds_lie_is_set_by_hand_and_read_again(coach, people, faded):
    address = f"{_at(people, faded[0])}/rounds"
    shown = coach.get(address).text
    kept = coach.send(address, start_1="15:00", end_1="19:00", start_2="23:00", end_2="27:00")
    by_hand = words_of(coach.get(_at(people, faded[0])))
    assert "Read them from the recording again" in by_hand
    again = coach.send(address, reading="own")

    assert 'value="15:00"' in shown
    assert (kept.status_code, again.status_code) == (303, 303)
    assert "Rounds read from the coach's own hand" in by_hand
    assert "Rounds read from power" in words_of(coach.get(_at(people, faded[0])))


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"start_2": "soon", "end_2": "19:00"}, "Round 2: Write minutes and seconds"),
        ({"start_1": "15:00"}, "Round 1 has a beginning and an end."),
        ({}, "Give at least one round."),
        ({"start_1": "15:00", "end_1": "19:00", "start_2": "16:00", "end_2": "20:00"}, "must begin after the one"),
        ({"start_1": "900:00", "end_1": "901:00"}, "within the recording"),
    ],
)
def test_rounds_that_cannot_be_are_refused_and_kept_as_typed(coach, people, faded, form, words):
    answer = coach.send(f"{_at(people, faded[0])}/rounds", **form)

    assert answer.status_code == 422
    assert words in words_of(answer)
    assert all(f'value="{value}"' in answer.text for value in form.values())


def test_a_client_sees_the_own_session_in_plain_words_and_nothing_to_do_next(client_phone, people, coach, faded):
    page = client_phone.get(f"/me/done/{faded[0]}")
    text = words_of(page)

    assert "The rounds grew weaker towards the end." in text
    assert "Round 1: 4:00, 214 W" in text
    assert page.text.count("<svg") == 2
    assert "a little less, and it holds" not in text


def test_a_stranger_sees_no_drawing(other_coach, people, faded):
    assert other_coach.get(f"{_at(people, faded[0])}/print").status_code == 404
    assert other_coach.get(f"{_at(people, faded[0])}/rounds").status_code == 404


def _svg(markup) -> ET.Element:
    return ET.fromstring(str(markup))


def _of_class(svg, name):
    return [one for one in svg.iter() if one.get("class") == name]


def test_planned_rounds_are_hollow_and_done_ones_filled_at_their_places():
    runs = ((Stretch(0, 60, 90, 110, 100), Stretch(60, 120, 190, 210, 200)),)
    trace = Trace(
        runs, (Step(60, 120, 205.0), Step(180, 240, None)), (Step(60, 118, 200.0),), 300, Output.POWER, Mode.RIDE
    )

    svg = _svg(draw_trace(trace, finding="Title", desc="Words", key="k"))

    hollow, filled = _of_class(svg, "m-plan"), _of_class(svg, "m-done-step")
    assert [one.get("fill") for one in hollow] == ["none", "none"]
    assert len(filled) == 1
    assert float(filled[0].get("x")) == pytest.approx(float(hollow[0].get("x")), abs=0.1)
    assert float(filled[0].get("width")) < float(hollow[0].get("width"))
    assert hollow[1].get("stroke-dasharray")
    assert svg.get("role") == "img"


def test_a_gap_is_a_gap_and_the_band_keeps_least_and_most():
    runs = ((Stretch(0, 60, 50, 150, 100),) * 2, (Stretch(200, 260, 90, 110, 100),) * 2)

    svg = _svg(draw_trace(Trace(runs, (), (), 300, Output.POWER, Mode.RIDE), finding="T", desc="D", key="k"))

    assert len(_of_class(svg, "m-trace")) == 2
    assert len(_of_class(svg, "m-trace-band")) == 2


def test_a_pause_stands_on_the_axis_and_the_pace_around_it_can_be_read():
    runs = ((Stretch(0, 600, 2.5, 2.7, 2.6), Stretch(600, 640, 0.0, 0.0, 0.0), Stretch(640, 1200, 2.5, 2.7, 2.6)),)

    svg = _svg(draw_trace(Trace(runs, (), (), 1200, Output.SPEED, Mode.RUN), finding="T", desc="D", key="k"))

    [axis] = {float(one.get("y1")) for one in _of_class(svg, "m-base") if one.get("y1") == one.get("y2")}
    [line] = _of_class(svg, "m-trace")
    heights = [float(at.split(" ")[1]) for at in line.get("d").removeprefix("M").split("L")]
    assert max(heights) == axis
    assert "7:00" in [one.text for one in _of_class(svg, "tick")]


def test_names_of_rounds_never_lie_on_each_other():
    lines = tuple(RoundLine(f"round {n}", (((0.0, 200.0), (240.0, 200.0 + n / 10)),)) for n in range(1, 7))

    svg = _svg(
        draw_overlay(Overlay(lines, Output.POWER, Mode.RIDE, 240, (195, 205), "aim"), finding="T", desc="D", key="k")
    )

    heights = sorted(float(one.get("y")) for one in _of_class(svg, "round-word"))
    assert len(heights) == 6
    assert min(b - a for a, b in pairwise(heights)) >= 12


@pytest.mark.parametrize(
    ("ends", "output", "mode", "named"),
    [
        ((0, 300), Output.POWER, Mode.RIDE, ("0", "300 W")),
        ((3.0, 5.0), Output.SPEED, Mode.RIDE, ("12", "18 km/h")),
        ((3.0, 5.0), Output.SPEED, Mode.RUN, ("5:30", "3:30 /km")),
    ],
)
def test_ticks_are_counted_in_what_a_reader_counts_in(ends, output, mode, named):
    scale = figure_scale(*ends, start=200, end=0, output=output, mode=mode, unit=unit_of(output, mode))

    assert (scale.ticks[0][1], scale.ticks[-1][1]) == named
    assert all(scale.low <= value <= scale.high for value, _label in scale.ticks)


def test_time_is_counted_in_minutes_with_room_for_each_label():
    assert [label for _at, label in minute_scale(240, start=0, end=400).ticks] == ["0", "1", "2", "3", "4 min"]
    assert [label for _at, label in minute_scale(240, start=0, end=100).ticks] == ["0", "2", "4 min"]


def test_the_last_minute_keeps_its_name_and_none_lies_on_it():
    """Forty minutes and a bit on a phone: thirty would end where "40 min", pushed in from the edge, begins."""
    runs = ((Stretch(0, 60, 110, 120, 115), Stretch(60, 2468, 160, 170, 165)),)
    trace = Trace(runs, (), (), 2468, None, Mode.RIDE, "bpm")

    svg = _svg(draw_trace(trace, finding="T", desc="D", key="k", width=NARROW))

    axis = [one for one in _of_class(svg, "tick") if one.get("text-anchor") != "end" or "min" in one.text]
    spans = sorted(_span(one) for one in axis)
    assert "40 min" in [one.text for one in axis]
    assert min(after[0] - before[1] for before, after in pairwise(spans)) >= 4


def _span(word):
    """From where to where a word is about."""
    x, room = float(word.get("x")), room_of(word.text, float(word.get("font-size")))
    return (x - room, x) if word.get("text-anchor") == "end" else (x - room / 2, x + room / 2)


def test_letters_stay_readable_on_a_phone_and_never_lie_on_each_other():
    """A drawing 340 wide is shown 318 px wide or more at a width of 390: 14 px take 15 of its units."""
    runs = ((Stretch(0, 60, 1.6, 1.8, 1.7), Stretch(60, 3400, 4.4, 4.9, 4.6)),)
    trace = Trace(runs, (), (), 3400, Output.SPEED, Mode.RUN)

    ticks = _of_class(_svg(draw_trace(trace, finding="T", desc="D", key="k", width=NARROW)), "tick")

    assert min(float(one.get("font-size")) for one in ticks) * 318 / NARROW >= 14
    heights = sorted({float(one.get("y")) for one in ticks})
    assert min(b - a for a, b in pairwise(heights)) >= 15
    assert any(one.text.endswith("/km") for one in ticks)


def test_every_drawn_figure_stands_in_a_table_too(coach, people, faded):
    """Minute by minute, the spread within a round, the dip with its return, and all the session's time."""
    text = words_of(coach.get(_at(people, faded[0])))

    assert "Figures of each round, by the minute, in W" in text
    assert "Minute 1 Minute 2 Minute 3 Minute 4 Spread within First 30 s, against the rest" in text
    assert "Fourth, against the third" in text
    assert "1 214 214 214 214 0.0 %" in text
    assert "0:00 to 1:00 110 110 142" in text
