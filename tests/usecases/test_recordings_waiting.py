"""A file that waits to be kept knows where somebody lives: it waits two hours and no longer."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from app.coaching.access import Actor, Role
from app.usecases.gate import NotYours
from app.usecases.recordings import forgetting, looking
from app.usecases.recordings.looking import Draft, MayAdd
from tests.seed import NOW
from tests.tracks import gpx, steady, table

COACH = Actor(3, "Mira", Role.HEAD_COACH, None)
ENTRY = MayAdd(7)
LAST, OVER = NOW + timedelta(hours=2), NOW + timedelta(hours=2, seconds=1)


def taken(folder: Path, content: bytes) -> str:
    found = looking.take(folder, actor=COACH, may=ENTRY, name="a.gpx", source=io.BytesIO(content), now=NOW)
    assert found.token is not None, found.problem
    return found.token


def waiting(folder: Path, token: str, after: timedelta) -> Draft:
    return looking.draft(folder, actor=COACH, log_id=ENTRY.log_id, token=token, now=NOW + after)


def test_it_opens_for_two_hours_and_says_until_when(tmp_path: Path) -> None:
    token = taken(tmp_path, gpx(steady(90)))

    assert waiting(tmp_path, token, timedelta(hours=2)).until_at == LAST
    with pytest.raises(NotYours, match="does not wait here any more"):
        waiting(tmp_path, token, timedelta(hours=2, seconds=1))


@pytest.mark.parametrize(
    "anybody",
    [
        lambda folder: forgetting.forget_waiting(folder, now=OVER),
        lambda folder: looking.take(
            folder, actor=COACH, may=ENTRY, name="b.gpx", source=io.BytesIO(gpx(steady(60))), now=OVER
        ),
    ],
    ids=["between requests and after a start", "when another is added"],
)
def test_it_is_gone_from_the_folder_once_its_time_is_over(tmp_path: Path, anybody: Callable[[Path], object]) -> None:
    token = taken(tmp_path, gpx(steady(90)))
    forgetting.forget_waiting(tmp_path, now=LAST)
    assert (tmp_path / "recordings" / "incoming" / token).is_dir()

    anybody(tmp_path)

    assert not (tmp_path / "recordings" / "incoming" / token).exists()


def test_answering_what_is_asked_about_it_gives_it_no_more_time(tmp_path: Path) -> None:
    token = taken(tmp_path, table("seconds,speed", [f"{n},10" for n in range(120)]))

    answered = looking.answer(
        tmp_path,
        actor=COACH,
        may=ENTRY,
        token=token,
        answers={"speed_m_per_s": "km/h", "speed_source": "wheel"},
        now=NOW + timedelta(hours=1),
    )

    assert answered.token not in (None, token)
    assert waiting(tmp_path, answered.token or "", timedelta(hours=2)).until_at == LAST
