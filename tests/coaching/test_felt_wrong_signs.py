"""Every sign of "something felt wrong": its family, what is said first, and the hold it raises."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.symptoms import SIGNS, advice, emergency_text, hold_for, sign_of, way_words
from tests.factories import symptom

A, B, C = Family.A, Family.B, Family.C
LATER = "Your coach may not see this before their next morning. Do not wait for an answer here."
TELL = "Tell your coach in person or by phone."
REST = "Stop now and rest, sitting or lying. Do not be alone."

#: Screening and safety reference 2.5 (house; a clinician should review it): (a) heart, chest, breath, faintness,
#: head, one-sided weakness, calf, leg cramp that stops, lasting nausea, not sure; (b) joint, muscle, tendon, a fall;
#: (c) the rest. A head knock, or a fall on blood thinners, is a clinician's.
TABLE = [
    ("chest", A, True),
    ("breath", A, True),
    ("fainted", A, True),
    ("dizzy", A, True),
    ("heartbeat", A, True),
    ("pale", A, True),
    ("head", A, True),
    ("one_side", A, True),
    ("calf", A, True),
    ("leg_cramp", A, True),
    ("nausea", A, True),
    ("not_sure", A, True),
    ("fall_head", B, True),
    ("joint", B, False),
    ("muscle", B, False),
    ("fall", B, False),
    ("wanted_to_stop", C, False),
    ("too_hard", C, False),
    ("briefly_sick", C, False),
    ("kit", C, False),
]


def test_the_list_is_complete_and_in_this_order() -> None:
    assert [one.key for one in SIGNS] == [key for key, *_ in TABLE]


@pytest.mark.parametrize(("key", "family", "needs_paper"), TABLE)
def test_each_sign_has_its_family_and_its_hold(key, family, needs_paper: bool) -> None:
    sign = sign_of(key)
    kind, stops, mode = hold_for(sign, Mode.RUN)

    assert sign.family is family
    assert (kind is HoldKind.SYMPTOM) is (stops is Stops.ALL) is needs_paper
    assert (mode is Mode.RUN) is (family is B and not needs_paper)


@pytest.mark.parametrize(
    ("key", "mode", "hold"),
    [
        ("chest", Mode.RUN, (HoldKind.SYMPTOM, Stops.ALL, None)),
        ("chest", None, (HoldKind.SYMPTOM, Stops.ALL, None)),
        ("fall_head", Mode.RUN, (HoldKind.SYMPTOM, Stops.ALL, None)),
        ("fall", Mode.RUN, (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.RUN)),
        ("fall", None, (HoldKind.INJURY, Stops.ALL, None)),
        ("kit", Mode.RUN, (HoldKind.STOPPED_EARLY, Stops.HARD, None)),
        ("kit", None, (HoldKind.STOPPED_EARLY, Stops.HARD, None)),
    ],
)
def test_the_hold_of_each_family(key: str, mode: Mode | None, hold: tuple) -> None:
    assert hold_for(sign_of(key), mode) == hold


@pytest.mark.parametrize("key", ["chest", "leg_cramp", "fall_head"])
def test_a_sign_for_a_clinician_says_rest_emergency_doctor_and_coach(key: str) -> None:
    lines = advice(sign_of(key), "112")

    assert lines[0] == REST
    assert lines[1] == emergency_text("112")
    assert lines[2].startswith("Do not train again until a doctor has seen you")
    assert lines[3:] == (TELL, LATER)


def test_an_injury_and_a_session_cut_short_say_what_goes_on() -> None:
    hurt, cut_short = advice(sign_of("joint"), "112"), advice(sign_of("too_hard"), "112")

    assert hurt[0].startswith("Stop using what hurts. No hard work until you have spoken with your coach.")
    assert cut_short[0].startswith("You did right to stop. No hard work until")
    assert hurt[1:] == cut_short[1:] == (TELL, LATER)


@pytest.mark.parametrize(
    ("number", "said"),
    [("112", "Call 112 now"), (" 112 ", "Call 112 now"), (None, "Call your local emergency number now")],
)
def test_the_number_to_call_is_the_practices_or_the_local_one(number: str | None, said: str) -> None:
    assert emergency_text(number).startswith(said)


ENTERED = datetime(2026, 10, 3, 7, 30, tzinfo=UTC)


def came(**later: float):
    return symptom(entered_at=ENTERED, received_at=ENTERED + timedelta(**later))


@pytest.mark.parametrize("report", [symptom(entered_at=ENTERED), came(), came(seconds=20)])
def test_a_report_that_came_at_once_has_one_time(report) -> None:
    assert way_words(report, "Europe/Berlin") is None


def test_a_report_that_lay_on_the_phone_tells_both_times_where_the_client_is() -> None:
    assert way_words(came(days=2, hours=1, minutes=5), "Europe/Berlin") == (
        "Entered on the phone 3 October 2026, 09:30; it came 5 October 2026, 10:35."
    )


@pytest.mark.parametrize(("days", "is_doubted"), [(30, False), (30.01, True)])
def test_over_thirty_days_on_the_way_the_phones_clock_is_doubted(days: float, is_doubted: bool) -> None:
    assert str(way_words(came(days=days), "Europe/Berlin")).endswith("so ask when it was.") is is_doubted
