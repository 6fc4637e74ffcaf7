"""The form of one session entry, the same on the phone and on the coach's side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.effort import EFFORT_WORDS, HIGHEST_EFFORT, LOWEST_EFFORT, TALK_WORDS, Talk
from app.coaching.look_twice import Doubt, doubt_key
from app.coaching.people import Mode, Origin
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer, Posture, RoundDone, SessionLog, SpoiltBy, WhyNot
from app.coaching.steps import Part, flatten, from_json
from app.coaching.words import duration_words
from app.usecases.session_logs import CLIENT_DAYS_BACK, LogEntry
from app.web.forms import LONG_TEXT, Fields
from app.web.session_view import effort_name

SPARE_ROUNDS = 2
ROUNDS_OF_EXTRA = 6
MOST_ROUNDS = 24
METRES_A_KILOMETRE = 1000.0
SLOWEST_PACE_S, FASTEST_PACE_S = 1800.0, 100.0
SHORTEST_ROUND_S, LONGEST_ROUND_S = 5, 7200

ANSWERS = (
    (Answer.AS_PLANNED, "As planned"),
    (Answer.PARTLY, "Partly"),
    (Answer.EASY_VERSION, "The easy version", "That counts as kept."),
    (Answer.SOMETHING_ELSE, "Something else"),
    (Answer.NOT_DONE, "Not done"),
)
WHY_NOT = (
    (WhyNot.NO_TIME, "No time"),
    (WhyNot.TIRED, "Tired"),
    (WhyNot.ILL, "Not well"),
    (WhyNot.SORE, "Sore"),
    (WhyNot.WEATHER, "Weather"),
    (WhyNot.TRAVEL, "On the road"),
    (WhyNot.CARING, "Needed by others"),
    (WhyNot.NOT_IN_THE_MOOD, "Did not feel like it"),
    (WhyNot.FORGOT, "Slipped my mind"),
    (WhyNot.OTHER, "Something else"),
)
POSTURES = (
    (Posture.STOOD, "Stood and walked on"),
    (Posture.HANDS_ON_KNEES, "Hands on knees a moment"),
    (Posture.BENT_OR_SAT, "Had to bend over or sit"),
)
SPOILT_BY = ((SpoiltBy.HEAT, "Heat"), (SpoiltBy.KIT, "Kit"), (SpoiltBy.TRAFFIC, "Traffic"))
HURT = ((YesNo.YES, "Yes"), (YesNo.NO, "No"))
KINDS = (
    (SessionKind.EASY, "Easy"),
    (SessionKind.MIDDLE, "Middle, brisk"),
    (SessionKind.INTERVALS, "Hard rounds"),
    (SessionKind.RACE, "A race, a match or a class felt as one"),
    (SessionKind.STRENGTH, "Strength or balance"),
)
#: While hard work is paused nothing is offered: what was done is asked for, the gentle first.
KINDS_DONE = (
    (SessionKind.EASY, "Something easy"),
    (SessionKind.STRENGTH, "Strength or balance"),
    (SessionKind.MIDDLE, "It was brisk"),
    (SessionKind.INTERVALS, "It was hard"),
    (SessionKind.RACE, "It felt all out"),
)
MODES = (
    (Mode.WALK, "Walk"),
    (Mode.RUN, "Run"),
    (Mode.RIDE, "Ride"),
    (Mode.INDOOR_RIDE, "Indoor bike"),
    (Mode.ROW, "Row"),
    (Mode.SWIM, "Swim"),
    (Mode.TREADMILL, "Treadmill"),
    (Mode.CROSS_TRAIN, "Another machine"),
    (Mode.STRENGTH, "Strength"),
    (Mode.OTHER, "Something else"),
)
ORIGINS = (
    (Origin.TOLD_BY_PHONE, "Told by phone"),
    (Origin.FROM_PAPER, "From paper"),
    (Origin.COACH, "I was there"),
)
TALKS = tuple((talk, words[0].upper() + words[1:]) for talk, words in TALK_WORDS.items())
EFFORTS = tuple(EFFORT_WORDS.items())
WITH_POWER = frozenset({Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW, Mode.CROSS_TRAIN})
WITH_PACE = frozenset({Mode.WALK, Mode.RUN, Mode.TREADMILL})
WITH_STROKES = frozenset({Mode.SWIM, Mode.ROW})
#: What may be typed of each round, as the names of its fields end.
ROUND_FIGURES = ("time", "power", "pace", "mean_heart_rate", "heart_rate", "cadence", "strokes", "effort", "posture")


@dataclass(frozen=True, slots=True)
class LogForm:
    """What the template needs beside the typed values."""

    action: str
    planned: PlannedSession | None
    today: date
    is_by_coach: bool
    revision: int | None = None
    back: str | None = None
    #: What is to be looked at twice before it is kept.
    doubts: tuple[Doubt, ...] = ()
    #: Nothing hard is suggested: the client reads this while hard work is paused.
    is_hard_paused: bool = False
    #: What an entry says of its rounds stays when the form, being paused, does not ask for it; None for a new one.
    written: SessionLog | None = None

    @property
    def doubt_key(self) -> str:
        """What the tick under the doubts stands for: these values and no others."""
        return doubt_key(self.doubts)

    @property
    def effort(self) -> str:
        """How hard the planned session was meant, beside its title; empty for something extra."""
        return effort_name(self.planned) if self.planned else ""

    @property
    def is_extra(self) -> bool:
        """Whether it answers no planned session."""
        return self.planned is None

    @property
    def rounds_that_stay(self) -> int | None:
        """How many rounds stay as they were written; None where the form asks for them, or nothing was written."""
        one = self.written
        if not self.is_hard_paused or one is None:
            return None
        is_said = one.rounds or one.posture or one.spoilt_by or one.first_30_hurt is not None
        return len(one.rounds) if is_said else None

    @property
    def kinds(self) -> tuple[tuple[SessionKind, str], ...]:
        """What something extra can have been."""
        return KINDS_DONE if self.is_hard_paused else KINDS

    @property
    def earliest_on(self) -> date | None:
        """The first day that may be entered; none for a coach."""
        return None if self.is_by_coach else self.today - timedelta(days=CLIENT_DAYS_BACK)

    @property
    def round_numbers(self) -> tuple[int, ...]:
        """The rows of planned rounds."""
        return tuple(range(1, self._planned_rounds + 1))

    @property
    def spare_numbers(self) -> tuple[int, ...]:
        """Rows for more rounds than planned."""
        first = self._planned_rounds + 1
        spare = SPARE_ROUNDS if self._planned_rounds else ROUNDS_OF_EXTRA
        return tuple(range(first, min(first + spare, MOST_ROUNDS + 1)))

    @property
    def rounds_begun(self) -> tuple[tuple[int, str], ...]:
        """How many of the planned rounds can have been done when it was only partly done."""
        return tuple((number, f"of {self._planned_rounds}") for number in self.round_numbers)

    @property
    def round_s(self) -> int | None:
        """The length of a planned round."""
        if self.planned is None:
            return None
        work = [step.duration_s for step in flatten(from_json(self.planned.steps_json)) if step.part is Part.WORK]
        return work[0] if work else None

    @property
    def round_words(self) -> str | None:
        """The length of a planned round in words."""
        return None if self.round_s is None else duration_words(self.round_s)

    @property
    def round_figures(self) -> tuple[str, ...]:
        """What may be typed of each round."""
        return ROUND_FIGURES

    @property
    def has_power(self) -> bool:
        """Whether rounds ask for watts."""
        return self.planned is None or not self.round_numbers or self.planned.mode in WITH_POWER

    @property
    def has_pace(self) -> bool:
        """Whether rounds ask for pace."""
        return self.planned is None or not self.round_numbers or self.planned.mode in WITH_PACE

    @property
    def has_strokes(self) -> bool:
        """Whether rounds ask how many strokes were counted."""
        return self.planned is None or not self.round_numbers or self.planned.mode in WITH_STROKES

    @property
    def _planned_rounds(self) -> int:
        return min(self.planned.rounds, MOST_ROUNDS) if self.planned else 0


CHOICES = {
    "answers": ANSWERS,
    "why_not": WHY_NOT,
    "postures": POSTURES,
    "spoilt_by": SPOILT_BY,
    "hurt": HURT,
    "kinds": KINDS,
    "modes": MODES,
    "origins": ORIGINS,
    "talks": TALKS,
    "efforts": EFFORTS,
}


def initial_of(log: SessionLog) -> dict[str, object]:
    """The form as an entry stands, for correcting it."""
    names = ("done_on", "answer", "kind", "mode", "talk", "felt_all_out", "posture", "why_not", "spoilt_by", "note")
    given: dict[str, object] = {name: getattr(log, name) for name in (*names, "heavy_legs")}
    given["minutes"] = None if log.minutes is None else _typed_minutes(log.minutes)
    given["effort"] = None if log.effort is None else f"{log.effort:g}"
    given["first_30_hurt"] = {True: YesNo.YES, False: YesNo.NO, None: None}[log.first_30_hurt]
    for one in log.rounds:
        at = f"round_{one.number}"
        given[f"{at}_done"] = "whole" if one.is_complete else "part"
        given[f"{at}_time"] = f"{one.duration_s // 60}:{one.duration_s % 60:02d}"
        given[f"{at}_power"] = None if one.power_w is None else f"{one.power_w:g}"
        given[f"{at}_pace"] = None if not one.speed_m_per_s else _pace(one.speed_m_per_s)
        given[f"{at}_mean_heart_rate"] = one.heart_rate_mean_bpm
        given[f"{at}_heart_rate"] = one.heart_rate_end_bpm
        given[f"{at}_cadence"] = None if one.cadence_per_min is None else f"{one.cadence_per_min:g}"
        given[f"{at}_strokes"] = one.strokes
        given[f"{at}_posture"] = one.posture
        given[f"{at}_effort"] = None if one.effort is None else f"{one.effort:g}"
    return given


def _typed_minutes(minutes: float) -> str:
    """Minutes as they can be typed again: 45, or 0:04:30."""
    if minutes == int(minutes):
        return f"{minutes:g}"
    hours, rest_s = divmod(round(minutes * 60), 3600)
    return f"{hours}:{rest_s // 60:02d}:{rest_s % 60:02d}"


def _pace(speed_m_per_s: float) -> str:
    whole, rest = divmod(round(METRES_A_KILOMETRE / speed_m_per_s), 60)
    return f"{whole}:{rest:02d}"


def asked_twice(fields: Fields, found: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """What is to be looked at twice, each with its sentence beside the field; nothing once it was ticked."""
    if fields.yes("is_right") and fields.value("looked_at") == doubt_key(found):
        return ()
    for one in found:
        fields.refuse(one.field, f"{one.sentence} If it is right, tick so below.")
    return found


def read_entry(fields: Fields, form: LogForm) -> LogEntry | None:
    """The entry as typed; None when something has to be looked at again (the errors are in the fields)."""
    answer = Answer.SOMETHING_ELSE if form.is_extra else fields.choice("answer", Answer)
    done_on = fields.day(
        "done_on",
        earliest=form.earliest_on,
        latest=form.today,
        too_early="This is over 30 days back. Tell your coach; your coach can still enter it.",
    )
    is_done = answer is not Answer.NOT_DONE
    is_else = answer is Answer.SOMETHING_ELSE
    entry = LogEntry(
        done_on=done_on or form.today,
        answer=answer or Answer.SOMETHING_ELSE,
        planned_session_id=form.planned.id if form.planned else None,
        kind=fields.choice("kind", SessionKind, required=is_else),
        mode=fields.choice("mode", Mode, required=is_else) if is_else else None,
        minutes=fields.minutes("minutes", required=is_done and answer not in (None, Answer.AS_PLANNED))
        if is_done
        else None,
        effort=_effort(fields, "effort") if is_done else None,
        talk=fields.choice("talk", Talk, required=False) if is_done else None,
        felt_all_out=fields.yes("felt_all_out"),
        posture=fields.choice("posture", Posture, required=False),
        why_not=None if is_done else fields.choice("why_not", WhyNot, required=not form.is_by_coach),
        spoilt_by=fields.choice("spoilt_by", SpoiltBy, required=False),
        note=fields.text("note", most=LONG_TEXT, required=False, many_lines=True),
        heavy_legs=fields.yes("heavy_legs"),
        first_30_hurt=read_hurt(fields, "first_30_hurt"),
        rounds=_rounds(fields, form) if is_done and answer is not Answer.EASY_VERSION else (),
    )
    if is_done and answer is not None and not form.is_by_coach and entry.effort is None and entry.talk is None:
        _ask_how_it_felt(fields)
    return None if fields.errors else entry


def with_rounds_written(entry: LogEntry, fields: Fields, log: SessionLog) -> LogEntry:
    """The entry with what was written of its rounds, when it comes from a form that did not ask for them."""
    if not fields.yes("rounds_stay"):
        return entry
    return replace(
        entry,
        rounds=log.rounds,
        posture=log.posture,
        spoilt_by=log.spoilt_by,
        first_30_hurt=log.first_30_hurt,
    )


def _ask_how_it_felt(fields: Fields) -> None:
    if fields.error("effort") is None and fields.error("talk") is None:
        fields.refuse("talk", "Say how it felt: what you could have said aloud, or the number below.")


def _effort(fields: Fields, name: str) -> float | None:
    return fields.number(name, lowest=LOWEST_EFFORT, highest=HIGHEST_EFFORT, required=False)


def read_hurt(fields: Fields, name: str) -> bool | None:
    """Whether the first half minute of a round hurt; None is not said."""
    said = fields.choice(name, YesNo, required=False)
    return None if said in (None, YesNo.UNKNOWN) else said is YesNo.YES


def _rounds(fields: Fields, form: LogForm) -> tuple[RoundDone, ...]:
    rows = [_round(fields, form, number) for number in (*form.round_numbers, *form.spare_numbers)]
    given = [one for one in rows if one is not None] or _rounds_counted(fields, form)
    return tuple(replace(one, number=number) for number, one in enumerate(given, start=1))


def _rounds_counted(fields: Fields, form: LogForm) -> list[RoundDone]:
    """Rounds in full of a session done partly, from how many there were; asked for when no round is told of."""
    is_partly = fields.value("answer") == Answer.PARTLY
    if not is_partly or form.round_s is None or any(name.startswith("round_") for name, _ in fields.errors):
        return []
    round_s = form.round_s
    if not fields.value("rounds_done") and not form.is_by_coach:
        fields.refuse("rounds_done", "Say how many rounds you did in full. None? Choose the easy version above.")
    count = fields.whole("rounds_done", lowest=1, highest=len(form.round_numbers), required=False) or 0
    return [RoundDone(n, round_s, True, None, None, None, None, None) for n in range(1, count + 1)]


def _round(fields: Fields, form: LogForm, number: int) -> RoundDone | None:
    at = f"round_{number}"
    done = fields.value(f"{at}_done")
    others = [fields.value(f"{at}_{name}").strip() for name in ROUND_FIGURES]
    if done not in ("whole", "part"):
        if any(others):
            fields.refuse(f"{at}_done", f"Say whether round {number} was done in full.")
        return None
    with fields.named_in_errors(f"Round {number}"):
        return _typed_round(fields, form, number, is_whole=done == "whole")


def _typed_round(fields: Fields, form: LogForm, number: int, *, is_whole: bool) -> RoundDone:
    at = f"round_{number}"
    pace_s = fields.pace_s(f"{at}_pace", lowest=FASTEST_PACE_S, highest=SLOWEST_PACE_S, required=False)
    return RoundDone(
        number=number,
        duration_s=_round_s(fields, form, at, is_whole=is_whole),
        is_complete=is_whole,
        power_w=fields.number(f"{at}_power", lowest=0, highest=2500, required=False, unit="W"),
        speed_m_per_s=None if pace_s is None else METRES_A_KILOMETRE / pace_s,
        heart_rate_end_bpm=fields.whole(f"{at}_heart_rate", lowest=25, highest=240, required=False, unit="a minute"),
        cadence_per_min=fields.number(f"{at}_cadence", lowest=0, highest=250, required=False, unit="a minute"),
        effort=_effort(fields, f"{at}_effort"),
        heart_rate_mean_bpm=fields.whole(
            f"{at}_mean_heart_rate", lowest=25, highest=240, required=False, unit="a minute"
        ),
        strokes=fields.whole(f"{at}_strokes", lowest=1, highest=2000, required=False),
        posture=fields.choice(f"{at}_posture", Posture, required=False),
    )


def _round_s(fields: Fields, form: LogForm, at: str, *, is_whole: bool) -> int:
    """Seconds of a round from "4:00" or "240"; a whole round left empty was as long as planned."""
    name = f"{at}_time"
    typed = fields.value(name).strip()
    if not typed and is_whole and form.round_s is not None:
        return form.round_s
    if ":" in typed:
        clock_s = fields.pace_s(name, lowest=SHORTEST_ROUND_S, highest=LONGEST_ROUND_S)
        return SHORTEST_ROUND_S if clock_s is None else int(clock_s)
    if not typed:
        fields.refuse(name, "Say about how long this round lasted, such as 2:30.")
        return SHORTEST_ROUND_S
    plain_s = fields.whole(name, lowest=SHORTEST_ROUND_S, highest=LONGEST_ROUND_S, unit="seconds")
    return SHORTEST_ROUND_S if plain_s is None else plain_s
