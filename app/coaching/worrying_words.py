"""Words in a client's note that name a sign to stop for, so that a note is not the last of it.

House choice: plain English stems after the list of signs. It reads words, not meaning: "no chest pain" is found too,
for asking once more costs little and missing it may cost a life. Nothing is diagnosed and nothing is paused by it.
"""

from __future__ import annotations

import re

#: What is found, by the sign it belongs to. A stem takes any ending.
_STEMS = (
    ("chest", r"chest|breastbone|sternum|angina"),
    (
        "breath",
        r"breathless\w*|short(?:ness)? of breath|out of breath|wheez\w*|gasp\w*"
        r"|(?:catch|get|got|caught) (?:my|his|her|their|any) breath"
        r"|(?:hard to|could ?n[o'’]t|can ?n[o'’]t|can['’]t|trouble|difficulty) breath\w*"
        r"|(?:struggl\w*(?: to| for)?|fought for|fighting for) breath\w*",
    ),
    ("faint", r"faint(?!ly)\w*|black(?:ed|ing)? ?out|pass(?:ed|ing) out|collaps\w*"),
    ("dizziness", r"dizz\w*|light-?headed\w*|giddy|unsteady|confus\w*"),
    (
        "heartbeat",
        r"palpitat\w*|flutter\w*|heart\W+(?:\w+\W+){0,2}(?:rac|pound|skip|jump|thump|irregular|uneven)\w*",
    ),
    ("jaw or arm", r"jaw|left arm|arm (?:pain|ache|numb)\w*"),
    ("numbness", r"numb\w*|slurr\w*|one side"),
)
_FOUND = tuple((name, re.compile(rf"\b(?:{stems})\b", re.IGNORECASE)) for name, stems in _STEMS)


def worrying_words(note: str | None) -> tuple[str, ...]:
    """Which signs to stop for a note names, in the order of the list; empty when it names none.

    Source: house choice; a clinician should review the words for a practice.
    """
    return tuple(name for name, stems in _FOUND if stems.search(note or ""))
