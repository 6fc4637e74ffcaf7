"""What every estimator of VO2max gives back: value, error, both forms, and what it may be compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.physiology.units import ML_PER_KG_MIN_PER_MET
from app.physiology.values import Missing, OutOfRange, check_range

ML_PER_KG_MIN = "mL/kg/min"
L_PER_MIN = "L/min"
ML_PER_MIN = "mL/min"
MET = "MET"

NO_JUDGE = "A starting point; not for judging a gain."

ML_PER_L = 1000.0

#: Adults a scale or a tape can be trusted with; a slip of the pen lies outside (house choice).
LIGHTEST_KG, HEAVIEST_KG = 30.0, 250.0
SHORTEST_CM, TALLEST_CM = 120.0, 230.0
LOWEST_BMI, HIGHEST_BMI = 14.0, 60.0
LOWEST_RESTING_BPM, HIGHEST_RESTING_BPM = 30.0, 120.0
LOWEST_HARD_BPM, HIGHEST_HARD_BPM = 60.0, 220.0


@dataclass(frozen=True, slots=True)
class VO2max:
    """A VO2max out of a published equation, in the equation's own unit, with its error and its source.

    `error` is in the unit of `value`, or None where the source gives none. `protocol` and `mode` say what it may be
    compared with: nothing but the same protocol by the same mode. `mass_kg` turns one form into the other.
    """

    value: float
    unit: str
    error: float | None
    error_words: str
    source: str
    protocol: str
    mode: str
    mass_kg: float | None = None
    notes: tuple[str, ...] = ()

    @property
    def comparable_key(self) -> str:
        """Equal keys may stand in one line; others never."""
        return f"{self.protocol}, {self.mode}"

    @property
    def relative_ml_per_kg_min(self) -> float | Missing:
        """Per kilogram of body mass."""
        if self.unit == ML_PER_KG_MIN:
            return self.value
        if self.unit == MET:
            return self.value * ML_PER_KG_MIN_PER_MET
        if self.mass_kg is None:
            return Missing("body mass is not known")
        return self._litres() * ML_PER_L / self.mass_kg

    @property
    def absolute_l_per_min(self) -> float | Missing:
        """For the whole body; a lost kilogram does not move it."""
        if self.unit in (L_PER_MIN, ML_PER_MIN):
            return self._litres()
        if self.mass_kg is None:
            return Missing("body mass is not known")
        relative = self.value * (ML_PER_KG_MIN_PER_MET if self.unit == MET else 1)
        return relative * self.mass_kg / ML_PER_L

    @property
    def relative_error_ml_per_kg_min(self) -> float | Missing:
        """The error per kilogram of body mass."""
        if self.error is None:
            return Missing("the source gives no error")
        factors = {ML_PER_KG_MIN: 1.0, MET: ML_PER_KG_MIN_PER_MET}
        if self.unit in factors:
            return self.error * factors[self.unit]
        if self.mass_kg is None:
            return Missing("body mass is not known")
        return self.error * (ML_PER_L if self.unit == L_PER_MIN else 1) / self.mass_kg

    def may_be_compared_with(self, other: VO2max) -> bool:
        """Whether the two come from the same protocol by the same mode."""
        return self.comparable_key == other.comparable_key

    def _litres(self) -> float:
        return self.value if self.unit == L_PER_MIN else self.value / ML_PER_L


def check_sex(sex: str) -> None:
    """Refuse anything but F and M, as the published equations code it."""
    if sex not in ("F", "M"):
        raise OutOfRange("Sex must be F or M, as the equation was made on.")


def check_mass(mass_kg: float | None) -> None:
    """Refuse a body mass no adult has; None passes, the absolute form is then missing."""
    if mass_kg is not None:
        check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")


def check_bmi(bmi_kg_per_m2: float) -> None:
    """Refuse an implausible body mass index."""
    check_range("Body mass index", bmi_kg_per_m2, LOWEST_BMI, HIGHEST_BMI, "kg/m2")


def check_resting(heart_rate_bpm: float) -> None:
    """Refuse an implausible resting heart rate."""
    check_range("Resting heart rate", heart_rate_bpm, LOWEST_RESTING_BPM, HIGHEST_RESTING_BPM, "beats a minute")


def check_working(heart_rate_bpm: float) -> None:
    """Refuse an implausible heart rate under work."""
    check_range("Heart rate", heart_rate_bpm, LOWEST_HARD_BPM, HIGHEST_HARD_BPM, "beats a minute")


def positive(value: float) -> float:
    """An oxygen uptake is above zero; a line carried far from its people can fall below."""
    if value <= 0:
        raise OutOfRange("These figures together give no oxygen uptake above zero; the equation does not fit them.")
    return value


def male(sex: str) -> float:
    """Sex as most equations code it: man 1, woman 0."""
    return 1.0 if sex == "M" else 0.0


def notes_of(*said: str | None, also: Sequence[str] = ()) -> tuple[str, ...]:
    """The notes that apply."""
    return (*(one for one in said if one), *also)
