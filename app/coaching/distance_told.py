"""The distance of an easy session, told in its title and purpose; its minutes and steps stay what they are."""

from __future__ import annotations

from dataclasses import replace

from app.coaching.prescriptions import PlannedSession
from app.coaching.session_shapes import SessionContent
from app.coaching.typed_pieces import distance_of, distance_words

_BEFORE_DISTANCE = ": "


def over_distance(content: SessionContent, metres: int) -> SessionContent:
    """The content with its distance told."""
    said = distance_words(metres)
    return replace(
        content, title=f"{content.title}{_BEFORE_DISTANCE}{said}", purpose=f"{content.purpose}{_about(said)}"
    )


def parted(title: str) -> tuple[str, int | None]:
    """A title without its distance, and the metres; None where it tells none."""
    name, _, said = title.rpartition(_BEFORE_DISTANCE)
    metres = distance_of(said) if name else None
    return (name, metres) if metres is not None else (title, None)


def without_distance(session: PlannedSession) -> PlannedSession:
    """The session with no distance told, for one whose minutes change."""
    name, metres = parted(session.title)
    if metres is None:
        return session
    return replace(session, title=name, purpose=session.purpose.replace(_about(distance_words(metres)), ""))


def _about(said: str) -> str:
    return f" About {said}; the talk decides, not the clock."
