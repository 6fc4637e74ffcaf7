"""A request about one's own data as client and coach see it: what may be asked, and how it stands."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.data_requests import REQUEST_WORDS, DataRequest, DataRequestKind
from app.coaching.people import ENTRY_ORIGIN_WORDS, Origin
from app.coaching.weeks import day_words

#: What each is good for, in the client's words.
KIND_OPTIONS = (
    (DataRequestKind.ACCESS, "A copy", "everything that is kept, also what the coach noted"),
    (DataRequestKind.CORRECTION, "A correction", "something that is wrong or out of date"),
    (DataRequestKind.ERASURE, "Erasure", "what has to be kept by law stays, and the answer says so"),
)


@dataclass(frozen=True, slots=True)
class RequestView:
    """One request in words."""

    id: int
    words: str
    #: The person's own words.
    text: str
    state: str
    how: str
    came: str
    is_open: bool
    is_erasure: bool

    @property
    def state_line(self) -> str:
        """How it stands, as a sentence."""
        return f"{self.state[:1].upper()}{self.state[1:]}."


def request_view(one: DataRequest) -> RequestView:
    """How a request stands."""
    state = f"to be answered by {day_words(one.due_on)}"
    if one.done_on is not None:
        state = f"answered on {day_words(one.done_on)}"
    return RequestView(
        id=one.id,
        words=f"Asked on {day_words(one.asked_on)}: {REQUEST_WORDS[one.kind]}",
        text=one.text or "",
        state=state,
        how=one.done_how or "",
        came="" if one.origin is Origin.CLIENT else ENTRY_ORIGIN_WORDS[one.origin],
        is_open=one.is_open,
        is_erasure=one.kind is DataRequestKind.ERASURE,
    )
