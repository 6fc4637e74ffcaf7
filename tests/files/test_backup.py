"""Copies: whole, verified, kept for a while, and brought back with nothing stale beside them."""

import shutil
import sqlite3
from datetime import UTC, date, datetime, timedelta

import pytest

from app.files import backup
from app.files.backup import BadCopy
from app.storage import schema
from app.storage.database import FILE_NAME, open_engine, unit_of_work
from app.usecases import keeping
from tests import seed

NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)


def names(data_dir):
    db = sqlite3.connect(data_dir / FILE_NAME)
    found = {row[0] for row in db.execute("SELECT name FROM clients")}
    db.close()
    return found


def add_client(data_dir, name):
    engine = open_engine(data_dir)
    with unit_of_work(engine, write=True) as db:
        seed.add_client(db, coach_id=1, name=name)
    engine.dispose()


def test_a_copy_holds_entries_that_still_stand_in_the_write_ahead_file(desk_dir):
    engine = open_engine(desk_dir)
    with unit_of_work(engine, write=True) as db:
        seed.add_client(db, coach_id=1, name="Late Entry")

    copy = keeping.keep_copy(desk_dir, now=NOW)

    assert (desk_dir / f"{FILE_NAME}-wal").stat().st_size > 0
    assert backup.examine(copy).complaints == ()
    db = sqlite3.connect(copy)
    assert db.execute("SELECT count(*) FROM clients WHERE name = 'Late Entry'").fetchone() == (1,)
    db.close()
    engine.dispose()


def test_a_copy_is_named_by_its_instant_and_readable_by_its_owner_only(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)

    assert copy == desk_dir / "backups" / "foothill-20261125T070000.sqlite3"
    assert copy.stat().st_mode & 0o777 == 0o600
    assert [path.name for path in copy.parent.iterdir()] == [copy.name]


def test_a_damaged_file_gives_no_copy_and_leaves_the_earlier_ones(desk_dir):
    earlier = keeping.keep_copy(desk_dir, now=NOW)
    damage(desk_dir / FILE_NAME)

    with pytest.raises(BadCopy):
        keeping.keep_copy(desk_dir, now=NOW + timedelta(days=1))

    assert [path.name for path in earlier.parent.iterdir()] == [earlier.name]


def damage(file):
    content = bytearray(file.read_bytes())
    content[4096:] = bytes(len(content) - 4096)
    file.write_bytes(content)


def test_an_empty_folder_has_nothing_to_copy(tmp_path):
    with pytest.raises(BadCopy, match="no practice"):
        keeping.keep_copy(tmp_path, now=NOW)

    assert list(tmp_path.iterdir()) == []


def test_seven_days_and_four_earlier_weeks_are_kept():
    days = [date(2026, 11, 25) - timedelta(days=n) for n in range(60)]

    kept = sorted(backup.kept_days(days), reverse=True)

    assert kept[:7] == days[:7]
    assert kept[7:] == [date(2026, 11, 18), date(2026, 11, 15), date(2026, 11, 8), date(2026, 11, 1)]


def test_old_copies_go_when_a_new_one_is_made_and_other_files_stay(desk_dir):
    folder = desk_dir / "backups"
    folder.mkdir()
    (folder / "notes.txt").write_text("mine")
    old = [folder / f"foothill-{date(2026, 9, 1) + timedelta(days=n):%Y%m%d}T070000.sqlite3" for n in range(60)]
    for path in old:
        path.write_bytes(b"an earlier copy")

    newest = keeping.keep_copy(desk_dir, now=NOW)

    assert len(backup.copies(folder)) == 11
    assert newest in backup.copies(folder)
    assert (folder / "notes.txt").exists()


def test_of_one_day_the_newest_copy_stays(desk_dir):
    keeping.keep_copy(desk_dir, now=NOW)
    later = keeping.keep_copy(desk_dir, now=NOW + timedelta(hours=3))

    assert backup.copies(later.parent) == [later]


def test_a_restored_copy_is_the_practice_as_it_was(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)
    add_client(desk_dir, "Added Later")

    done = keeping.restore(desk_dir, copy=copy, now=NOW)

    assert "Added Later" not in names(desk_dir)
    assert "Ilse Brandt" in names(desk_dir)
    assert done.set_aside == desk_dir / "foothill.before-20261125T070000.sqlite3"


def test_what_was_there_before_is_kept_with_its_newest_entries(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)
    engine = open_engine(desk_dir)
    with unit_of_work(engine, write=True) as db:
        seed.add_client(db, coach_id=1, name="Still In The Write-Ahead File")
    shutil.copytree(desk_dir, desk_dir.with_name("pulled plug"))
    engine.dispose()
    cut_short = desk_dir.with_name("pulled plug")

    done = keeping.restore(cut_short, copy=copy, now=NOW)

    db = sqlite3.connect(done.set_aside)
    assert db.execute("SELECT count(*) FROM clients WHERE name LIKE 'Still%'").fetchone() == (1,)
    db.close()
    assert "Still In The Write-Ahead File" not in names(cut_short)


def test_stale_files_beside_the_practice_are_removed(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)
    for side in backup.SIDE_FILES:
        (desk_dir / f"{FILE_NAME}{side}").write_bytes(b"left by something else")

    backup.bring_back(copy, file=desk_dir / FILE_NAME, known_revisions=sorted(schema.known_revisions()), now=NOW)

    assert not any((desk_dir / f"{FILE_NAME}{side}").exists() for side in backup.SIDE_FILES)
    assert backup.examine(desk_dir / FILE_NAME).complaints == ()


@pytest.mark.parametrize("content", [b"", b"no database at all", b"SQLite format 3\x00" + bytes(4080)], ids=len)
def test_what_is_no_copy_is_not_brought_back(desk_dir, tmp_path, content):
    wrong = tmp_path / "wrong.sqlite3"
    wrong.write_bytes(content)
    before = (desk_dir / FILE_NAME).read_bytes()

    with pytest.raises(BadCopy):
        keeping.restore(desk_dir, copy=wrong, now=NOW)

    assert (desk_dir / FILE_NAME).read_bytes() == before
    assert not list(desk_dir.glob("*.incoming*"))


def test_a_damaged_copy_is_not_brought_back(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)
    damage(copy)

    with pytest.raises(BadCopy):
        keeping.restore(desk_dir, copy=copy, now=NOW)

    assert "Ilse Brandt" in names(desk_dir)


def test_a_copy_of_a_newer_version_is_not_brought_back(desk_dir):
    copy = keeping.keep_copy(desk_dir, now=NOW)
    db = sqlite3.connect(copy)
    db.execute("UPDATE alembic_version SET version_num = '9999'")
    db.commit()
    db.close()

    with pytest.raises(BadCopy, match="newer version"):
        keeping.restore(desk_dir, copy=copy, now=NOW)


def test_a_missing_copy_is_named(desk_dir):
    with pytest.raises(BadCopy, match="no file"):
        keeping.restore(desk_dir, copy=desk_dir / "nowhere.sqlite3", now=NOW)


def test_a_copy_brought_into_an_empty_folder_sets_nothing_aside(desk_dir, tmp_path):
    copy = keeping.keep_copy(desk_dir, now=NOW)

    done = keeping.restore(tmp_path / "new", copy=copy, now=NOW)

    assert done.set_aside is None
    assert "Ilse Brandt" in names(tmp_path / "new")


def test_broken_references_are_found(desk_dir):
    db = sqlite3.connect(desk_dir / FILE_NAME)
    db.execute("UPDATE clients SET coach_id = 4711 WHERE name = 'Ilse Brandt'")
    db.commit()
    db.close()

    complaint = "a row of clients refers to a row of people that is not there"
    assert backup.examine(desk_dir / FILE_NAME).complaints == (complaint,)
    with pytest.raises(BadCopy):
        keeping.keep_copy(desk_dir, now=NOW)


def test_a_whole_file_has_no_findings(desk_dir):
    assert keeping.look_at_file(desk_dir) == []
    assert backup.examine(desk_dir / FILE_NAME).revision == schema.newest_revision()
