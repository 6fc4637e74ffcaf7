"""What the desk guesses on its own: the machine's zone, always one that a form accepts."""

from __future__ import annotations

import pytest

from app.coaching.typed_values import zone_name
from app.settings import local_zone


@pytest.mark.parametrize(
    ("key", "zone"),
    [
        ("Europe/Berlin", "Europe/Berlin"),
        ("Etc/UTC", "Etc/UTC"),
        ("Etc/GMT+3", "UTC"),
        ("posix/Europe/Berlin", "UTC"),
        ("Nowhere/At_All", "UTC"),
    ],
)
def test_a_new_practice_begins_with_a_zone_its_forms_accept(tmp_path, key, zone):
    file = tmp_path / "zoneinfo" / key
    file.parent.mkdir(parents=True)
    file.touch()
    clock = tmp_path / "localtime"
    clock.symlink_to(file)

    found = local_zone(clock)

    assert found == zone
    assert zone_name(found) == zone


def test_a_machine_without_a_clock_file_begins_with_utc(tmp_path):
    assert local_zone(tmp_path / "localtime") == "UTC"
