"""The promotion page as values that templates only print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from markupsafe import Markup

from app.coaching.condition import STATE_WORDS, Condition, Group
from app.coaching.people import age_on
from app.coaching.phase_moves import Looks, Move
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS, DecisionKind
from app.coaching.promotion import NEAR_FRACTION, NEAR_WEEKS
from app.coaching.reasons import Why
from app.coaching.second_week import ONE_IS_ENOUGH_FROM_YEARS
from app.coaching.training_weeks import Held, WeekFacts
from app.coaching.weeks import day_words
from app.usecases import promoting as use
from app.web.charts.weeks import WeekBar, draw_weeks
from app.web.coach.brought_in import BroughtInView, brought_in_view
from app.web.coach.condition_links import Links, asks_sex, links_for
from app.web.coach.forecast_views import ForecastView, forecast_view

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
    #: Where it is mended.
    links: Links = ()
    #: Whether one tap can say that it does not apply.
    asks_sex: bool = False


@dataclass(frozen=True, slots=True)
class ConditionsView:
    """Some conditions, the open ones first and the met ones folded."""

    open: tuple[ConditionView, ...]
    met: tuple[ConditionView, ...]

    @property
    def summary(self) -> str:
        """How many are met."""
        return f"{len(self.met)} of {len(self.open) + len(self.met)} met"


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
    forecast: ForecastView | None
    is_safety_open: bool
    safety: ConditionsView
    practice: ConditionsView | None
    second: ConditionsView | None
    second_note: str | None
    steps: tuple[MoveView, ...]
    others: tuple[tuple[str, str], ...]
    story: tuple[StoryView, ...]
    weeks: Markup | None
    weeks_finding: str
    weeks_rows: tuple[WeekBar, ...]
    own_words: tuple[str, str] | None
    open_holds: int
    #: Hard sessions already published from today on, day and title.
    hard_ahead: tuple[str, ...]
    hard_ahead_says: str
    #: Whether they stand in a phase without hard work.
    is_hard_astray: bool
    may_decide: bool


def still_sent(count: int) -> str:
    """What is said of hard sessions that outlive a step back."""
    stay = "One hard session already sent stays" if count == 1 else f"{count} hard sessions already sent stay"
    return f"{stay} until you change it on the plan." if count == 1 else f"{stay} until you change them on the plan."


def promotion_view(way: use.OnTheWay) -> PromotionView:
    """The whole page from what stands on the way."""
    barred = [one for one in way.conditions if one.group is Group.SAFETY and not one.is_met]
    steps = [one for one in way.moves if one.looks is not Looks.NOTHING]
    return PromotionView(
        client_id=way.client.id,
        name=way.client.name,
        lede=_lede(way),
        has_phase=way.phase is not None,
        brought_in=_brought_in(way),
        sentence=_sentence(way),
        forecast=forecast_view(way.history, way.forecast, way.rules),
        is_safety_open=bool(barred),
        safety=_listed([one for one in way.conditions if one.group is Group.SAFETY], way),
        practice=_listed(_base_list(way), way) if _base_list(way) else None,
        second=_listed(way.second, way) if way.second else None,
        second_note=_second_note(way),
        steps=tuple(_step(way, one) for one in steps),
        others=tuple((one.key, one.label) for one in way.moves if one.looks is Looks.NOTHING),
        story=tuple(_story(line) for line in way.story),
        weeks=_weeks(way),
        weeks_finding=_finding(way),
        weeks_rows=tuple(_bar(week) for week in way.weeks),
        own_words=_own_words(way),
        open_holds=len(way.history.open_holds),
        hard_ahead=tuple(f"{day_words(one.planned_on)}: {one.title}" for one in way.hard_ahead),
        hard_ahead_says=_hard_ahead_says(way),
        is_hard_astray=way.phase not in HARD_WORK_PHASES,
        may_decide=way.may_decide,
    )


def _listed(conditions: Sequence[Condition], way: use.OnTheWay) -> ConditionsView:
    dressed = [
        replace(_condition(one), links=links_for(one, way.history), asks_sex=asks_sex(one, way.history))
        for one in conditions
    ]
    is_met = [one.is_met for one in conditions]
    return ConditionsView(
        open=tuple(view for view, met in zip(dressed, is_met, strict=True) if not met),
        met=tuple(view for view, met in zip(dressed, is_met, strict=True) if met),
    )


def _hard_ahead_says(way: use.OnTheWay) -> str:
    """What becomes of hard sessions already published; empty when there are none."""
    count = len(way.hard_ahead)
    if not count:
        return ""
    said = "One hard session is" if count == 1 else f"{_counted(count, 'hard sessions are')}"
    if way.phase not in HARD_WORK_PHASES:
        name = PHASE_WORDS[way.phase] if way.phase else "no phase yet"
        return f"{said} still published from today on, though the phase is {name}. Nothing takes them away by itself."
    return f"{said} published from today on. A step back by itself takes none of them away."


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
