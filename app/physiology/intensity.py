"""Five classes of effort from the literature; each measure has its own edges, and they often disagree by a class."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from app.physiology.values import check_range


class IntensityClass(StrEnum):
    """The classes of the position stand, lightest first."""

    VERY_LIGHT = "very light"
    LIGHT = "light"
    MODERATE = "moderate"
    VIGOROUS = "vigorous"
    NEAR_MAXIMAL = "near-maximal"


#: Lower edges of light, moderate, vigorous and near-maximal. The table prints whole numbers with gaps between them;
#: here each lower edge belongs to its class and the classes join: 39.9 is light, 40 moderate (house choice).
RESERVE_EDGES_PERCENT = (30.0, 40.0, 60.0, 90.0)
HRMAX_EDGES_PERCENT = (57.0, 64.0, 77.0, 96.0)
VO2MAX_EDGES_PERCENT = (37.0, 46.0, 64.0, 91.0)
RPE_EDGES = (9.0, 12.0, 14.0, 18.0)
MET_EDGES = (2.0, 3.0, 6.0, 8.8)
MET_EDGES_FROM_40 = (2.0, 4.0, 6.0, 8.5)
MET_EDGES_FROM_65 = (1.6, 3.2, 4.8, 6.8)
_MIDDLE_FROM_YEARS, _OLDER_FROM_YEARS, _OLDEST_YEARS = 40.0, 65.0, 100.0


def intensity_from_reserve_garber_2011(reserve_percent: float) -> IntensityClass:
    """The class of an effort from its share of heart-rate or oxygen reserve.

    reserve_percent: share of heart-rate reserve or oxygen reserve, %, 0 to 110.
    Returns: class, no unit.
    Raises: OutOfRange outside 0 to 110 %.
    Limits: adults. Handbooks before 2010 split at other figures; do not mix.
    Error: not found; the columns of the table often disagree by a class, so say which one was used.
    Source: [garber2011] Garber et al. 2011; published, read. Edges that join are a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic intensity_class.
    """
    check_range("Share of the reserve", reserve_percent, 0.0, 110.0, "%")
    return _class(reserve_percent, RESERVE_EDGES_PERCENT)


def intensity_from_hrmax_garber_2011(hrmax_percent: float) -> IntensityClass:
    """The class of an effort from its share of maximal heart rate.

    hrmax_percent: share of maximal heart rate, %, 20 to 110.
    Returns: class, no unit.
    Raises: OutOfRange outside 20 to 110 %.
    Limits: adults without a medicine or rhythm that uncouples heart rate from effort.
    Error: not found; the columns of the table often disagree by a class, so say which one was used.
    Source: [garber2011] Garber et al. 2011; published, read. Edges that join are a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic intensity_class.
    """
    check_range("Share of maximal heart rate", hrmax_percent, 20.0, 110.0, "%")
    return _class(hrmax_percent, HRMAX_EDGES_PERCENT)


def intensity_from_vo2max_garber_2011(vo2max_percent: float) -> IntensityClass:
    """The class of an effort from its share of VO2max.

    vo2max_percent: share of VO2max, %, 0 to 120.
    Returns: class, no unit.
    Raises: OutOfRange outside 0 to 120 %.
    Limits: adults.
    Error: not found; the columns of the table often disagree by a class, so say which one was used.
    Source: [garber2011] Garber et al. 2011; published, read. Edges that join are a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic intensity_class.
    """
    check_range("Share of VO2max", vo2max_percent, 0.0, 120.0, "%")
    return _class(vo2max_percent, VO2MAX_EDGES_PERCENT)


def intensity_from_rpe_garber_2011(rpe: float) -> IntensityClass:
    """The class of an effort from its rating of 6 to 20.

    rpe: rating, no unit, 6 to 20.
    Returns: class, no unit.
    Raises: OutOfRange outside 6 to 20.
    Limits: adults; for records that come from elsewhere.
    Error: not found; the columns of the table often disagree by a class, so say which one was used.
    Source: [garber2011] Garber et al. 2011; published, read. Edges that join are a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic intensity_class.
    """
    check_range("Rating", rpe, 6.0, 20.0)
    return _class(rpe, RPE_EDGES)


def intensity_from_met_garber_2011(met: float) -> IntensityClass:
    """The class of an effort from its cost in multiples of rest, for middle-aged adults.

    met: cost, MET, 0.9 to 30.
    Returns: class, no unit.
    Raises: OutOfRange outside 0.9 to 30 MET.
    Limits: middle-aged adults; used blindly past 60 it makes work look lighter than it is.
    Error: not found; the columns of the table often disagree by a class, so say which one was used.
    Source: [garber2011] Garber et al. 2011; published, read (the lowest edge from memory, unchecked).
    Checked in tests/reference/intensity_and_vo2max.csv, topic intensity_class.
    """
    check_range("Cost", met, 0.9, 30.0, "MET")
    return _class(met, MET_EDGES)


def intensity_from_met_by_age_garber_2011(met: float, age_years: float) -> IntensityClass:
    """The class of an effort from its cost in multiples of rest, with the edges of the age.

    met: cost, MET, 0.9 to 30.
    age_years: age, years, 40 to 100.
    Returns: class, no unit.
    Raises: OutOfRange outside these limits; the edges for younger adults are not known to us.
    Limits: adults of 40 to 64, and of 65 and over.
    Error: not found; absolute costs mislead in older people.
    Source: [garber2011] Garber et al. 2011; these rows from memory, unchecked.
    Checked in tests/physiology/test_intensity.py; the reference keeps one row of it, as a finding.
    """
    check_range("Cost", met, 0.9, 30.0, "MET")
    check_range("Age", age_years, _MIDDLE_FROM_YEARS, _OLDEST_YEARS, "years")
    return _class(met, MET_EDGES_FROM_65 if age_years >= _OLDER_FROM_YEARS else MET_EDGES_FROM_40)


def _class(value: float, edges: Sequence[float]) -> IntensityClass:
    return tuple(IntensityClass)[sum(value >= edge for edge in edges)]
