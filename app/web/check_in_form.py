"""The form of the weekly check-in, the same on the phone and on the coach's side."""

from __future__ import annotations

from enum import StrEnum

from app.coaching.check_ins import BARRIER_WORDS, HIGHEST_CONFIDENCE, FallTold, WeekFelt
from app.coaching.people import Mode
from app.coaching.session_logs import WhyNot
from app.usecases.check_ins import Told
from app.web.forms import LONG_TEXT, Fields
from app.web.log_form import MODES

FELT = (
    (WeekFelt.EASIER.value, "Easier than usual"),
    (WeekFelt.AS_USUAL.value, "As usual"),
    (WeekFelt.HARDER.value, "Harder than usual"),
    (WeekFelt.TOO_MUCH.value, "Too much"),
)
FALLS = (
    (FallTold.NO.value, "No"),
    (
        FallTold.YES.value,
        "Yes, head not knocked, and no blood thinners",
        "pauses that way of moving and hard work until your coach has talked with you",
    ),
    (
        FallTold.HEAD_OR_THINNERS.value,
        "Yes, with a knock to the head, or while on blood thinners",
        "not sure counts as this; pauses all training until a doctor has seen you",
    ),
)
BARRIERS = (("nothing", "Nothing"), *((one.value, words.capitalize()) for one, words in BARRIER_WORDS.items()))
SURE = tuple((n, str(n)) for n in range(HIGHEST_CONFIDENCE + 1))


class YesNo(StrEnum):
    """A plain question."""

    NO = "no"
    YES = "yes"


YES_NO = ((YesNo.NO.value, "No"), (YesNo.YES.value, "Yes"))
MEDICINE = (
    (YesNo.NO.value, "No"),
    (
        YesNo.YES.value,
        "Yes",
        "new, stopped, another dose, even another hour; hard work pauses until it is talked over",
    ),
)


def choices() -> dict[str, tuple[tuple[object, ...], ...]]:
    """The answers the form offers."""
    return {
        "felt": FELT,
        "falls": FALLS,
        "fall_modes": MODES,
        "barriers": BARRIERS,
        "sure": SURE,
        "yes_no": YES_NO,
        "medicine": MEDICINE,
    }


def read_told(fields: Fields) -> Told | None:
    """What is told of a week; None with the errors beside the fields."""
    felt = fields.choice("felt", WeekFelt)
    other_hard, medicine = fields.choice("other_hard", YesNo), fields.choice("medicine_changed", YesNo)
    fall = fields.choice("fall", FallTold)
    fall_mode = fields.choice("fall_mode", Mode, required=False)
    barrier = None if fields.value("barrier") == "nothing" else fields.choice("barrier", WhyNot)
    confidence = fields.whole("confidence", lowest=0, highest=HIGHEST_CONFIDENCE, required=False)
    text = fields.text("text", most=LONG_TEXT, required=False, many_lines=True)
    if fields.errors or felt is None or fall is None:
        return None
    return Told(felt, other_hard is YesNo.YES, medicine is YesNo.YES, fall, fall_mode, barrier, confidence, text)
