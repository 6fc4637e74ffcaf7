"""Sources about load, critical power, intervals and readiness."""

from __future__ import annotations

from app.physiology.provenance import Provenance
from app.physiology.source import Source

_READ = Provenance.PUBLISHED_READ

#: In alphabetical order of their keys.
LOAD: tuple[Source, ...] = (
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
