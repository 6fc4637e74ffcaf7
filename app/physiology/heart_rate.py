"""Maximal heart rate predicted from age: the published equations; none of them is fit to set one person's."""

from __future__ import annotations

from app.physiology.values import Estimate, Sex, check_range

YOUNGEST_YEARS = 18.0
OLDEST_YEARS = 100.0

#: What must stand beside every predicted maximum: the size of the usual error.
ALWAYS_SAY = "predicted from age: one person's true maximum is often 10 to 12 beats away, sometimes more"
_OVER_MEMORY = "the size of the error is from memory, unchecked"
_MOSTLY_UNDER = 55.0
_GULATI_FROM, _GULATI_TO = 30.0, 74.0
_KETEYIAN_CYCLE_BPM = 5.0


def hrmax_fox_1971(age_years: float) -> Estimate:
    """The oldest rule for maximal heart rate: 220 less the age.

    age_years: age, years, 18 to 100; marked over 55.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: drawn loosely from about ten small sets of mostly men under 55; reads too low in older adults.
    Error: SD 10 to 12 bpm; it was never a regression.
    Source: [fox1971] Fox, Naughton & Haskell 1971, as given by Gellish et al. 2007; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    _check_age(age_years)
    notes = ("reads too low over 55; use another",) if age_years > _MOSTLY_UNDER else ()
    return _bpm(220.0 - age_years, 12.0, "SD 10 to 12 bpm", "fox1971", *notes)


def hrmax_tanaka_2001(age_years: float) -> Estimate:
    """Maximal heart rate from many studies pooled; the default here, for both sexes.

    age_years: age, years, 18 to 100.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: 351 studies, 18,712 healthy adults; no effect of sex or activity was found. Not with a beta-blocker.
    Error: SD about 10 bpm; from memory, unchecked.
    Source: [tanaka2001] Tanaka, Monahan & Seals 2001; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    _check_age(age_years)
    return _bpm(208.0 - 0.7 * age_years, 10.0, "SD about 10 bpm", "tanaka2001", _OVER_MEMORY)


def hrmax_gellish_2007_rounded(age_years: float) -> Estimate:
    """Maximal heart rate from people followed for years, with rounded figures.

    age_years: age, years, 18 to 100; marked outside 30 to 75.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: 132 adults with 908 tests; 1.7 bpm below the unrounded form at 60.
    Error: not found for this form; 5 to 8 bpm is given for the curved form, from memory, unchecked.
    Source: [gellish2007] Gellish et al. 2007; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    _check_age(age_years)
    return _bpm(207.0 - 0.7 * age_years, None, "error not found for this form", "gellish2007", *_gellish(age_years))


def hrmax_gellish_2007_unrounded(age_years: float) -> Estimate:
    """Maximal heart rate from people followed for years, with the figures before rounding.

    age_years: age, years, 18 to 100; marked outside 30 to 75.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: 132 adults with 908 tests.
    Error: not found for this form; 5 to 8 bpm is given for the curved form, from memory, unchecked.
    Source: [gellish2007] Gellish et al. 2007; unrounded figures published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    _check_age(age_years)
    notes = ("unrounded figures: published, second-hand", *_gellish(age_years))
    return _bpm(206.9 - 0.67 * age_years, None, "error not found for this form", "gellish2007", *notes)


def hrmax_gellish_2007_curved(age_years: float) -> Estimate:
    """Maximal heart rate that falls faster with age.

    age_years: age, years, 30 to 75.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 30 to 75 years.
    Limits: 132 adults with 908 tests; the constant also circulates as 191.5.
    Error: 5 to 8 bpm; from memory, unchecked.
    Source: [gellish2007] Gellish et al. 2007; this form from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    check_range("Age", age_years, 30.0, 75.0, "years")
    value = 192.0 - 0.007 * age_years**2
    return _bpm(value, 8.0, "5 to 8 bpm", "gellish2007", "from memory, unchecked")


def hrmax_nes_2013(age_years: float) -> Estimate:
    """Maximal heart rate from a large healthy Norwegian cohort.

    age_years: age, years, 19 to 89.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 19 to 89 years.
    Limits: 3,320 healthy adults; no difference between the sexes. The highest of the usual equations past 60.
    Error: SEE 10.8 bpm.
    Source: [nes2013] Nes et al. 2013; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    check_range("Age", age_years, 19.0, 89.0, "years")
    return _bpm(211.0 - 0.64 * age_years, 10.8, "SEE 10.8 bpm", "nes2013")


def hrmax_gulati_2010(age_years: float) -> Estimate:
    """Maximal heart rate of women without symptoms; the cautious end, a second opinion for women.

    age_years: age, years, 18 to 100; marked outside 30 to 74, two SD around the cohort's mean age.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: women only: 5,437 volunteers of 52 (SD 11) years; some may have stopped short of a true maximum.
    Error: SD 11.8 bpm; from memory, unchecked.
    Source: [gulati2010] Gulati et al. 2010; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    _check_age(age_years)
    far = not _GULATI_FROM <= age_years <= _GULATI_TO
    notes = ("women only", _OVER_MEMORY, *(("far from the ages it was made on (52, SD 11)",) if far else ()))
    return _bpm(206.0 - 0.88 * age_years, 11.8, "SD 11.8 bpm", "gulati2010", *notes)


def hrmax_sydo_2014(age_years: float, sex: Sex) -> Estimate:
    """Maximal heart rate of people without disease or drugs, one line for each sex.

    age_years: age, years, 40 to 89.
    sex: sex, no unit, F or M.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 40 to 89 years.
    Limits: 19,013 adults tested in one clinic, without disease or drugs that slow the heart.
    Error: not found.
    Source: [sydo2014] Sydo et al. 2014; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    check_range("Age", age_years, 40.0, 89.0, "years")
    value = 220.0 - 0.95 * age_years if sex is Sex.MALE else 210.0 - 0.79 * age_years
    return _bpm(value, None, "error not found", "sydo2014")


def hrmax_jones_1985(age_years: float) -> Estimate:
    """Maximal heart rate on a cycle.

    age_years: age, years, 18 to 100; the ages of the sample are not known to us.
    Returns: predicted maximal heart rate on a cycle, bpm.
    Raises: OutOfRange outside 18 to 100 years.
    Limits: cycle tests only.
    Error: SEE 10.3 bpm.
    Source: [jones1985] Jones et al. 1985; published, read.
    Checked in tests/physiology/test_heart_rate.py by hand; no row in the reference.
    """
    _check_age(age_years)
    notes = ("cycle only", "the ages it was made on are not known to us")
    return _bpm(202.0 - 0.72 * age_years, 10.3, "SEE 10.3 bpm", "jones1985", *notes)


def hrmax_zhu_2010(age_years: float) -> Estimate:
    """Maximal heart rate from young to middle-aged adults.

    age_years: age, years, 18 to 50.
    Returns: predicted maximal heart rate, bpm.
    Raises: OutOfRange outside 18 to 50 years.
    Limits: a cohort of 18 to 50; the curve goes wrong above.
    Error: not found.
    Source: [zhu2010] Zhu et al. 2010; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    check_range("Age", age_years, 18.0, 50.0, "years")
    return _bpm(179.0 + 0.29 * age_years - 0.011 * age_years**2, None, "error not found", "zhu2010")


def hrmax_brawner_2004(age_years: float) -> Estimate:
    """Highest heart rate in coronary disease on a beta-blocker; for reading papers, not for setting targets.

    age_years: age, years, 40 to 80.
    Returns: predicted highest heart rate, bpm.
    Raises: OutOfRange outside 40 to 80 years.
    Limits: people with coronary disease on a beta-blocker only. Too wide for one person's target: steer by effort
        and speech.
    Error: SEE 18 bpm.
    Source: [brawner2004] Brawner et al. 2004; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    check_range("Age", age_years, 40.0, 80.0, "years")
    return _bpm(164.0 - 0.7 * age_years, 18.0, "SEE 18 bpm", "brawner2004", _NO_TARGET)


def hrmax_keteyian_2012(age_years: float, heart_rate_rest_bpm: float, on_cycle: bool) -> Estimate:
    """Highest heart rate in heart failure on a beta-blocker; for reading papers, not for setting targets.

    age_years: age, years, 18 to 100; the ages of the sample are not known to us.
    heart_rate_rest_bpm: heart rate at rest, bpm, 30 to 120.
    on_cycle: tested on a cycle, no unit, yes or no.
    Returns: predicted highest heart rate, bpm.
    Raises: OutOfRange outside the ages and heart rates above.
    Limits: people with heart failure on a beta-blocker only. Too wide for one person's target: steer by effort
        and speech.
    Error: SEE 18 bpm.
    Source: [keteyian2012] Keteyian et al. 2012; published, read.
    Checked in tests/physiology/test_heart_rate.py by hand; no row in the reference.
    """
    _check_age(age_years)
    check_range("Heart rate at rest", heart_rate_rest_bpm, 30.0, 120.0, "bpm")
    cycle = _KETEYIAN_CYCLE_BPM if on_cycle else 0.0
    value = 119.0 + 0.5 * heart_rate_rest_bpm - 0.5 * age_years - cycle
    return _bpm(value, 18.0, "SEE 18 bpm", "keteyian2012", _NO_TARGET)


_NO_TARGET = "with a beta-blocker no heart-rate targets: use effort and speech"


def _check_age(age_years: float) -> None:
    check_range("Age", age_years, YOUNGEST_YEARS, OLDEST_YEARS, "years")


def _gellish(age_years: float) -> tuple[str, ...]:
    return () if 30.0 <= age_years <= 75.0 else ("outside the ages it was made on (30 to 75)",)


def _bpm(value: float, error: float | None, words: str, source: str, *notes: str) -> Estimate:
    return Estimate(value, "bpm", error, words, source, (ALWAYS_SAY, *notes))
