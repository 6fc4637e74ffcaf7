"""The page of tests for everybody, and one client's results with a new one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.effort import TALK_WORDS, Talk
from app.coaching.fitness_estimates import FitnessEstimate
from app.coaching.fitness_standing import NEWEST, TABLES, decline, mortality
from app.coaching.fitness_tests import PROTOCOL_WORDS, FitnessTest, Protocol
from app.coaching.people import ORIGIN_WORDS, Mode, Origin
from app.coaching.reasons import Refused, Why
from app.physiology.values import Missing
from app.usecases import client_file as file_use
from app.usecases import fitness_tests as use
from app.usecases.client_file import ClientHead
from app.usecases.fitness_tests import DueLine, ResultLine
from app.web.coach import client_words as words
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

EARLIEST = date(1990, 1, 1)
SECONDS_A_MINUTE = 60
LONGEST_TEXT = 1000
_CLOCK = re.compile(r"(?:([0-9]{1,2}):)?([0-9]{1,3}):([0-5][0-9])")
PROTOCOL_OPTIONS = [(protocol.value, text) for protocol, text in PROTOCOL_WORDS.items()]
MODE_OPTIONS = [(mode.value, text) for mode, text in words.MODE_WORDS.items() if mode is not Mode.STRENGTH]
TALK_OPTIONS = [(talk.value, text) for talk, text in TALK_WORDS.items()]
ORIGIN_OPTIONS = [
    (origin.value, ORIGIN_WORDS[origin])
    for origin in (Origin.COACH, Origin.CLINIC, Origin.TOLD_BY_PHONE, Origin.FROM_PAPER)
]


@dataclass(frozen=True, slots=True)
class ResultView:
    """One result, ready to print."""

    day: str
    what: str
    figures: str
    talk: str
    conditions: str
    origin: str
    difference: str
    verdict: str
    averaged: str
    change_why: Why | None
    vo2max: str
    stands: str
    estimate_why: Why | None


@dataclass(frozen=True, slots=True)
class DueView:
    """One client's row on the page of tests."""

    id: int
    name: str
    last: str
    loop: str
    loop_change: str
    due: str
    is_due: bool


@router.get("/tests")
def overview(desk: CoachDesk) -> Response:
    """Last test, what is due, and the standard loop for everybody."""
    lines = use.overview(desk.db, actor=desk.person, rules=desk.rules, now=desk.now)
    return render(
        desk,
        "tests/page.html",
        lines=[_due(line) for line in lines],
        loop_weeks=desk.rules.loop_weeks,
        retest_weeks=desk.rules.retest_weeks,
    )


@router.get("/clients/{client_id}/tests")
def results(desk: CoachDesk, client_id: int) -> Response:
    """A client's results."""
    head = file_use.open_head(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    initial = {"tested_on": head.today, "protocol": Protocol.STANDARD_LOOP, "mode": Mode.WALK, "origin": Origin.COACH}
    return _page(desk, head, Fields(initial=initial))


@router.post("/clients/{client_id}/tests")
def add(desk: CoachDesk, client_id: int) -> Response:
    """Keep a result."""
    head = file_use.open_head(desk.db, actor=desk.person, client_id=client_id, now=desk.now, action=Action.LOG)
    fields = Fields(desk.form)
    test = _read(desk, head, fields)
    if test is not None:
        try:
            use.add_result(desk.db, actor=desk.person, test=test, now=desk.now)
        except Refused as refusal:
            fields.refuse("distance_m", str(refusal))
    if fields.errors:
        return _page(desk, head, fields, status=422)
    return see_other(desk, f"/clients/{client_id}/tests", flash="The result is kept.")


def _page(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    table = _chosen_table(desk)
    found = use.results(desk.db, actor=desk.person, client_id=head.client.id, now=desk.now, table=table)
    lines = found.lines
    return render(
        desk,
        "tests/client.html",
        part="tests/_client.html",
        status=status,
        head=head,
        fields=fields,
        results=[_result(line) for line in lines],
        heart_rate=found.heart_rate,
        last_break=found.heart_rate.breaks[-1] if found.heart_rate.breaks else None,
        protocols=PROTOCOL_OPTIONS,
        modes=MODE_OPTIONS,
        talks=TALK_OPTIONS,
        origins=ORIGIN_OPTIONS,
        longest=LONGEST_TEXT,
        table=table,
        tables=TABLES,
        has_estimates=any(isinstance(line.estimate, FitnessEstimate) for line in lines),
        decline=decline(),
        mortality=mortality(),
    )


def _chosen_table(desk: Desk) -> str:
    """The table that results are set beside; the newest edition for anything that is not on the list."""
    asked = desk.request.query_params.get("table", "")
    return next((key for key, _ in TABLES if key == asked), NEWEST)


def _read(desk: Desk, head: ClientHead, fields: Fields) -> FitnessTest | None:
    protocol, mode = fields.choice("protocol", Protocol), fields.choice("mode", Mode)
    tested_on = fields.day("tested_on", earliest=EARLIEST, latest=head.today)
    origin = fields.choice("origin", Origin)
    value = fields.number("value", lowest=0, highest=100_000, required=False)
    error = fields.number("error", lowest=0, highest=100_000, required=False)
    unit = fields.text("unit", most=40, required=False)
    if (value is None) is not (unit is None) and not fields.errors:
        fields.refuse("unit", "A value and its unit go together.")
    test = FitnessTest(
        id=0,
        client_id=head.client.id,
        tested_on=tested_on or head.today,
        protocol=protocol or Protocol.OTHER,
        mode=mode or Mode.OTHER,
        distance_m=fields.number("distance_m", lowest=1, highest=500_000, required=False, unit="m"),
        duration_s=_read_duration(fields),
        heart_rate_bpm=fields.whole("heart_rate_bpm", lowest=25, highest=240, required=False, unit="beats a minute"),
        talk=fields.choice("talk", Talk, required=False),
        value=value,
        unit=unit,
        error=error,
        conditions=fields.text("conditions", most=LONGEST_TEXT, required=False, many_lines=True),
        origin=origin or Origin.COACH,
        entered_at=desk.now,
        person_id=desk.person.person_id,
        weight_kg=fields.number("weight_kg", lowest=30, highest=250, required=False, unit="kg"),
        height_cm=fields.number("height_cm", lowest=120, highest=230, required=False, unit="cm"),
    )
    return None if fields.errors else test


def _read_duration(fields: Fields) -> float | None:
    """Seconds from 17:30 (minutes and seconds) or 1:02:05."""
    typed = fields.text("duration", most=20, required=False)
    if typed is None:
        return None
    found = _CLOCK.fullmatch(typed) if typed.isascii() else None
    if found is None:
        fields.refuse("duration", "Write minutes and seconds as 17:30, or 1:02:05.")
        return None
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    total = (hours * SECONDS_A_MINUTE + minutes) * SECONDS_A_MINUTE + seconds
    if not 1 <= total <= 24 * SECONDS_A_MINUTE**2:
        fields.refuse("duration", "This should be between one second and a day.")
        return None
    return float(total)


def _result(line: ResultLine) -> ResultView:
    test, compared = line.test, line.compared
    against = f", against {words.long(compared.before.tested_on)}" if compared else ""
    return ResultView(
        day=words.long(test.tested_on),
        what=words.protocol_words(test),
        figures=words.result_words(test, line.heart_rate),
        talk=TALK_WORDS[test.talk] if test.talk else "",
        conditions=test.conditions or "",
        origin=ORIGIN_WORDS[test.origin],
        difference="" if compared is None else f"{', '.join(compared.differences) or 'no figure in common'}{against}",
        verdict=compared.verdict if compared else "",
        averaged=compared.averaged if compared else "",
        change_why=compared.why if compared else None,
        vo2max=_vo2max_words(line.estimate),
        stands=line.estimate.stands if isinstance(line.estimate, FitnessEstimate) else "",
        estimate_why=line.estimate.why if isinstance(line.estimate, FitnessEstimate) else None,
    )


def _vo2max_words(estimate: FitnessEstimate | Missing | None) -> str:
    if estimate is None:
        return ""
    return f"VO2max {estimate.said}" if isinstance(estimate, FitnessEstimate) else f"No VO2max: {estimate.reason}"


def _due(line: DueLine) -> DueView:
    last, loop, compared = line.last, line.last_loop, line.loop_compared
    due = line.due
    return DueView(
        id=line.client.id,
        name=line.client.name,
        last="none yet" if last is None else f"{PROTOCOL_WORDS[last.protocol]}, {words.long(last.tested_on)}",
        loop="never"
        if loop is None
        else f"{words.result_words(loop, line.heart_rate)}, {words.long(loop.tested_on)}",
        loop_change=", ".join(compared.differences) if compared else "",
        due="" if due is None else f"{due.what[:1].lower()}{due.what[1:]}, {words.long(due.on)}",
        is_due=due is not None and due.on <= line.today,
    )
