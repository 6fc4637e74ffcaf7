"""The bibliography: every [key] used in the code, who wrote it, where it stands, and how far we read it."""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.provenance import Provenance


@dataclass(frozen=True, slots=True)
class Source:
    """One publication. `about` says in our own words what is taken from it; it is not its title."""

    key: str
    authors: str
    year: int
    where: str
    about: str
    provenance: Provenance
    doi: str | None = None

    @property
    def short(self) -> str:
        """As it is named in a sentence: Riebe et al. 2015."""
        return f"{self.authors} {self.year}"


_READ = Provenance.PUBLISHED_READ

_ALL = (
    Source(
        "acog2020",
        "ACOG Committee Opinion 804",
        2020,
        "the committee's opinion; its abstract was read",
        "Exercise in pregnancy: who may go on, and with whose word.",
        _READ,
    ),
    Source(
        "borg2001",
        "E. Borg",
        2001,
        "Stockholm University",
        "From ratings of 6 to 20 to a 0-10 number, used only for records that come from elsewhere.",
        _READ,
    ),
    Source(
        "foster2009",
        "Foster et al.",
        2009,
        "J Strength Cond Res 23",
        "Where speech gets hard against measured thresholds, in 14 sedentary adults.",
        _READ,
        "10.1519/jsc.0b013e3181c02bce",
    ),
    Source(
        "helgerud2007",
        "Helgerud et al.",
        2007,
        "Med Sci Sports Exerc 39:665-671",
        "Rounds of 4 x 4 min three times a week for 8 weeks, in moderately trained men.",
        _READ,
        "10.1249/mss.0b013e3180304570",
    ),
    Source(
        "hickson1981",
        "Hickson et al.",
        1981,
        "journal not noted; its abstract was read",
        "Two sessions a week at kept effort held VO2max for 15 weeks.",
        _READ,
    ),
    Source(
        "millet2003",
        "Millet et al.",
        2003,
        "Can J Appl Physiol 28:410-423 (journal from memory)",
        "Time above 90 % of VO2max in short and long rounds, in 8 triathletes.",
        _READ,
    ),
    Source(
        "riebe2015",
        "Riebe et al.",
        2015,
        "Med Sci Sports Exerc 47(11):2473-2479; its abstract was read, the table through another document",
        "The pre-participation table: who may start, how hard, and who needs a clinician first.",
        Provenance.PUBLISHED_SECOND_HAND,
        "10.1249/MSS.0000000000000664",
    ),
    Source(
        "storen2017",
        "Støren et al.",
        2017,
        "Med Sci Sports Exerc 49:78-85",
        "Gains from 8 weeks of 4 x 4 min did not differ by age from the 20s to the 70s.",
        _READ,
        "10.1249/MSS.0000000000001070",
    ),
    Source(
        "tjonna2013",
        "Tjønna et al.",
        2013,
        "PLoS ONE 8:e65382",
        "One bout of 4 min against four, three times a week for 10 weeks, in inactive men of 35 to 45.",
        _READ,
    ),
    Source(
        "wen2019",
        "Wen et al.",
        2019,
        "journal not noted; its abstract was read",
        "Pooled: bouts of 2 min and more, at least 15 min of work, over 4 to 12 weeks.",
        _READ,
    ),
)

SOURCES: dict[str, Source] = {source.key: source for source in _ALL}
