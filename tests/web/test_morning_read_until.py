"""Up to when entries were read, as a forged form may send it."""

from __future__ import annotations

import pytest

from tests.conftest import Browser


@pytest.mark.parametrize("until", ["0001-01-01T00:00:00+00:00", "0001-01-01T00:00:00+14:00", "1980-06-01T07:00:00Z"])
def test_an_instant_no_page_said_is_refused_and_leaves_the_page_as_it_is(coach: Browser, until: str) -> None:
    sent = coach.send("/morning/read", until=until)

    assert sent.status_code == 422
    assert "open the morning again" in sent.text
    assert coach.get("/morning").status_code == 200
