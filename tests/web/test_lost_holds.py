"""A hold that a copy brought back lacked is said on the morning until somebody has settled it."""

from __future__ import annotations

import re
from datetime import date
from html import unescape

import pytest

from app.files.backup_losses import LostRecord
from app.usecases import keeping
from tests import seed

SAID = "The symptom hold of Ilse Brandt, since 24 November 2026, is not in it: raise it again before they train."
GONE = "The injury hold of Gone Withthecopy, since 24 November 2026, is not in it, nor is the client"


@pytest.fixture
def restored(coach, people):
    """A copy was brought back that lacks a hold of the coach's client and one of a client who is gone."""
    lost = (
        LostRecord(people.client.id, people.client.name, "symptom", date(2026, 11, 24)),
        LostRecord(9999, "Gone Withthecopy", "injury", date(2026, 11, 24)),
    )
    with coach.db(write=True) as db:
        keeping.note_lost_holds(db, copy_name="practice.sqlite3", lost_holds=lost, now=seed.NOW)
    return people.client


def entry_on(page) -> str:
    """The entry the first button of a lost hold settles."""
    return re.search(r'name="entry" value="(\d+)"', page.text).group(1)


def test_the_morning_says_it_on_top_with_the_way_to_raise_it_again(coach, restored):
    page = unescape(coach.get("/morning").text)

    assert SAID in page
    assert f'href="/clients/{restored.id}/holds/new"' in page


def test_it_is_said_until_it_is_settled(coach, restored):
    sent = coach.send("/morning/lost-hold", entry=entry_on(coach.get("/morning")))

    assert sent.status_code == 303
    assert SAID not in unescape(coach.get("/morning").text)


def test_another_coach_neither_reads_nor_settles_it(coach, other_coach, restored):
    assert "Ilse Brandt" not in other_coach.get("/morning").text
    assert other_coach.send("/morning/lost-hold", entry=entry_on(coach.get("/morning"))).status_code == 404
    assert SAID in unescape(coach.get("/morning").text)


def test_who_is_not_in_the_copy_is_named_to_the_head_coach_alone(head, coach, restored):
    assert GONE in unescape(head.get("/morning").text)
    assert "Gone Withthecopy" not in coach.get("/morning").text


@pytest.mark.parametrize("entry", ["", "x", "0", "99999"])
def test_no_such_entry_is_not_there(coach, restored, entry):
    assert coach.send("/morning/lost-hold", entry=entry).status_code == 404
