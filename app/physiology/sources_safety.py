"""Sources about who may train, and how hard."""

from __future__ import annotations

from app.physiology.provenance import Provenance
from app.physiology.source import Source

_READ = Provenance.PUBLISHED_READ

#: In alphabetical order of their keys.
SAFETY: tuple[Source, ...] = (
    Source(
        "acog2020",
        "ACOG Committee Opinion 804",
        2020,
        "the committee's opinion; its abstract was read",
        "Exercise in pregnancy: who may go on, and with whose word.",
        _READ,
    ),
    Source(
        "colberg2017",
        "Colberg",
        2017,
        "Front Endocrinol 8:33; its opening was read",
        "Diabetes and the start of exercise: who may begin without a check-up, as the diabetes association sees it.",
        _READ,
        "10.3389/fendo.2017.00033",
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
)
