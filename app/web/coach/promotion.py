"""From base to hard work: every condition with its figures, and the coach's decision."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter
from markupsafe import Markup
from starlette.responses import Response

from app.coaching.condition import STATE_WORDS, Condition, Group
from app.coaching.people import age_on
from app.coaching.phase_moves import Looks, Move
from app.coaching.phases import PHASE_WORDS, DecisionKind
from app.coaching.promotion import NEAR_FRACTION, NEAR_WEEKS
from app.coaching.reasons import Refused, Why
from app.coaching.second_week import ONE_IS_ENOUGH_FROM_YEARS
from app.coaching.training_weeks import Held, WeekFacts
from app.coaching.weeks import day_words
from app.usecases import promoting as use
from app.usecases.gate import NotAllowed
from app.web.charts.weeks import WeekBar, draw_weeks
from app.web.coach.brought_in import BroughtInView, brought_in_view
from app.web.deps import CoachDesk, Desk
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

KIND_WORDS = {
    DecisionKind.START: "Begun",
    DecisionKind.PROMOTE: "Promoted",
    DecisionKind.STAY: "Stays",
    DecisionKind.STEP_BACK: "Stepped back",
    DecisionKind.BROUGHT_IN: "As brought in",
    DecisionKind.UNDO: "Taken back",
}
_NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")


@dataclass(frozen=True, slots=True)
class ConditionView:
    """One line of the list, ready to print."""

    mark: str
    state: str
    title: str
    value: str
    limit: str
    change: str | None
    why: Why


@dataclass(frozen=True, slots=True)
class MoveView:
    """One step towards hard work with what stands in its way."""

    key: str
    label: str
    is_barred: bool
    barred_because: str
    needs_override: bool
    practice_open: str
    has_end_date: bool


@dataclass(frozen=True, slots=True)
class StoryView:
    """One decision of the phase story."""

    title: str
    meta: str
    reason: str
    override_reason: str | None
    summary: str | None
    evidence: tuple[ConditionView, ...]
    is_undoable: bool
    #: Whether it was brought in and waits to be confirmed.
    is_waiting: bool


@dataclass(frozen=True, slots=True)
class PromotionView:
    """The whole page, ready to print."""

    client_id: int
    name: str
    lede: str
    has_phase: bool
    #: What was brought in and waits to be confirmed.
    brought_in: BroughtInView | None
    sentence: str
    is_safety_open: bool
    safety: tuple[ConditionView, ...]
    practice: tuple[ConditionView, ...]
    second: tuple[ConditionView, ...]
    second_note: str | None
    steps: tuple[MoveView, ...]
    others: tuple[tuple[str, str], ...]
    story: tuple[StoryView, ...]
    weeks: Markup | None
    weeks_finding: str
    weeks_rows: tuple[WeekBar, ...]
    own_words: tuple[str, str] | None
    open_holds: int
    may_decide: bool


@router.get("/clients/{client_id}/promotion")
def page(client_id: int, desk: CoachDesk) -> Response:
    """The conditions, the decisions there are, and the story."""
    return _page(desk, client_id)


@router.post("/clients/{client_id}/promotion")
def decide(client_id: int, desk: CoachDesk) -> Response:
    """Take a decision with its reason."""
    fields = Fields(desk.form)
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not way.may_decide:
        raise NotAllowed("Phases are decided by the client's own coach.")
    move = next((one for one in way.moves if one.key == desk.form.get("move")), None)
    reason = fields.text("reason", most=use.LONGEST_REASON, many_lines=True)
    override = fields.text("override_reason", most=use.LONGEST_REASON, required=False, many_lines=True)
    since = fields.day("since_on", latest=way.today, required=False) or way.today
    wants_end = move is not None and move.has_end_date
    until = fields.day("until_on", earliest=way.today, required=wants_end)
    if move is None:
        fields.refuse("move", "Choose one of the decisions there are now.")
    if fields.errors or move is None or reason is None:
        return _page(desk, client_id, status=422, fields=fields)
    try:
        use.decide(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            kind=move.kind,
            phase=move.phase,
            since_on=since,
            reason=reason,
            override_reason=override,
            now=desk.now,
            until_on=until if move.has_end_date else None,
        )
    except Refused as refusal:
        fields.refuse(_field_of(way, move, override), str(refusal))
        return _page(desk, client_id, status=422, fields=fields)
    flash = f"{KIND_WORDS[move.kind]}: {PHASE_WORDS[move.phase]}. The evidence is kept with it."
    return see_other(desk, f"/clients/{client_id}/promotion", flash=flash)


@router.post("/clients/{client_id}/promotion/undo")
def undo(client_id: int, desk: CoachDesk) -> Response:
    """Take back today's promotion; it works at once."""
    use.undo_promotion(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    flash = (
        "Taken back. The phase before it is in force again; hard sessions already sent stay until you change them."
    )
    return see_other(desk, f"/clients/{client_id}/promotion", flash=flash)


def _field_of(way: use.OnTheWay, move: Move, override: str | None) -> str:
    """Beside which field a refusal stands: the reason to go ahead all the same, when that alone is missing."""
    if move.looks is Looks.NOTHING:
        return "move"
    if way.refusals(move, override or "said"):
        return ""
    return "reason" if override else "override_reason"


def _page(desk: Desk, client_id: int, *, status: int = 200, fields: Fields | None = None) -> Response:
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    view = _view(way)
    typed_step = fields is not None and fields.value("move") in {one.key for one in view.steps}
    empty = Fields(initial={"since_on": way.today})
    return render(
        desk,
        "promotion/page.html",
        status=status,
        head=way,
        view=view,
        step_fields=fields if fields is not None and typed_step else Fields(),
        blank_fields=Fields(),
        typed_move=fields.value("move") if fields is not None and typed_step else None,
        other_fields=fields if fields is not None and not typed_step else empty,
        latest=way.today,
        keeping_latest=way.today + use.KEEPING_MOST,
        longest=min(LONG_TEXT, use.LONGEST_REASON),
    )


def _view(way: use.OnTheWay) -> PromotionView:
    safety = tuple(_condition(one) for one in way.conditions if one.group is Group.SAFETY)
    barred = [one for one in way.conditions if one.group is Group.SAFETY and not one.is_met]
    steps = [one for one in way.moves if one.looks is not Looks.NOTHING]
    return PromotionView(
        client_id=way.client.id,
        name=way.client.name,
        lede=_lede(way),
        has_phase=way.phase is not None,
        brought_in=_brought_in(way),
        sentence=_sentence(way),
        is_safety_open=bool(barred),
        safety=safety,
        practice=tuple(_condition(one) for one in _base_list(way)),
        second=tuple(_condition(one) for one in way.second),
        second_note=_second_note(way),
        steps=tuple(_step(way, one) for one in steps),
        others=tuple((one.key, one.label) for one in way.moves if one.looks is Looks.NOTHING),
        story=tuple(_story(line) for line in way.story),
        weeks=_weeks(way),
        weeks_finding=_finding(way),
        weeks_rows=tuple(_bar(week) for week in way.weeks),
        own_words=_own_words(way),
        open_holds=len(way.history.open_holds),
        may_decide=way.may_decide,
    )


def _condition(one: Condition) -> ConditionView:
    is_near = not one.is_met and (
        (one.short_fraction is not None and one.short_fraction < NEAR_FRACTION)
        or (one.short_weeks is not None and one.short_weeks <= NEAR_WEEKS)
    )
    mark = "filled" if one.is_met else ("half" if is_near else "")
    state = "nearly met" if is_near else STATE_WORDS[one.state]
    return ConditionView(mark, state, one.title, one.value, one.limit, one.would_change, one.why)


def _lede(way: use.OnTheWay) -> str:
    age = age_on(way.client.born_on, way.today)
    said = f"{age}. " if age is not None else "Age unknown. "
    if way.phase is None or way.since_on is None:
        return f"{said}No phase is decided yet."
    return f"{said}{PHASE_WORDS[way.phase].capitalize()} since {day_words(way.since_on)}."


def _counted(number: int, word: str) -> str:
    return f"{_NUMBERS[number] if number < len(_NUMBERS) else number} {word}"


def _sentence(way: use.OnTheWay) -> str:
    """The one sentence on top: how many of the conditions shown are open, safety first."""
    safety = sum(not one.is_met for one in way.conditions if one.group is Group.SAFETY)
    practice = sum(not one.is_met for one in (*way.second, *_base_list(way)))
    total = safety + practice
    if total == 0:
        has_step = any(move.looks is not Looks.NOTHING for move in way.moves)
        tail = " The decision is yours; nothing promotes by itself." if has_step else ""
        return f"Every condition is met.{tail}"
    parts = [(safety, "safety"), (practice, "practice")]
    said = " and ".join(_counted(number, word).lower() for number, word in parts if number)
    noun = "condition is" if total == 1 else "conditions are"
    return f"{said.capitalize()} {noun} open."


def _base_list(way: use.OnTheWay) -> tuple[Condition, ...]:
    """The practice's conditions where a step from easy to hard work is next; empty once that is behind."""
    is_next = way.phase is None or any(move.looks is Looks.WHOLE_LIST for move in way.moves)
    return tuple(one for one in way.conditions if one.group is Group.PRACTICE) if is_next else ()


def _second_note(way: use.OnTheWay) -> str | None:
    age = age_on(way.client.born_on, way.today)
    if way.second and age is not None and age >= ONE_IS_ENOUGH_FROM_YEARS:
        return "From 70, staying at one hard session a week is a good end."
    return None


def _step(way: use.OnTheWay, move: Move) -> MoveView:
    looked_at = way.looked_at(move)
    safety = [one for one in looked_at if one.group is Group.SAFETY and not one.is_met]
    practice = [one for one in looked_at if one.group is Group.PRACTICE and not one.is_met]
    because = "; ".join(one.title for one in safety)
    return MoveView(
        key=move.key,
        label=move.label,
        is_barred=bool(safety),
        barred_because=because,
        needs_override=bool(practice),
        practice_open=", ".join(one.title for one in practice),
        has_end_date=move.has_end_date,
    )


def _story(line: use.DecisionLine) -> StoryView:
    one = line.decision
    evidence = tuple(_condition(condition) for condition in line.evidence)
    met = sum(condition.is_met for condition in line.evidence)
    until = f" until {day_words(line.until_on)}" if line.until_on else ""
    return StoryView(
        title=f"{KIND_WORDS[one.kind]}: {PHASE_WORDS[one.phase]}{until}",
        meta=f"Since {day_words(one.since_on)}. Decided {day_words(one.decided_at.date())} by {line.by}.",
        reason=one.reason,
        override_reason=line.override_reason,
        summary=f"{met} of {len(evidence)} conditions met then" if evidence else None,
        evidence=evidence,
        is_undoable=line.is_undoable,
        is_waiting=line.is_waiting,
    )


def _brought_in(way: use.OnTheWay) -> BroughtInView | None:
    line = next((one for one in way.story if one.is_waiting), None)
    return None if line is None else brought_in_view(line.decision, by=line.by, zone=way.client.zone)


def _bar(week: WeekFacts) -> WeekBar:
    return WeekBar(
        monday=week.monday,
        planned_minutes=week.planned_minutes or 0.0,
        easy_minutes=week.by_band.easy,
        middle_minutes=week.by_band.middle,
        hard_minutes=week.by_band.hard,
        unsaid_minutes=week.by_band.unknown,
        is_unknown=week.held is Held.UNKNOWN and week.done_minutes == 0,
        note="easier" if week.is_easier else "",
    )


def _weeks(way: use.OnTheWay) -> Markup | None:
    if not any(week.done_minutes or week.planned_minutes for week in way.weeks):
        return None
    return draw_weeks([_bar(week) for week in way.weeks], finding=_finding(way), key=f"p{way.client.id}-weeks")


def _finding(way: use.OnTheWay) -> str:
    held = sum(week.held is Held.HELD for week in way.weeks)
    return f"{held} of the last {len(way.weeks)} weeks held"


def _own_words(way: use.OnTheWay) -> tuple[str, str] | None:
    said = [(log.done_on, log.own_words) for log in way.history.logs if log.own_words]
    newest: tuple[date, str | None] | None = max(said, default=None)
    return None if newest is None or newest[1] is None else (newest[1], day_words(newest[0]))
