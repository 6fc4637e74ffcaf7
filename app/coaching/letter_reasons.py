"""What led to a letter to the clinician, by kind; named in it only where the coach chooses so."""

from __future__ import annotations

from datetime import date

from app.coaching.history import History
from app.coaching.pressure_rules import pressure_stop_of
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.screening_decision import newest_answers
from app.coaching.weeks import day_words

_KINDS = (
    ("disease", "a known disease"),
    ("symptoms", "a symptom"),
    ("pregnant", "pregnancy, or the time just after"),
)


def led_to_it(history: History, today: date, rules: Rules) -> tuple[str, ...]:
    """The kinds of answers said yes to, and the pressure that stops training, each with its day."""
    answers = newest_answers(history)
    said = [words for name, words in _KINDS if answers and getattr(answers, name) is YesNo.YES]
    lines = [f"answered on {day_words(answers.answered_on)}: {words}" for words in said] if answers else []
    if history.pressures and pressure_stop_of(history, today, rules) is not None:
        last = history.pressures[-1]
        pressure = f"{last.systolic_mmhg}/{last.diastolic_mmhg} mmHg"
        lines.append(f"a blood pressure of {pressure}, measured on {day_words(last.measured_on)}")
    return tuple(lines)
