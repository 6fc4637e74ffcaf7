"""The form "How I am", the same on the phone and on the coach's side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.people import Mode
from app.coaching.readiness import Illness
from app.coaching.return_steps import ABOVE_NECK, RETURN_AFTER_ILLNESS
from app.coaching.symptoms import advice, sign_of
from app.usecases.readiness import CLIENT_DAYS_BACK, Fall, ReadinessEntry
from app.web.forms import LONG_TEXT, TYPED_SHOWN, Fields, added
from app.web.log_form import MODES

Steps = tuple[tuple[int, str], ...]


def _steps(*words: str) -> Steps:
    return tuple(enumerate(words, start=1))


@dataclass(frozen=True, slots=True)
class Item:
    """One item of four: 1 to 7, high is worse, in words."""

    name: str
    question: str
    steps: Steps

    @property
    def low(self) -> str:
        """The words of the best answer."""
        return f"1 {self.steps[0][1]}"

    @property
    def high(self) -> str:
        """The words of the worst answer."""
        return f"{len(self.steps)} {self.steps[-1][1]}"


ITEMS = (
    Item(
        "sleep",
        "How did you sleep?",
        _steps("like a stone", "well", "quite well", "so-so", "poorly", "badly", "hardly at all"),
    ),
    Item(
        "fatigue",
        "How tired are you?",
        _steps("fresh", "rested", "fine", "a little tired", "tired", "very tired", "worn out"),
    ),
    Item(
        "stress",
        "How much is on your mind?",
        _steps("nothing", "very little", "a little", "some", "a good deal", "a lot", "more than I can carry"),
    ),
    Item(
        "soreness",
        "How sore are you?",
        _steps("not at all", "barely", "a little", "somewhat", "sore", "very sore", "every step hurts"),
    ),
)
MOODS = _steps("low", "flat", "even", "good", "bright")
ILLNESSES = (
    (Illness.NONE, "Not ill"),
    (Illness.ABOVE_NECK, "Above the neck only", "Runny nose, sore throat, no fever. Pauses hard work."),
    (Illness.FEVER_OR_BELOW, "Fever, chest, stomach or the whole body", "Pauses all training until you are well."),
)
FALLS = (
    (Fall.NO, "No fall"),
    (
        Fall.YES,
        "A fall, head not knocked, and no blood thinners",
        "Pauses that way of moving and hard work until you and your coach have spoken.",
    ),
    (
        Fall.HEAD_OR_THINNERS,
        "A fall with a knock to the head, or while on blood thinners",
        "Not sure counts as this. Pauses all training until a doctor has seen you.",
    ),
)


_DOCTOR_AFTER_A_FALL = "If your head was knocked, or if you take blood thinners: see a doctor before you train."
_WHEN_ILL = {
    Illness.FEVER_OR_BELOW: RETURN_AFTER_ILLNESS[:1],
    Illness.ABOVE_NECK: ABOVE_NECK,
}


#: Numbers beside the answers, in words.
_BESIDE = {"noted_on": "the day", "slept_h": "hours of sleep", "resting_heart_rate_bpm": "resting heart rate"}


@dataclass(frozen=True, slots=True)
class ReadinessForm:
    """What the template needs beside the typed values."""

    action: str
    today: date
    is_by_coach: bool
    back: str | None = None

    @property
    def earliest_on(self) -> date | None:
        """The first day that may be entered; none for a coach."""
        return None if self.is_by_coach else self.today - timedelta(days=CLIENT_DAYS_BACK)

    @property
    def items(self) -> tuple[Item, ...]:
        """The four items."""
        return ITEMS

    @property
    def moods(self) -> Steps:
        """The five moods, high is better."""
        return MOODS

    @property
    def illnesses(self) -> tuple[tuple[object, ...], ...]:
        """Whether ill, with the consequence."""
        return ILLNESSES

    @property
    def falls(self) -> tuple[tuple[object, ...], ...]:
        """Whether there was a fall, with the consequence."""
        return FALLS

    @property
    def modes(self) -> tuple[tuple[Mode, str], ...]:
        """How the client moved."""
        return MODES


def pause_advice_meanwhile(fields: Fields, emergency_number: str | None) -> tuple[str, ...]:
    """What an illness, a changed medicine or a fall asks for while the note is not kept yet; nothing without one."""
    if not fields.errors:
        return ()
    lines: list[str] = []
    fall = fields.value("fall")
    if fall == Fall.HEAD_OR_THINNERS.value:
        lines += advice(sign_of("fall_head"), emergency_number)
    elif fall == Fall.YES.value:
        lines += (*advice(sign_of("fall"), emergency_number), _DOCTOR_AFTER_A_FALL)
    lines += next((words for illness, words in _WHEN_ILL.items() if illness.value == fields.value("illness")), ())
    if fields.yes("medicine_changed"):
        lines.append("A medicine was changed: no hard work until your coach has looked at it.")
    return tuple(lines)


def _pauses(entry: ReadinessEntry) -> bool:
    """Whether it tells of something that pauses training: no number beside it may hold that up."""
    is_ill = entry.illness is not None and entry.illness is not Illness.NONE
    return is_ill or entry.medicine_changed or entry.fall is not Fall.NO


def read_note(fields: Fields, form: ReadinessForm) -> ReadinessEntry | None:
    """The note as typed; None when something has to be looked at again."""
    noted_on = fields.day(
        "noted_on",
        earliest=form.earliest_on,
        latest=form.today,
        too_early="This is over 30 days back. Tell your coach; your coach can still enter it.",
    )
    values = {item.name: fields.whole(item.name, lowest=1, highest=7, required=False) for item in ITEMS}
    entry = ReadinessEntry(
        noted_on=noted_on or form.today,
        **values,
        mood=fields.whole("mood", lowest=1, highest=5, required=False),
        slept_h=fields.number("slept_h", lowest=0, highest=24, required=False, unit="hours"),
        resting_heart_rate_bpm=fields.whole(
            "resting_heart_rate_bpm", lowest=25, highest=240, required=False, unit="a minute"
        ),
        illness=fields.choice("illness", Illness, required=False),
        medicine_changed=fields.yes("medicine_changed"),
        fall=fields.choice("fall", Fall, required=False) or Fall.NO,
        fall_mode=fields.choice("fall_mode", Mode, required=False),
        not_right_today=fields.yes("not_right_today"),
        text=fields.text("text", most=LONG_TEXT, required=False, many_lines=True),
    )
    if not form.is_by_coach and _pauses(entry) and {name for name, _ in fields.errors} <= _BESIDE.keys():
        typed = [f"{_BESIDE[name]} typed as “{fields.value(name)[:TYPED_SHOWN]}”" for name, _ in fields.errors]
        return replace(entry, text=added(entry.text, f"not understood: {', '.join(typed)}")) if typed else entry
    if not fields.errors and entry.says_nothing:
        fields.refuse(ITEMS[0].name, "Answer at least one of these; all the others may stay open.")
    return None if fields.errors else entry
