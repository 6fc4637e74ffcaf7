"""Scans of a clinician's paper over HTTP: kept, refused beside the field, handed out as a file and nothing else."""

from __future__ import annotations

import pytest

from app.coaching.screening import ClearanceState
from app.storage import scans
from app.storage.audit import trail_of
from tests import seed
from tests.conftest import Browser
from tests.plan_scenes import words_of
from tests.seed import SCAN, People


@pytest.fixture
def paper(coach: Browser, people: People) -> str:
    """The page of a paper of `people.client`."""
    with coach.db(write=True) as db:
        return f"/clients/{people.client.id}/safety/papers/{seed.add_clearance(db, client=people.client)}"


def keep(browser: Browser, paper: str, content: bytes = SCAN, name: str = "letter.pdf"):
    return browser.send(paper, files={"scan": (name, content, "text/html")})


def kept(browser: Browser, people: People):
    with browser.db() as db:
        return scans.of_client(db, client_id=people.client.id)


def test_the_safety_page_leads_to_the_paper(coach: Browser, people: People, paper: str) -> None:
    assert paper in coach.get(f"/clients/{people.client.id}/safety").text
    assert "No scan is kept." in coach.get(paper).text


def test_a_scan_comes_back_as_it_was_and_only_as_a_file(coach: Browser, people: People, paper: str) -> None:
    assert keep(coach, paper, name="C:\\papers\\<b>letter</b>.pdf").status_code == 303
    page = coach.get(paper)
    scan = kept(coach, people)[0]

    answer = coach.get(f"/clearance-scans/{scan.id}")

    assert answer.content == SCAN
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == f'attachment; filename="paper-{scan.id}.pdf"'
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-security-policy"] == "sandbox; default-src 'none'"
    assert "&lt;b&gt;letter&lt;/b&gt;.pdf" in page.text or "b&gt;.pdf" in page.text


@pytest.mark.parametrize(
    "answer", [{"state": ClearanceState.REQUESTED, "scope": None}, {"how_seen": "telephone"}], ids=["asked", "told"]
)
def test_where_no_paper_is_there_is_nothing_to_scan(
    coach: Browser, people: People, answer: dict[str, object]
) -> None:
    with coach.db(write=True) as db:
        clearance_id = seed.add_clearance(db, client=people.client, **answer)
    address = f"/clients/{people.client.id}/safety/papers/{clearance_id}"

    refused = keep(coach, address)

    assert refused.status_code == 422
    assert "There is no paper to scan yet" in refused.text
    assert address not in coach.get(f"/clients/{people.client.id}/safety").text
    assert kept(coach, people) == []


def test_a_request_without_a_scope_says_none(coach: Browser, people: People) -> None:
    with coach.db(write=True) as db:
        seed.add_clearance(db, client=people.client, state=ClearanceState.REQUESTED, scope=None)

    text = coach.get(f"/clients/{people.client.id}/safety").text

    assert "nothing stated" not in text
    assert "waiting" in text[text.index("Asked for on") :][:60]


def test_keeping_and_opening_stand_in_the_trail(coach: Browser, people: People, paper: str) -> None:
    keep(coach, paper)
    coach.get(f"/clearance-scans/{kept(coach, people)[0].id}")

    with coach.db() as db:
        actions = [entry.action for entry in trail_of(db, client_id=people.client.id)]
    assert {"kept_scan", "opened_scan"} <= set(actions)


def test_the_same_file_twice_is_kept_once(coach: Browser, people: People, paper: str) -> None:
    keep(coach, paper)
    keep(coach, paper)

    assert len(kept(coach, people)) == 1


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"<script>alert(1)</script>", "Only a PDF, a JPEG or a PNG is kept"),
        (b"", "The file is empty."),
        (b"%PDF-1.4 and no end", "cut off"),
        (SCAN + b" " * (5 * 1024 * 1024) + b"%%EOF", "5 MB is the most"),
    ],
    ids=["script", "empty", "cut off", "too large"],
)
def test_a_bad_file_is_refused_beside_the_field(
    coach: Browser, people: People, paper: str, content: bytes, sentence: str
) -> None:
    answer = keep(coach, paper, content)

    assert answer.status_code == 422
    assert sentence in words_of(answer)
    assert kept(coach, people) == []


def test_no_file_is_asked_for_again(coach: Browser, paper: str) -> None:
    assert "Choose a file." in words_of(coach.send(paper))


def test_a_paper_has_six_scans_at_most(coach: Browser, people: People, paper: str) -> None:
    for number in range(6):
        keep(coach, paper, b"%PDF-1.4 page " + str(number).encode() + b"\n%%EOF")

    assert "6 scans already" in words_of(keep(coach, paper))
    assert len(kept(coach, people)) == 6


def test_a_stand_in_without_private_notes_does_not_open_it(stand_in: Browser, people: People) -> None:
    with stand_in.db(write=True) as db:
        clearance_id = seed.add_clearance(db, client=people.handed_client)
        scan_id = seed.add_scan(db, client=people.handed_client, clearance_id=clearance_id)

    page = stand_in.get(f"/clients/{people.handed_client.id}/safety/papers/{clearance_id}")

    assert "1 scan is kept. It opens to the client's coach" in words_of(page)
    assert stand_in.get(f"/clearance-scans/{scan_id}").status_code == 403


def test_a_paper_of_somebody_else_is_not_found(coach: Browser, people: People) -> None:
    with coach.db(write=True) as db:
        foreign = seed.add_clearance(db, client=people.other_client)

    assert coach.get(f"/clients/{people.client.id}/safety/papers/{foreign}").status_code == 404
    assert keep(coach, f"/clients/{people.client.id}/safety/papers/{foreign}").status_code == 404
