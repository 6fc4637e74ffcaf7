"""The form of "something felt wrong", the same on the phone and on the coach's side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from app.coaching.holds import Family, Stops
from app.coaching.people import Mode
from app.coaching.signals_safety import MODE_NAMES
from app.coaching.symptoms import SIGNS, WAY_LEFT_OPEN, Sign, advice, emergency_text, hold_for, sign_of
from app.usecases.felt_wrong import CLIENT_DAYS_BACK, Report
from app.web.forms import LONG_TEXT, TYPED_SHOWN, YEARS, Fields, added
from app.web.log_form import MODES

ADDRESS = "/me/felt-wrong"
CHOOSE = "Choose what it was."
SIGN_KEYS = frozenset(sign.key for sign in SIGNS)


@dataclass(frozen=True, slots=True)
class SignGroup:
    """Signs with the same consequence, named before one is chosen."""

    title: str
    consequence: str
    signs: tuple[Sign, ...]
    #: The consequence as a coach reads it, of the client.
    to_coach: str

    @property
    def is_for_a_clinician(self) -> bool:
        """Whether the emergency number belongs beside the advice."""
        return is_for_a_clinician(self.signs[0])

    @property
    def stops(self) -> Stops:
        """What the hold of any of its signs stops while nobody has said how the client was moving."""
        return hold_for(self.signs[0], None)[1]

    @property
    def stops_in_a_mode(self) -> Stops:
        """The same where the way of moving is known, whichever it was."""
        return hold_for(self.signs[0], Mode.OTHER)[1]

    @property
    def depends_on_the_way(self) -> bool:
        """Whether it stops more while nobody has said how the client was moving."""
        return self.stops is not self.stops_in_a_mode

    def advice(self, emergency_number: str | None) -> tuple[str, ...]:
        """What to do at once; every sign of a group has the same."""
        return advice(self.signs[0], emergency_number)


def is_for_a_clinician(sign: Sign) -> bool:
    """Whether only a clinician can clear what a sign raises."""
    return sign.family is Family.A or sign.needs_clinician


GROUPS = (
    SignGroup(
        "Heart, chest, breath, head, legs, or not sure",
        "This pauses all training until a doctor has seen you and said so in writing.",
        tuple(sign for sign in SIGNS if is_for_a_clinician(sign)),
        "This pauses all training until a doctor has seen them and said so in writing.",
    ),
    SignGroup(
        "A new pain, or a fall",
        "This pauses that way of moving and all hard work until you and your coach have spoken. "
        "If you leave open below how you were moving, it pauses all training.",
        tuple(sign for sign in SIGNS if sign.family is Family.B and not sign.needs_clinician),
        "This pauses that way of moving and all hard work until you and they have spoken. "
        "If it is left open below how they were moving, it pauses all training.",
    ),
    SignGroup(
        "Stopped, and nothing worse",
        "This pauses hard work until you and your coach have spoken. Easy outings go on, unless paused already.",
        tuple(sign for sign in SIGNS if sign.family is Family.C),
        "This pauses hard work until you and they have spoken. Easy outings go on, unless paused already.",
    ),
)
#: The same on a coach's pages.
COACHS_GROUPS = tuple(replace(group, consequence=group.to_coach) for group in GROUPS)


@dataclass(frozen=True, slots=True)
class WrongForm:
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
    def groups(self) -> tuple[SignGroup, ...]:
        """The signs with their consequences."""
        return COACHS_GROUPS if self.is_by_coach else GROUPS

    @property
    def modes(self) -> tuple[tuple[Mode, str], ...]:
        """How the client moved."""
        return MODES


@dataclass(frozen=True, slots=True)
class Sheet:
    """What every page of the phone carries, so that it answers without a connection."""

    form: WrongForm
    fields: Fields
    emergency: str

    @property
    def way_left_open(self) -> str:
        """Why all training is paused where the way of moving was left open."""
        return WAY_LEFT_OPEN

    @property
    def mode_names(self) -> dict[str, str]:
        """What each way of moving is called at the head of a sentence."""
        return {mode.value: name for mode, name in MODE_NAMES.items()}


def sheet(today: date, emergency_number: str | None) -> Sheet:
    """The sheet as it lies in a page of this day."""
    form = WrongForm(ADDRESS, today, is_by_coach=False)
    return Sheet(form, Fields(initial={"felt_on": today}), emergency_text(emergency_number))


def entered_at(fields: Fields, now: datetime) -> datetime | None:
    """When a phone says the report was confirmed on it; never later than now, None where it says nothing readable."""
    try:
        said = datetime.fromisoformat(fields.value("entered_at"))
    except ValueError:
        return None
    if said.tzinfo is None or said.year not in YEARS:
        return None
    return min(said.astimezone(UTC), now)


def sign_advice_meanwhile(fields: Fields, emergency_number: str | None) -> tuple[str, ...]:
    """What to do about the sign that was chosen while its report is not kept yet; nothing before one is chosen."""
    key = fields.value("sign")
    if not fields.errors or key not in SIGN_KEYS:
        return ()
    return advice(sign_of(key), emergency_number)


def read_report(fields: Fields, form: WrongForm) -> Report | None:
    """The report as chosen; None when something has to be looked at again.

    A client's sign is never held up by its day: one that cannot be read or has not come counts as today, and what was
    typed stays in the words.
    """
    sign = fields.text("sign", required=False)
    if sign not in SIGN_KEYS:
        fields.refuse("sign", CHOOSE)
    felt_on = fields.day(
        "felt_on",
        earliest=form.earliest_on,
        latest=form.today,
        too_early="This is over 30 days back. Tell your coach in person; your coach can enter it.",
    )
    mode = fields.choice("mode", Mode, required=False)
    text = fields.text("text", most=LONG_TEXT, required=False, many_lines=True)
    if not form.is_by_coach and sign is not None and [name for name, _ in fields.errors] == ["felt_on"]:
        typed = f"The day was typed as “{fields.value('felt_on')[:TYPED_SHOWN]}” and counts as today."
        return Report(sign=sign, felt_on=form.today, mode=mode, text=added(text, typed))
    if fields.errors or sign is None or felt_on is None:
        return None
    return Report(sign=sign, felt_on=felt_on, mode=mode, text=text)
