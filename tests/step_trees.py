"""Random sessions: trees of steps with sets within sets."""

from __future__ import annotations

from hypothesis import strategies as st

from app.coaching.effort import Band
from app.coaching.steps import MOST_DEEP, MOST_STEPS, Node, Part, Repeat, Step, flatten

#: Anything a coach may type on one line: letters of any script, signs, quotes, colons, figures.
SAID = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=40)
STEPS = st.builds(Step, st.sampled_from(Part), st.integers(1, 5400), st.sampled_from(Band), SAID)


def _level(below: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    inside = st.lists(below, min_size=1, max_size=3).map(tuple)
    return st.one_of(STEPS, st.builds(Repeat, st.integers(1, 4), inside))


def _nodes(deep: int) -> st.SearchStrategy[Node]:
    return STEPS if deep == 0 else _level(_nodes(deep - 1))


def _is_short_enough(nodes: tuple[Node, ...]) -> bool:
    return sum(1 for _ in flatten(nodes)) <= MOST_STEPS


TREES: st.SearchStrategy[tuple[Node, ...]] = (
    st.lists(_nodes(MOST_DEEP), max_size=4).map(tuple).filter(_is_short_enough)
)
