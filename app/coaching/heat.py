"""Heat: the published table of wet-bulb globe temperature, the practice's rule of thumb, and what a hot day asks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from app.coaching.history import History
from app.coaching.people import Mode, age_on
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.questions import named_medicines
from app.coaching.readiness import Illness
from app.coaching.reasons import Provenance
from app.coaching.screening_decision import newest_answers

HEAT_SOURCE = "Casa 2015, J Athl Train (reprint of the 2007 position stand's table)"
HEAT_PROVENANCE = Provenance.PUBLISHED_READ
#: From this air temperature on, or from the lower one when it is humid (common practice, no published source).
HOT_C, HOT_AND_HUMID_C = 28.0, 25.0
#: From this air temperature on, or from the lower one when it is humid, nothing hard is done outdoors. The table's
#: cancel rows ask for a wet-bulb globe that few coaches have (house choice).
TOO_HOT_C, TOO_HOT_AND_HUMID_C = 35.0, 32.0
#: What counts as humid; product practice says "humid" only (house choice).
HUMID_PERCENT = 60.0
#: So much lower from 60 on, or on water tablets (common practice, no published source).
LOWER_BY_C = 3.0
OLDER_FROM_YEARS = 60
#: Ill so lately counts as recently ill (house choice).
RECENTLY_ILL_DAYS = 14
#: Months in which a hard session carries the caution whatever the day (house choice, northern summer).
HOT_MONTHS = range(5, 10)
#: Ways of moving that are indoors by themselves; a pool is cool enough.
INDOORS = frozenset({Mode.INDOOR_RIDE, Mode.TREADMILL, Mode.SWIM})
_DRYING_MEDICINES = frozenset({"pressure", "beta_blocker"})

CAUTION = (
    "In heat: indoors, early in the day, or the easy version. Drink, wear light things, go by effort, not by heart "
    "rate or pace; the heart beats faster in heat. Stop at dizziness, headache, chills or feeling sick."
)
HARD_WAYS = "Hard work goes indoors, early in the day, or becomes easy; by effort only."


@dataclass(frozen=True, slots=True)
class HeatRow:
    """One row of the table: up to which temperature, and what it asks of who is adapted to heat and who is not."""

    up_to_c: float
    not_adapted: str
    adapted: str


@dataclass(frozen=True, slots=True)
class HeatCaution:
    """What heat asks of a hard session on a day."""

    words: str
    #: Somebody noted that it is hot: effort alone steers. Without a note the warm months only ask for care.
    is_hot: bool


#: Source: Casa 2015 (published, read). The last row has no upper end.
WBGT_ROWS = (
    HeatRow(27.8, "more rest, shorter", "normal, watch fluids"),
    HeatRow(30.0, "as much rest as work, limit intense work", "intense work with care"),
    HeatRow(32.2, "cancel", "limit intense work and exposure"),
    HeatRow(float("inf"), "cancel", "cancel"),
)


@dataclass(frozen=True, slots=True)
class HeatNote:
    """What the coach measured or read for the practice's place on one day; the newest counts."""

    id: int
    noted_on: date
    temperature_c: float | None
    humidity_percent: float | None
    wbgt_c: float | None
    noted_at: datetime
    person_id: int


def heat_row(wbgt_c: float, *, moves_down: bool) -> HeatRow:
    """The row for a temperature, one row down for who bears heat badly.

    Source: Casa 2015 (published, read); one row down is a house choice.
    """
    place = next(number for number, row in enumerate(WBGT_ROWS) if wbgt_c <= row.up_to_c)
    return WBGT_ROWS[min(place + moves_down, len(WBGT_ROWS) - 1)]


def bears_heat_badly(history: History, today: date) -> tuple[str, ...]:
    """Why a client moves one row down: 60 or older (or age unknown), drying medicines, ill lately.

    Weight is not known here; where it matters the coach says so.
    Source: house choice.
    """
    age = age_on(history.client.born_on, today)
    lately = [
        one
        for one in history.readiness
        if one.illness is not Illness.NONE and 0 <= (today - one.noted_on).days <= RECENTLY_ILL_DAYS
    ]
    found = (
        (age is None, "age not known"),
        (age is not None and age >= OLDER_FROM_YEARS, f"aged {age}"),
        (_takes_drying(history), "water or pressure tablets, or a beta-blocker"),
        (bool(lately), "ill in the last two weeks"),
    )
    return tuple(words for is_so, words in found if is_so)


def is_hot(note: HeatNote, *, bears_badly: bool) -> bool:
    """Whether a day asks hard work to move indoors, early, or to become easy.

    Source: air temperature: common practice, no published source; wet-bulb globe: the table's second row and up.
    """
    if note.wbgt_c is not None and heat_row(note.wbgt_c, moves_down=bears_badly) is not WBGT_ROWS[0]:
        return True
    return _is_air_from(note, HOT_C, HOT_AND_HUMID_C, bears_badly=bears_badly)


def asks_to_cancel(note: HeatNote, *, bears_badly: bool) -> bool:
    """Whether nothing hard is done outdoors: the table says cancel for somebody not adapted, or the air is too hot.

    Adaptation is never assumed. Source: wet-bulb globe: Casa 2015 (published, read); air: house choice.
    """
    if note.wbgt_c is not None and heat_row(note.wbgt_c, moves_down=bears_badly).not_adapted == "cancel":
        return True
    return _is_air_from(note, TOO_HOT_C, TOO_HOT_AND_HUMID_C, bears_badly=bears_badly)


def _is_air_from(note: HeatNote, dry_c: float, humid_c: float, *, bears_badly: bool) -> bool:
    if note.temperature_c is None:
        return False
    is_humid = note.humidity_percent is not None and note.humidity_percent >= HUMID_PERCENT
    return note.temperature_c >= (humid_c if is_humid else dry_c) - (LOWER_BY_C if bears_badly else 0.0)


def heat_words(note: HeatNote, *, bears_badly: bool) -> str | None:
    """What the day asks of a hard session; None when it is not hot for this client."""
    if asks_to_cancel(note, bears_badly=bears_badly):
        return "Too hot for hard work outdoors today: indoors and cool, or the easy version, or another day."
    return HARD_WAYS if is_hot(note, bears_badly=bears_badly) else None


def caution_today(history: History, note: HeatNote | None, today: date) -> str | None:
    """The caution beside a hard session: hot today by the coach's note, or the warm months; None else."""
    found = caution_on(history, note, today)
    return None if found is None else found.words


def caution_on(history: History, note: HeatNote | None, day: date) -> HeatCaution | None:
    """What heat asks of a hard session on a day: as noted for it, or the warm months; None else."""
    if note is not None:
        said = heat_words(note, bears_badly=bool(bears_heat_badly(history, day)))
        return None if said is None else HeatCaution(f"Hot today. {said} {CAUTION}", is_hot=True)
    return HeatCaution(CAUTION, is_hot=False) if day.month in HOT_MONTHS else None


def by_effort_in_heat(session: PlannedSession, heat: HeatCaution | None) -> PlannedSession:
    """The session as it is given away for a day: on a hot one its target, made for a cooler day, is left out."""
    return session if heat is None or not heat.is_hot else replace(session, target_json=None)


def asks_outdoors(history: History, session: PlannedSession, note: HeatNote, today: date) -> str | None:
    """What the heat noted for today asks of one session outdoors; None when it asks nothing of it.

    Source: as `heat_words`; easy work and work indoors are left alone (house choice).
    """
    if session.mode in INDOORS or not is_hard_or_middle(session):
        return None
    return heat_words(note, bears_badly=bool(bears_heat_badly(history, today)))


def note_words(note: HeatNote) -> str:
    """What was noted, in figures."""
    parts = [f"{note.temperature_c:g} °C"] if note.temperature_c is not None else []
    parts += [f"{note.humidity_percent:g} % humidity"] if note.humidity_percent is not None else []
    parts += [f"wet-bulb globe {note.wbgt_c:g} °C"] if note.wbgt_c is not None else []
    return ", ".join(parts)


def _takes_drying(history: History) -> bool:
    return bool(_DRYING_MEDICINES & named_medicines(newest_answers(history)))
