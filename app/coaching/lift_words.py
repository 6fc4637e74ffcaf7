"""Where in the form of lifting a hold each refusal belongs."""

from __future__ import annotations

from app.coaching.holds import Hold, HoldKind

#: Beginnings of sentences that name one field whatever the hold.
_BY_BEGINNING = (
    ("Enter your password", "own_password"),
    ("Say why it is lifted", "because"),
    ("Record the talk", "talk"),
    ("A pain-free easy session", "pain_free_easy_on"),
    ("Medical advice comes first", "advice_from"),
)
_BY_KIND = {
    HoldKind.ILLNESS: "well_since_on",
    HoldKind.MEDICINE_CHANGE: "heart_rate_source_reviewed",
}


def field_of(hold: Hold, sentence: str) -> str:
    """The field a refusal stands beside; the paper's own for holds that only a paper lifts."""
    for beginning, field in _BY_BEGINNING:
        if sentence.startswith(beginning):
            return field
    return _BY_KIND.get(hold.kind, "clearance")
