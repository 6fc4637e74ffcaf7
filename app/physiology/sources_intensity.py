"""Sources about heart rate, effort, speech, oxygen cost and race pace."""

from __future__ import annotations

from app.physiology.provenance import Provenance
from app.physiology.source import Source

_READ = Provenance.PUBLISHED_READ

#: In alphabetical order of their keys.
INTENSITY: tuple[Source, ...] = (
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
)
