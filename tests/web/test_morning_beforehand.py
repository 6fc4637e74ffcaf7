"""The morning worked out before anybody asks for it, between requests."""

from __future__ import annotations

import threading

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from app.web import background
from tests.conftest import Browser, FixedClock
from tests.web.apart import finished


def test_the_page_finds_everybody_worked_out_until_another_day(coach: Browser, clock: FixedClock) -> None:
    first = finished(background.tell_ahead(coach.house, breath_s=0))
    again = finished(background.tell_ahead(coach.house, breath_s=0))
    page = coach.get("/morning")
    clock.move(days=1)
    next_day = finished(background.tell_ahead(coach.house, breath_s=0))

    assert first == len(coach.house.remembered) > 0
    assert again == 0
    assert page.status_code == 200
    assert next_day == first


def test_the_desk_does_it_by_itself_and_goes_on_after_a_failure(
    app: FastAPI, monkeypatch: pytest.MonkeyPatch
) -> None:
    again = threading.Event()
    told = background._tell_some
    failures = [RuntimeError("a full disk")]

    def some(house: background.House) -> int:
        if failures:
            raise failures.pop()
        found = told(house)
        if not found:
            again.set()
        return found

    monkeypatch.setattr(background, "FIRST_LOOK_S", 0.0)
    monkeypatch.setattr(background, "NEXT_LOOK_S", 0.01)
    monkeypatch.setattr(background, "SHORT_BREATH_S", 0.0)
    monkeypatch.setattr(background, "_tell_some", some)

    with TestClient(app):
        assert again.wait(timeout=20)
    assert len(app.state.house.remembered) > 0
