"""Spreadsheets as coaches keep them: read, understood, or refused with line, column and reason."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.effort import Talk
from app.coaching.people import Mode, Sex
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.typed_values import NotUnderstood
from app.files import csv_dates, csv_values
from app.files.csv_dates import DateOrder
from app.files.csv_fields import FileKind
from app.files.csv_mapping import from_json, header_sha256, suggest, to_json
from app.files.csv_mapping_file import fitting, read_mapping_file
from app.files.csv_questions import prepare
from app.files.csv_text import LARGEST_FILE, MOST_ROWS, Unreadable, read_table
from app.files.csv_values import Decimals, DistanceUnit, EffortScale, HighIs, ReadinessScale
from app.files.from_csv import read_rows


def reading_of(text, **answers):
    """The rows of a file whose headers suggest their own mapping, with some answers given."""
    table = read_table(text.encode())
    mapping = from_json(to_json(suggest(table.headers)))
    mapping = mapping.__class__(**{f: getattr(mapping, f) for f in mapping.__slots__} | answers)
    prepared = prepare(table, mapping)
    assert prepared.questions == ()
    return read_rows(table, prepared.mapping)


def session_of(cells, headers="Name,Date,Minutes", **answers):
    return reading_of(f"{headers}\n{cells}\n", **answers).rows[0]


def refusal_of(cells, headers="Name,Date,Minutes", **answers):
    reading = reading_of(f"{headers}\n{cells}\n", **answers)
    assert reading.rows == ()
    return reading.refused[0]


# Bytes to cells.


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_the_delimiter_is_found(delimiter):
    table = read_table(delimiter.join(["Name", "Date", "Minutes"]).encode() + b"\n")

    assert table.delimiter == delimiter
    assert table.headers == ("Name", "Date", "Minutes")


def test_a_comma_decimal_does_not_pass_for_a_delimiter():
    table = read_table(b"Name;Km\nIda;5,2\nOle;7,1\n")

    assert [line.cells for line in table.lines] == [("Ida", "5,2"), ("Ole", "7,1")]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_unicode_files_are_read_with_and_without_a_mark(encoding):
    table = read_table("Name,Minutes\nJürgen Ødegård,45\n".encode(encoding))

    assert table.headers[0] == "Name"
    assert table.lines[0].cells[0] == "Jürgen Ødegård"
    assert table.notes == ()


def test_an_old_windows_file_is_read_and_said_to_be():
    table = read_table("Name;Minutes\nJürgen;45\n".encode("cp1252"))

    assert table.lines[0].cells[0] == "Jürgen"
    assert "Windows-1252" in table.notes[0]


def test_quoted_cells_keep_delimiters_quotes_and_line_breaks():
    table = read_table(b'Name,Note\nIda,"wet, windy\nand ""fun"""\nOle,dry\n')

    assert table.lines[0].cells == ("Ida", 'wet, windy\nand "fun"')
    assert [line.number for line in table.lines] == [2, 4]


def test_empty_lines_are_passed_over_and_the_count_stays():
    table = read_table(b"Name,Minutes\n\n,\nIda,45\n")

    assert [line.number for line in table.lines] == [4]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "empty"),
        (b"Name\nIda\n", "No columns"),
        (b"Name,name\nIda,Ole\n", "Two columns are called"),
        (b"PK\x03\x04rest", "whole workbook"),
        (b"Na\0me,Minutes\n", "not a text file"),
        (b'Name,Minutes\nIda,"45\n', "line 2 breaks off"),
        (b"Name,Minutes\n" + b"x" * LARGEST_FILE, "larger than 5 MB"),
        (b"a,b\n" + b"1,2\n" * (MOST_ROWS + 1), "more than 100,000 rows"),
        (b"\xff\xfea", "damaged"),
    ],
    ids=["empty", "one column", "twice", "workbook", "binary", "open quote", "large", "long", "damaged"],
)
def test_a_file_that_is_no_table_says_why(content, sentence):
    with pytest.raises(Unreadable, match=sentence):
        read_table(content)


# Dates.


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["03/04/2026", "13/04/2026"], DateOrder.DAY_FIRST),
        (["03/04/2026", "04/13/2026"], DateOrder.MONTH_FIRST),
        (["2026-04-03", "2026/04/13"], DateOrder.ISO),
        (["03/04/2026", "04/05/2026"], None),
        (["13/04/2026", "04/13/2026"], None),
        (["03.03.2026"], DateOrder.DAY_FIRST),
        ([], DateOrder.ISO),
    ],
)
def test_a_number_over_twelve_settles_the_order_of_a_file(cells, order):
    assert csv_dates.order_shown_by(cells) is order


@pytest.mark.parametrize(
    ("raw", "order", "expected"),
    [
        ("3.4.2026", DateOrder.DAY_FIRST, date(2026, 4, 3)),
        ("3/4/2026", DateOrder.MONTH_FIRST, date(2026, 3, 4)),
        ("3-4-26", DateOrder.DAY_FIRST, date(2026, 4, 3)),
        ("2026-04-03", DateOrder.MONTH_FIRST, date(2026, 4, 3)),
        ("2026-04-03 07:15", DateOrder.ISO, date(2026, 4, 3)),
        ("3 April 2026", DateOrder.ISO, date(2026, 4, 3)),
        ("Apr 3, 2026", DateOrder.ISO, date(2026, 4, 3)),
    ],
)
def test_dates_are_understood(raw, order, expected):
    assert csv_dates.day(raw, order) == expected


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        ("31/02/2026", "not in the calendar"),
        ("45986", "day number"),
        ("soon", "not a date"),
        ("3 Foo 2026", "not a date"),
        ("٣/٤/2026", "not a date"),
    ],
)
def test_a_bad_date_says_what_is_wrong(raw, sentence):
    with pytest.raises(NotUnderstood, match=sentence):
        csv_dates.day(raw, DateOrder.DAY_FIRST)


def test_told_iso_means_iso():
    with pytest.raises(NotUnderstood, match="year-month-day"):
        csv_dates.day("13/04/2026", DateOrder.ISO)


def test_a_birth_year_needs_four_figures():
    with pytest.raises(NotUnderstood, match="four figures"):
        csv_dates.day("3.4.61", DateOrder.DAY_FIRST, is_birth=True)


@given(st.dates(date(1916, 1, 1), date(2099, 12, 31)), st.sampled_from([". ", ".", "/", "-"]))
def test_every_day_comes_back_from_both_orders(day, mark):
    day_first = f"{day.day}{mark}{day.month}{mark}{day.year}"
    month_first = f"{day.month:02d}{mark}{day.day:02d}{mark}{day.year}"

    assert csv_dates.day(day_first, DateOrder.DAY_FIRST) == day
    assert csv_dates.day(month_first, DateOrder.MONTH_FIRST) == day
    assert csv_dates.day(day.isoformat(), DateOrder.DAY_FIRST) == day


# Numbers and minutes.


@given(st.integers(1, 24 * 60 - 1))
def test_whole_minutes_come_back_from_every_way_of_writing(total):
    hours, rest = divmod(total, 60)

    assert csv_values.minutes(str(total)) == total
    assert csv_values.minutes(f"{hours}:{rest:02d}") == total
    assert csv_values.minutes(f"{hours:02d}:{rest:02d}:00") == total
    assert csv_values.minutes(f"{hours}h{rest:02d}") == total


@given(st.integers(0, 999_999), st.integers(0, 99))
def test_grouped_numbers_come_back_with_either_decimal_mark(whole, hundredths):
    pointed = f"{whole:,}.{hundredths:02d}"
    comma = pointed.translate(str.maketrans(",.", ".,"))

    assert csv_values.number(pointed, Decimals.POINT) == pytest.approx(whole + hundredths / 100)
    assert csv_values.number(comma, Decimals.COMMA) == pytest.approx(whole + hundredths / 100)


def test_without_a_given_mark_point_and_comma_both_do():
    assert csv_values.number("7,5", None) == csv_values.number("7.5", None) == 7.5


@pytest.mark.parametrize("raw", ["NaN", "inf", "1_000", "٤٥", "=45", "45;", "1.234,5"])
def test_what_is_not_a_number_is_refused(raw):
    with pytest.raises(NotUnderstood):
        csv_values.number(raw, None)


def test_a_point_in_a_comma_file_is_refused_and_not_guessed():
    with pytest.raises(NotUnderstood, match="decimal comma"):
        csv_values.number("7.5", Decimals.COMMA)


@pytest.mark.parametrize("raw", ["45:00", "45 h", "45h"])
def test_forty_five_hours_ask_whether_minutes_were_meant(raw):
    with pytest.raises(NotUnderstood, match=r"45 hours\. Did you mean 45 min"):
        csv_values.minutes(raw)


@pytest.mark.parametrize("raw", ["0", "-5", "0:00", "1441"])
def test_minutes_lie_within_a_day(raw):
    with pytest.raises(NotUnderstood, match="between 1 and 1440"):
        csv_values.minutes(raw)


@pytest.mark.parametrize(
    ("raw", "unit", "expected"),
    [
        ("5,2", DistanceUnit.KILOMETRES, "5.2 km"),
        ("5.2 km", DistanceUnit.MILES, "5.2 km"),
        ("3", DistanceUnit.MILES, "4.83 km (3 miles)"),
        ("3 mi", DistanceUnit.KILOMETRES, "4.83 km (3 miles)"),
    ],
)
def test_distances_are_kept_in_kilometres(raw, unit, expected):
    assert csv_values.distance_words(raw, None, unit) == expected


@pytest.mark.parametrize(("raw", "expected"), [("4 x 4 min", (4, 240)), ("3×5", (3, 300)), ("8x0,5", (8, 30))])
def test_rounds_are_read(raw, expected):
    assert csv_values.rounds(raw) == expected


# Scales.


def test_the_other_effort_scale_is_converted_and_kept_in_words():
    found = csv_values.effort("13", None, EffortScale.SIX_TO_TWENTY)

    assert found.effort == 3.5  # E. Borg 2001: 3.49
    assert found.words == "Effort 13 on the 6-20 scale."


@pytest.mark.parametrize(
    ("raw", "effort", "is_all_out"),
    [("16", 5.3, False), ("17", 7.0, False), ("18", 7.0, False), ("19", 7.3, True), ("20", 8.0, True)],
)
def test_a_rating_from_seventeen_on_is_never_read_as_less_than_hard(raw, effort, is_all_out):
    found = csv_values.effort(raw, None, EffortScale.SIX_TO_TWENTY)

    assert (found.effort, found.is_all_out) == (effort, is_all_out)


def test_the_rating_and_the_reason_stand_beside_a_raised_effort():
    found = csv_values.effort("17", None, EffortScale.SIX_TO_TWENTY)

    assert found.words == "Effort 17 on the 6-20 scale. Counts as hard from 17 on (house choice)."


@pytest.mark.parametrize(("raw", "expected"), [("5", 1), ("4", 3), ("3", 4), ("2", 6), ("1", 7)], ids=str)
def test_one_to_five_high_better_becomes_one_to_seven_high_worse(raw, expected):
    assert csv_values.readiness_item(raw, None, ReadinessScale(1, 5, HighIs.BETTER)) == expected


@given(st.integers(1, 7))
def test_the_desks_own_scale_is_left_as_it_is(item):
    assert csv_values.readiness_item(str(item), None, ReadinessScale(1, 7, HighIs.WORSE)) == item


@given(st.integers(0, 50), st.integers(1, 50), st.data())
def test_turning_the_direction_mirrors_the_scale(lowest, width, data):
    value = data.draw(st.integers(lowest, lowest + width))
    mirrored = 2 * lowest + width - value
    worse = csv_values.readiness_item(str(value), None, ReadinessScale(lowest, lowest + width, HighIs.WORSE))
    better = csv_values.readiness_item(str(mirrored), None, ReadinessScale(lowest, lowest + width, HighIs.BETTER))

    assert worse == better


def test_mood_runs_one_to_five_and_high_is_better():
    assert csv_values.mood("7", None, ReadinessScale(1, 7, HighIs.WORSE)) == 1
    assert csv_values.mood("10", None, ReadinessScale(0, 10, HighIs.BETTER)) == 5


# Text.


@pytest.mark.parametrize("raw", ["=1+1", "@SUM(A1)", "<script>alert(1)</script>", "🏃 wet"])
def test_formulas_tags_and_emoji_stay_text(raw):
    assert csv_values.text(raw) == raw


def test_the_quote_our_own_exports_put_before_a_formula_comes_off_once():
    assert csv_values.text("'=1+1") == "=1+1"
    assert csv_values.text("''=1+1") == "'=1+1"
    assert csv_values.text("'tis") == "'tis"


def test_control_characters_are_taken_out():
    assert csv_values.text("Ida\x07 Moen\x1b") == "Ida Moen"


def test_a_very_long_note_is_refused():
    with pytest.raises(NotUnderstood, match="4000 is the most"):
        csv_values.text("x" * 4001, most=csv_values.LONGEST_NOTE)


# Mappings.


def test_headers_suggest_the_kind_and_the_columns():
    mapping = suggest(["Remarks", "WHEN", " Duration ", "Who", "Shoe"])

    assert mapping.kind is FileKind.SESSIONS
    assert mapping.columns == {"who": "client", "when": "done_on", "duration": "minutes", "remarks": "note"}


def test_a_mapping_comes_back_from_its_text():
    mapping = suggest(["Name", "Date", "Sleep"])
    mapping = mapping.__class__(
        mapping.kind, mapping.columns, DateOrder.DAY_FIRST, scale=ReadinessScale(1, 5, HighIs.BETTER)
    )

    assert from_json(to_json(mapping)) == mapping


def test_the_print_of_a_header_row_does_not_mind_order_and_capitals():
    assert header_sha256(["Name", "Date"]) == header_sha256(["date ", "NAME"])
    assert header_sha256(["Name", "Date"]) != header_sha256(["Name", "Day"])


MAPPING_FILE = """
[sessions]
distance = "miles"
[sessions.columns]
"Who?" = "client"
"Day" = "done_on"
"Time" = "minutes"
[sessions.words.mode]
"Nordic sticks" = "walk"
[readiness]
scale = [1, 5]
high_is = "better"
columns = {"Who?" = "client", "Day" = "noted_on", "Legs" = "soreness"}
"""


def test_the_mapping_file_is_chosen_by_headers():
    mappings = read_mapping_file(MAPPING_FILE)
    sessions = fitting(mappings, ["Day", "who?", "Time"])
    readiness = fitting(mappings, ["Day", "who?", "Legs"])

    assert sessions is not None
    assert sessions.kind is FileKind.SESSIONS
    assert sessions.distance is DistanceUnit.MILES
    assert sessions.word("mode", "NORDIC sticks") == "walk"
    assert readiness is not None
    assert readiness.scale == ReadinessScale(1, 5, HighIs.BETTER)
    assert fitting(mappings, ["Day", "Weather"]) is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[goats]", "not “goats”"),
        ("[sessions\n", "cannot be read"),
        ('[sessions]\ncolumns = {"A" = "shoe"}', "sessions have"),
        ('[sessions]\ncolumns = {"A" = "client", "B" = "client"}', "Two columns"),
        ('[sessions]\ndates = "backwards"', "cannot be “backwards”"),
        ("[readiness]\nscale = [1, 5]", "need both.*high_is = “better”"),
        ('[readiness]\nscale = [5, 1]\nhigh_is = "better"', "lower to a higher"),
        ('[sessions.words.mode]\n"sticks" = "fly"', "mode is one of"),
        ('[sessions.words.minutes]\n"x" = "y"', "holds words"),
    ],
)
def test_a_wrong_mapping_file_says_what_is_wrong(text, sentence):
    with pytest.raises(NotUnderstood, match=sentence):
        read_mapping_file(text)


# Questions.


def questions_of(text):
    table = read_table(text.encode())
    return [question.name for question in prepare(table, suggest(table.headers)).questions]


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("Name,Date,Minutes\nIda,3/4/2026,45\n", ["dates"]),
        ("Name,Date,Minutes\nIda,3/4/2026,45\nIda,30/4/2026,45\n", []),
        ("Name,Date,Minutes,Effort\nIda,2026-04-03,45,6\nIda,2026-04-04,45,9\n", ["effort"]),
        ("Name,Date,Minutes,Effort\nIda,2026-04-03,45,6\nIda,2026-04-04,45,12\n", []),
        ("Name,Date,Minutes,Effort\nIda,2026-04-03,45,3\n", []),
        ("Name,Date,Minutes,Distance\nIda,2026-04-03,45,3\n", ["distance"]),
        ("Name,Date,Minutes,Distance\nIda,2026-04-03,45,3 km\n", []),
        ("Name,Date,Minutes,Distance (km)\nIda,2026-04-03,45,3\n", []),
        ("Name,Date,Sleep\nIda,2026-04-03,3\n", ["scale"]),
        ("Name,Date,Resting pulse,Hours slept\nIda,2026-04-03,52,7\n", []),
        ("Name,Minutes\nIda,45\n", ["columns"]),
    ],
)
def test_only_what_the_file_leaves_open_is_asked(text, asked):
    assert questions_of(text) == asked


def test_words_nobody_explained_are_listed_once():
    table = read_table(b"Name,Date,Minutes,Kind\nIda,2026-04-03,45,Wobble\nIda,2026-04-04,45,wobble\n")

    assert prepare(table, suggest(table.headers)).unknown_words == (("kind", "wobble"),)


# Rows.


def test_a_full_session_row_is_understood():
    row = session_of(
        "2026-11-02;Ida Moen;intervals;bike;0:58;7;only a few words;12,5;4 x 4 min;windy",
        "Date;Name;Kind;Mode;Duration;Effort;Talk;Km;Rounds;Note",
        effort=EffortScale.ZERO_TO_TEN,
    )

    assert (row.line, row.client, row.done_on) == (2, "Ida Moen", date(2026, 11, 2))
    assert (row.kind, row.mode, row.minutes) == (SessionKind.INTERVALS, Mode.RIDE, 58)
    assert (row.effort, row.talk, row.rounds) == (7, Talk.FEW_WORDS, (4, 240))
    assert row.note == "12.5 km\nwindy"


def test_a_session_without_a_kind_is_easy_and_its_way_of_moving_open():
    row = session_of("Ida,2026-11-02,45")

    assert (row.kind, row.mode, row.effort) == (SessionKind.EASY, Mode.OTHER, None)


def test_a_full_client_row_is_understood():
    row = session_of(
        "Ida Moen,ida@example.org,+47 900 00 000,3.4.1961,woman,Europe/Oslo,base,15.5.2026,old diary",
        "Name,Email,Phone,Date of birth,Sex,Zone,Phase,Since,Source",
    )

    assert (row.name, row.email, row.phone) == ("Ida Moen", "ida@example.org", "+47 900 00 000")
    assert (row.born_on, row.sex, row.zone) == (date(1961, 4, 3), Sex.FEMALE, "Europe/Oslo")
    assert (row.phase, row.phase_since_on, row.phase_source) == (
        Phase.AEROBIC_BASE,
        date(2026, 5, 15),
        "old diary",
    )


def test_a_readiness_row_is_converted_and_says_from_what():
    row = session_of(
        "Ida Moen,2026-11-02,4,2,7:30,52,so so",
        "Name,Date,Sleep,Legs,Hours slept,Resting pulse,Note",
        scale=ReadinessScale(1, 5, HighIs.BETTER),
    )

    assert (row.sleep, row.soreness, row.slept_h, row.resting_heart_rate_bpm) == (3, 6, 7.5, 52)
    assert row.text == "Converted from a scale of 1-5, high is better: sleep 4, soreness 2.\nso so"


def test_cells_that_say_nothing_are_empty():
    row = session_of("Ida,-,n/a,x", "Name,Email,Born,Sex")

    assert (row.email, row.born_on, row.sex) == (None, None, None)


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        (",2026-11-02,45", "Name", "empty"),
        ("Ida,,45", "Date", "empty"),
        ("Ida,2026-11-02,", "Minutes", "empty"),
        ("Ida,2026-11-02,45:00", "Minutes", "Did you mean 45 min"),
        ("Ida,2026-11-02,NaN", "Minutes", "1:10"),
        ("Ida,2026-13-02,45", "Date", "not in the calendar"),
        ("Ida,2026-11-02,=45", "Minutes", "formula"),
        ("Ida,2026-11-02,45,more,and more", "", "5 cells where the header has 3"),
    ],
)
def test_a_bad_row_names_line_column_and_reason(cells, column, sentence):
    refusal = refusal_of(cells)

    assert (refusal.line, refusal.column) == (2, column)
    assert sentence in refusal.reason


@pytest.mark.parametrize(
    ("headers", "cells", "column", "sentence"),
    [
        ("Name,Phase,Since", "Ida,base,", "Since", "needs the day"),
        ("Name,Phase,Since", "Ida,,2026-01-02", "Phase", "without a phase"),
        ("Name,Phase,Since", "Ida,wobble,2026-01-02", "Phase", "does not know"),
        ("Name,Email", "Ida,ida at home", "Email", "not an e-mail"),
        ("Name,Zone", "Ida,Middle/Earth", "Zone", "not a time zone"),
    ],
)
def test_a_bad_client_row_names_its_column(headers, cells, column, sentence):
    refusal = refusal_of(cells, headers)

    assert refusal.column == column
    assert sentence in refusal.reason


def test_good_rows_go_in_beside_a_bad_one():
    reading = reading_of("Name,Date,Minutes\nIda,2026-11-02,45\nIda,2026-11-03,?\nIda,2026-11-04,30\n")

    assert [row.line for row in reading.rows] == [2, 4]
    assert [refusal.line for refusal in reading.refused] == [3]


def test_an_open_question_is_never_answered_by_chance():
    table = read_table(b"Name,Date,Minutes\nIda,3/4/2026,45\n")

    with pytest.raises(ValueError, match="not settled"):
        read_rows(table, suggest(table.headers))
