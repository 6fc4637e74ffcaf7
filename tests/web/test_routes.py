"""No two routes answer one address, but for one word that is listed before the number it could stand for."""

from __future__ import annotations

from itertools import combinations

from fastapi import FastAPI
from fastapi.routing import iter_route_contexts

#: Two addresses in which a word stands where the other has a value; the word is listed first and is no number.
WORD_FIRST = frozenset({("/clients/new", "/clients/{client_id}")})


def addresses(app: FastAPI) -> list[tuple[str, str]]:
    """Method and address of every page, in the order they are tried."""
    return [
        (method, context.path)
        for context in iter_route_contexts(app.routes)
        if getattr(context, "methods", None) and context.path
        for method in sorted(context.methods - {"HEAD"})
    ]


def could_be_one(one: str, other: str) -> bool:
    """Whether some address fits both: every part is the same word, or a value in one of them."""
    parts = list(zip(one.split("/"), other.split("/"), strict=False))
    return one.count("/") == other.count("/") and all(a == b or "{" in a + b for a, b in parts)


def test_no_two_routes_overlap(app):
    listed = addresses(app)

    found = {
        (first, second)
        for (method, first), (other_method, second) in combinations(listed, 2)
        if method == other_method and could_be_one(first, second)
    }

    assert len(listed) > 100
    assert found == WORD_FIRST


def test_the_rule_notices_an_overlap():
    assert could_be_one("/clients/new", "/clients/{client_id}")
    assert could_be_one("/a/{b}", "/a/{c}")
    assert not could_be_one("/a/{b}/c", "/a/{b}/d")
    assert not could_be_one("/a/{b}", "/a/{b}/c")
