"""Uploads between looking and keeping."""

from datetime import UTC, datetime, timedelta

import pytest

from app.files import incoming
from app.files.incoming import Uploaded

NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
FILE = Uploaded("clients.csv", "clients", b"Name,Email\n")


@pytest.fixture
def token(tmp_path):
    return incoming.keep(tmp_path, person_id=3, files=[FILE], problems=["a sentence"], now=NOW)


def test_an_upload_comes_back_as_it_was(tmp_path, token):
    upload = incoming.load(tmp_path, token, now=NOW)

    assert upload is not None
    assert (upload.person_id, upload.files, upload.answers) == (3, (FILE,), (None,))
    assert upload.problems == ("a sentence",)


def test_answers_are_kept_beside_the_files(tmp_path, token):
    incoming.keep_answers(tmp_path, token, answers=[{"kind": "clients"}])
    upload = incoming.load(tmp_path, token, now=NOW)

    assert upload is not None
    assert upload.answers == ({"kind": "clients"},)
    assert upload.files == (FILE,)


def test_a_finished_upload_keeps_its_result_and_no_bytes(tmp_path, token):
    incoming.count(tmp_path, token, added=2, changed=0)
    incoming.count(tmp_path, token, added=3, changed=1)
    incoming.finish(tmp_path, token, refused=[{"line": 4}])
    upload = incoming.load(tmp_path, token, now=NOW)

    assert upload is not None
    assert upload.result == {"added": 5, "changed": 1, "refused": [{"line": 4}]}
    assert list(tmp_path.rglob("*.csv")) == []


def test_only_the_desk_may_read_the_folder(tmp_path, token):
    folder = tmp_path / "incoming" / token

    assert folder.stat().st_mode & 0o077 == 0
    assert {path.stat().st_mode & 0o077 for path in folder.iterdir()} == {0}


def test_an_upload_is_gone_after_a_day(tmp_path, token):
    later = NOW + timedelta(days=1, minutes=1)

    assert incoming.load(tmp_path, token, now=NOW + timedelta(hours=23)) is not None
    assert incoming.load(tmp_path, token, now=later) is None

    incoming.sweep(tmp_path, now=later)

    assert list((tmp_path / "incoming").iterdir()) == []


@pytest.mark.parametrize("name", ["", "..", "../incoming", "0" * 31, "f" * 32, "/etc"])
def test_what_is_no_token_opens_nothing(tmp_path, token, name):
    assert incoming.load(tmp_path, name, now=NOW) is None


def test_dropping_forgets_everything(tmp_path, token):
    incoming.drop(tmp_path, token)

    assert incoming.load(tmp_path, token, now=NOW) is None
    assert list(tmp_path.rglob("*.csv")) == []
