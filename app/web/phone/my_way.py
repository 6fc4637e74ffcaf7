"""My way: the client's story so far, what comes next, and the consents."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.client_voice import hold_line, holds_told
from app.coaching.fitness_changes import is_a_rate
from app.coaching.fitness_tests import PROTOCOL_WORDS, FitnessTest
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.hold_rules import stops_everything
from app.coaching.people import ClientState, Origin
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind, Phase, PhaseDecision
from app.coaching.screening import ConsentKind
from app.coaching.symptoms import NOT_READ_AT_ONCE, emergency_text
from app.usecases import my_way
from app.usecases.my_way import MyWay
from app.web.deps import PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.phone.way_words import TURN_HEADINGS, Turn, is_the_way_walked, next_lines, there_titles
from app.web.render import render, see_other

router = APIRouter()

PHASE_STORY = {
    Phase.AEROBIC_BASE: "Building the base: many easy minutes, month after month.",
    Phase.INTERVAL_ONE: "One hard session a week, everything else easy.",
    Phase.INTERVAL_TWO: "Two hard sessions a week, everything else easy.",
    Phase.KEEPING: "Keeping what you have: two easy and one short hard session a week.",
    Phase.RETURNING: "Coming back, step by step.",
}
PHASE_TITLES = {
    Phase.AEROBIC_BASE: "Building the base",
    Phase.INTERVAL_ONE: "One hard session a week",
    Phase.INTERVAL_TWO: "Two hard sessions a week",
    Phase.KEEPING: "Keeping what you have",
    Phase.RETURNING: "Coming back",
}
NEWEST_TESTS = 6
#: Asked for before anything is trained or kept, whatever the phase.
ASKED_FIRST = (ConsentKind.COACHING, ConsentKind.HEALTH_DATA)
DECISION_WORDS = {
    DecisionKind.START: "began",
    DecisionKind.PROMOTE: "moved on",
    DecisionKind.STAY: "stayed",
    DecisionKind.STEP_BACK: "a step back",
    DecisionKind.BROUGHT_IN: "brought along",
    DecisionKind.UNDO: "set right",
}


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One step of the story."""

    since_on: date
    phase: str
    words: str
    is_now: bool


@router.get("/me/my-way")
def show(desk: PhoneDesk) -> Response:
    """The story so far and what comes next."""
    view = my_way.load(desk.db, actor=desk.person, client_id=own_client_id(desk), rules=desk.rules, now=desk.now)
    is_walked = is_the_way_walked(view)
    lines = [one for one in next_lines(view) if is_walked or one.turn is not Turn.TIME]
    tests = [(one, _test_words(one, view.heart_rate)) for one in view.tests]
    return render(
        desk,
        "phone/my_way.html",
        view=view,
        story=_story(view.decisions),
        is_on_a_break=view.client.state is ClientState.PAUSED,
        is_newcomer=view.phase is None,
        phase_words=PHASE_STORY[view.phase] if view.phase else None,
        block_until=view.block.starts_on + timedelta(weeks=view.block.weeks, days=-1) if view.block else None,
        there=there_titles(view.conditions),
        turns=[(title, hint, [one for one in lines if one.turn is turn]) for turn, title, hint in TURN_HEADINGS],
        unread=_unread(view),
        hard_waits=view.phase in HARD_WORK_PHASES and bool(view.stopped.all_because),
        hard_waits_for_texts=view.phase in HARD_WORK_PHASES,
        tests=tests[:NEWEST_TESTS],
        earlier_tests=tests[NEWEST_TESTS:],
        holds=[hold_line(one) for one in holds_told(view.open_holds) if not stops_everything(one)],
        emergency=emergency_text(desk.practice.emergency_number),
        not_read_at_once=NOT_READ_AT_ONCE,
    )


@router.post("/me/my-way/consents")
def give(desk: PhoneDesk) -> Response:
    """Agree to a text as it was shown."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", ConsentKind)
    version = fields.text("text_version")
    if kind is None or version is None:
        return see_other(desk, "/me/my-way", flash="Nothing was changed: it was not clear which text was meant.")
    my_way.give_consent(
        desk.db,
        actor=desk.person,
        client_id=own_client_id(desk),
        kind=kind,
        text_version=version,
        origin=Origin.CLIENT,
        now=desk.now,
    )
    return see_other(desk, "/me/my-way#consents", flash="Kept. You can take it back here at any time.")


@router.post("/me/my-way/consents/take-back")
def take_back(desk: PhoneDesk) -> Response:
    """Take a consent back, as easily as it was given."""
    kind = Fields(desk.form).choice("kind", ConsentKind)
    if kind is None:
        return see_other(desk, "/me/my-way", flash="Nothing was changed: it was not clear which text was meant.")
    my_way.withdraw_consent(desk.db, actor=desk.person, client_id=own_client_id(desk), kind=kind, now=desk.now)
    return see_other(desk, "/me/my-way#consents", flash="Taken back. Your coach will see it.")


def _story(decisions: tuple[PhaseDecision, ...]) -> list[StoryLine]:
    """Decisions oldest first; what was brought in counts once confirmed."""
    valid = [d for d in decisions if d.kind is not DecisionKind.BROUGHT_IN or d.confirmed_at is not None]
    return [
        StoryLine(one.since_on, PHASE_TITLES[one.phase], DECISION_WORDS[one.kind], one is valid[-1]) for one in valid
    ]


def _unread(view: MyWay) -> list[str]:
    """Titles of the texts that are asked for now and not agreed to."""
    is_hard_phase = view.phase in HARD_WORK_PHASES
    asked = tuple(ConsentKind) if is_hard_phase else ASKED_FIRST
    return [line.text.title for line in view.consents if line.given is None and line.text.kind in asked]


def _test_words(one: FitnessTest, heart_rate: HeartRateTrust) -> str:
    parts = [PROTOCOL_WORDS[one.protocol]]
    if one.value is not None and one.unit:
        error = f" give or take {one.error:g}" if one.error is not None else ""
        value = f"{one.value:g} {one.unit}{error}"
        parts.append(heart_rate.beside(value) if is_a_rate(one) else value)
    if one.distance_m is not None:
        parts.append(f"{one.distance_m / 1000:g} km")
    if one.duration_s is not None:
        parts.append(f"{int(one.duration_s // 60)}:{int(one.duration_s % 60):02d} min")
    if one.heart_rate_bpm is not None:
        parts.append(heart_rate.beside(f"heart rate {one.heart_rate_bpm}"))
    return ", ".join(parts)
