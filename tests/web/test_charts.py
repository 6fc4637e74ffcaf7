import re
from dataclasses import replace
from datetime import date, timedelta
from xml.etree import ElementTree as ET

import pytest

from app.coaching.done_work import MinutesByBand
from app.coaching.effort import Band
from app.coaching.ribbon import Ribbon, RibbonDay
from app.coaching.words import minutes_words
from app.web.charts import marks
from app.web.charts.ribbon import BASELINE_Y, draw_ribbon
from app.web.charts.ribbon_words import ribbon_rows
from app.web.charts.split import draw_split
from app.web.charts.weeks import WeekBar, draw_weeks, weekly_sentence
from app.web.render import environment

TODAY = date(2026, 11, 25)
SVG = "{http://www.w3.org/2000/svg}"

REST = RibbonDay(
    day=TODAY,
    planned_minutes=0,
    done_minutes=0,
    planned_band=None,
    done_band=None,
    is_hard=False,
    extra_minutes=0,
    moved_from=None,
    is_unknown=False,
    is_rest=True,
    is_paused=False,
    is_today=False,
    is_ahead=False,
)
EASY_DONE = replace(
    REST, planned_minutes=45, done_minutes=45, planned_band=Band.EASY, done_band=Band.EASY, is_rest=False
)
HARD_PLANNED = replace(REST, planned_minutes=60, planned_band=Band.HARD, is_rest=False, is_hard=True, is_ahead=True)
WEEK = WeekBar(TODAY - timedelta(days=2), planned_minutes=180, easy_minutes=120, middle_minutes=0, hard_minutes=0)


def drawn(*days):
    placed = tuple(replace(one, day=TODAY + timedelta(days=place)) for place, one in enumerate(days))
    return ET.fromstring(draw_ribbon(Ribbon(placed, "In words."), name="Maud Ellery", key="c7"))


def of_class(svg, name):
    return [element for element in svg.iter() if element.get("class") == name]


def test_the_ribbon_is_one_picture_with_a_title_and_its_words():
    svg = drawn(REST)

    assert svg.get("role") == "img"
    assert svg.find(f"{SVG}title").text == "Training of Maud Ellery: planned and done, day by day"
    assert svg.find(f"{SVG}title").get("id") == svg.get("aria-labelledby")
    assert svg.find(f"{SVG}desc").text == "In words."
    assert svg.find(f"{SVG}desc").get("id") == svg.get("aria-describedby")


def test_a_name_with_markup_in_it_is_only_text():
    svg = draw_ribbon(Ribbon((REST,), "a <b> & c"), name="<script>", key='k"x')

    assert ET.fromstring(svg).find(f"{SVG}title").text.startswith("Training of <script>")
    assert "<script>" not in svg


def test_the_drawing_carries_no_inline_style():
    svg = draw_ribbon(Ribbon((EASY_DONE,), ""), name="Maud Ellery", key="c7")

    assert "style" not in svg
    assert not re.search(r"\son\w+=", svg)


def test_two_ribbons_on_a_page_share_no_id():
    first = draw_ribbon(Ribbon((EASY_DONE,), ""), name="Maud Ellery", key="c7")
    second = draw_ribbon(Ribbon((EASY_DONE,), ""), name="Tobias Renn", key="c8")

    assert set(re.findall(r'id="([^"]+)"', first)).isdisjoint(re.findall(r'id="([^"]+)"', second))


def test_planned_is_hollow_and_done_fills_it():
    svg = drawn(replace(EASY_DONE, done_minutes=20))

    outline, filled = of_class(svg, "m-plan")[0], of_class(svg, "m-easy")[0]
    assert outline.get("fill") == "none"
    assert outline.get("x") == filled.get("x")
    assert float(filled.get("height")) == pytest.approx(float(outline.get("height")) * 20 / 45, abs=0.1)


def test_columns_stand_on_the_baseline():
    filled = of_class(drawn(EASY_DONE), "m-easy")[0]

    assert float(filled.get("y")) + float(filled.get("height")) == pytest.approx(BASELINE_Y, abs=0.1)


def test_a_very_long_day_stays_inside_the_picture_and_keeps_its_share():
    svg = drawn(EASY_DONE, replace(EASY_DONE, planned_minutes=450, done_minutes=450))

    short, long = of_class(svg, "m-easy")
    assert float(long.get("y")) > 0
    assert float(long.get("height")) == pytest.approx(10 * float(short.get("height")), abs=0.6)


@pytest.mark.parametrize(("band", "css_class"), [(Band.EASY, "m-easy"), (Band.HARD, "m-hard"), (None, "m-unsaid")])
def test_effort_has_its_own_fill(band, css_class):
    svg = drawn(replace(EASY_DONE, done_band=band))

    assert len(of_class(svg, css_class)) == 1


def test_middle_effort_is_hatched_with_the_drawing_s_own_pattern():
    svg = draw_ribbon(Ribbon((replace(EASY_DONE, done_band=Band.MIDDLE),), ""), name="Maud Ellery", key="c7")

    assert 'fill="url(#c7-hatch)"' in svg
    assert '<pattern id="c7-hatch"' in svg


def test_a_planned_hard_day_has_an_open_peak_and_a_done_one_a_filled_peak():
    svg = drawn(HARD_PLANNED, replace(HARD_PLANNED, done_minutes=58, done_band=Band.HARD, is_ahead=False))

    assert [one.get("fill") for one in of_class(svg, "m-peak-plan")] == ["none"]
    assert [one.get("fill") for one in of_class(svg, "m-peak-done")] == [marks.INK]


def test_an_easy_day_has_no_peak():
    svg = drawn(EASY_DONE)

    assert of_class(svg, "m-peak-plan") + of_class(svg, "m-peak-done") == []


def test_an_extra_stands_beside_the_planned_one():
    svg = drawn(replace(EASY_DONE, done_minutes=65, extra_minutes=20))

    kept, extra = of_class(svg, "m-easy")
    assert float(extra.get("x")) >= float(kept.get("x")) + float(kept.get("width"))
    assert float(kept.get("height")) == pytest.approx(float(of_class(svg, "m-plan")[0].get("height")))


def test_an_extra_beside_harder_work_does_not_claim_its_effort():
    svg = drawn(replace(EASY_DONE, done_minutes=65, extra_minutes=20, done_band=Band.HARD))

    assert len(of_class(svg, "m-hard")) == 1
    assert len(of_class(svg, "m-unsaid")) == 1


def test_rest_is_a_tick():
    assert len(of_class(drawn(REST, EASY_DONE), "m-tick")) == 1


def test_unknown_is_a_gap_in_the_baseline_with_a_dotted_outline():
    svg = drawn(replace(EASY_DONE, done_minutes=0, done_band=None, is_unknown=True), REST, REST)

    whole = [one for one in of_class(svg, "m-base") if one.get("y1") == one.get("y2")]
    assert len(whole) == 2
    assert of_class(svg, "m-plan")[0].get("stroke-dasharray")
    assert of_class(svg, "m-easy") == []


def test_a_paused_day_has_a_broken_baseline_and_no_tick():
    svg = drawn(replace(REST, is_rest=False, is_paused=True))

    assert of_class(svg, "m-base")[0].get("stroke-dasharray")
    assert of_class(svg, "m-tick") == []


def test_a_moved_session_is_tied_to_the_day_it_came_from():
    svg = drawn(HARD_PLANNED, REST, replace(EASY_DONE, planned_minutes=0, moved_from=TODAY))

    assert [one.get("d") for one in of_class(svg, "m-tie")] == ["M9 48V53H37V48"]


def test_a_session_moved_from_before_the_first_day_is_tied_to_the_edge():
    svg = drawn(REST, replace(EASY_DONE, moved_from=TODAY - timedelta(days=3)))

    assert [one.get("d") for one in of_class(svg, "m-tie")] == ["M0 53H23V48"]


def test_only_today_has_a_band_and_its_word():
    svg = drawn(REST, replace(REST, is_today=True), REST)

    assert len(of_class(svg, "m-today")) == 1
    assert [one.text for one in of_class(svg, "today-word")] == ["today"]


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (REST, "rest"),
        (EASY_DONE, "45 min planned, easy; 45 min done, easy"),
        (replace(EASY_DONE, done_minutes=0, is_unknown=True), "45 min planned, easy; not known what was done"),
        (replace(EASY_DONE, planned_minutes=0, done_band=None), "45 min done, effort not said"),
        (
            replace(EASY_DONE, done_minutes=65, extra_minutes=20),
            "45 min planned, easy; 1 h 05 done, easy; 20 min of it extra",
        ),
        (
            replace(EASY_DONE, planned_minutes=0, moved_from=date(2026, 11, 23)),
            "45 min done, easy; moved from Mon 23 November",
        ),
        (replace(REST, is_rest=False, is_paused=True), "paused"),
    ],
)
def test_every_day_of_the_table_says_what_it_was(one, words):
    assert ribbon_rows([one])[0].words == words


def test_the_table_leaves_blank_what_nobody_knows():
    row = ribbon_rows([replace(EASY_DONE, done_minutes=0, done_band=None, is_unknown=True)])[0]

    assert (row.planned, row.done) == ("45", "")


@pytest.mark.parametrize(("minutes", "words"), [(0, "0 min"), (59.6, "1 h"), (45, "45 min"), (70, "1 h 10")])
def test_minutes_are_said_as_people_say_them(minutes, words):
    assert minutes_words(minutes) == words


def test_the_weeks_chart_is_titled_by_its_finding():
    svg = ET.fromstring(draw_weeks([WEEK], finding="Two hours a week", key="w"))

    assert svg.find(f"{SVG}title").text == "Two hours a week"
    assert svg.find(f"{SVG}desc").text == "Week of 23 November: 3 h planned, 2 h done."


def test_a_week_is_filled_to_what_was_done():
    svg = ET.fromstring(draw_weeks([WEEK], finding="", key="w"))

    outline, filled = of_class(svg, "m-plan")[0], of_class(svg, "m-easy")[0]
    assert float(filled.get("height")) == pytest.approx(float(outline.get("height")) * 120 / 180, abs=0.1)


def test_efforts_of_a_week_are_stacked_without_overlap():
    week = replace(WEEK, easy_minutes=90, unsaid_minutes=30, hard_minutes=30)
    svg = ET.fromstring(draw_weeks([week], finding="", key="w"))

    easy, unsaid, hard = (of_class(svg, name)[0] for name in ("m-easy", "m-unsaid", "m-hard"))
    assert float(unsaid.get("y")) + float(unsaid.get("height")) == pytest.approx(float(easy.get("y")), abs=0.15)
    assert float(hard.get("y")) + float(hard.get("height")) == pytest.approx(float(unsaid.get("y")), abs=0.15)


@pytest.mark.parametrize("hours", [0, 0.5, 4, 9, 23, 70, 300])
def test_the_axis_reaches_the_highest_week_with_few_lines(hours):
    week = replace(WEEK, planned_minutes=hours * 60, easy_minutes=0)
    svg = ET.fromstring(draw_weeks([week], finding="", key="w"))

    labels = [
        int(one.text.removesuffix(" h")) for one in of_class(svg, "axis-word") if one.get("text-anchor") == "end"
    ]
    assert labels[-1] >= hours
    assert 2 <= len(labels) <= 7


def test_no_weeks_at_all_still_make_a_picture():
    assert ET.fromstring(draw_weeks([], finding="Nothing yet", key="w")).get("role") == "img"


def test_a_week_nobody_answered_says_so():
    week = replace(WEEK, easy_minutes=0, is_unknown=True, note="travel")

    assert weekly_sentence([week]) == "Week of 23 November: 3 h planned, not known (travel)."


def test_each_drawing_has_its_figures_in_a_table():
    brought = "{% from 'macros/ribbon.html' import ribbon_table, weeks_table %}"
    source = brought + "{{ ribbon_table(rows) }}{{ weeks_table(weeks) }}"

    page = environment().from_string(source).render(rows=ribbon_rows([EASY_DONE]), weeks=[WEEK])

    assert '<th scope="row">Wed 25 November</th><td class="num">45</td><td class="num">45</td>' in page
    assert '<th scope="row">Mon 23 November</th><td class="num">3 h</td><td class="num">2 h</td>' in page


def test_a_planned_week_is_split_by_effort_in_one_hollow_bar():
    drawn = draw_split(
        MinutesByBand(easy=75, middle=5, hard=20), said="75 min easy, 5 min middle, 20 min hard", key="w"
    )

    assert '<desc id="w-desc">75 min easy, 5 min middle, 20 min hard</desc>' in drawn
    assert [float(one) for one in re.findall(r'<rect (?:class="m-hard" )?x="([\d.]+)"', drawn)] == [76.0, 81.0]
    assert drawn.endswith('stroke-width="1"/></svg>')


def test_a_week_that_is_all_easy_is_an_empty_outline():
    drawn = draw_split(MinutesByBand(easy=90), said="all easy", key="w")

    assert "m-hard" not in drawn
    assert "url(#" not in drawn
