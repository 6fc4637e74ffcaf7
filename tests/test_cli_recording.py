"""`foothill read-recording`: what it prints, and its one sentence with exit code 2 for a file that is none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.cli import REFUSED, WELL, main
from tests.tracks import gpx, rounds_gpx, steady, table


def written(tmp_path: Path, content: bytes, name: str = "a.gpx") -> str:
    path = tmp_path / name
    path.write_bytes(content)
    return str(path)


def asked(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    assert main(["read-recording", *words, "--json"]) == WELL
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


@pytest.mark.parametrize("plan", [(), ("--rounds", "4", "--work", "240", "--recovery", "240")], ids=["alone", "plan"])
def test_it_prints_series_rounds_verdict_and_reasons(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], plan: tuple[str, ...]
) -> None:
    found = asked(capsys, written(tmp_path, rounds_gpx()), *plan)

    assert list(found) == ["series", "rounds", "verdict", "reasons"]
    assert found["series"]["started_at"] == "2026-11-24T16:30:00+00:00"
    assert len(found["series"]["power_w"]) == len(found["series"]["time_s"]) == 2520
    starts = [one["start_s"] for one in found["rounds"]]
    assert starts == pytest.approx([600, 1080, 1560, 2040], abs=3)
    assert [one["end_s"] - one["start_s"] for one in found["rounds"]] == pytest.approx([240] * 4, abs=6)
    assert found["verdict"] == "even"
    assert found["reasons"]
    assert not [one for one in found["reasons"] if "-0.0" in one]


def test_an_easy_hour_has_no_rounds_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = asked(capsys, written(tmp_path, gpx(steady(1800))))

    assert (found["rounds"], found["verdict"]) == ([], None)
    assert found["reasons"]


def test_without_json_it_speaks_in_lines(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read-recording", written(tmp_path, rounds_gpx())]) == WELL

    said = capsys.readouterr().out
    assert "42:00 recorded: power_w, heart_rate_bpm, speed_m_per_s, distance_m." in said
    assert "Verdict: even." in said


@pytest.mark.parametrize(
    ("content", "words", "sentence"),
    [
        (b"", (), "The file is empty."),
        (b"<!DOCTYPE gpx><gpx/>", (), "declares a document type"),
        (b"<gpx><trk><trkseg/></trk></gpx>", (), "no track"),
        (table("time (s),speed", ("0,3", "1,3")), (), "--say speed_m_per_s=m/s|km/h|mph"),
        (rounds_gpx(), ("--rounds", "4"), "belong together"),
        (rounds_gpx(), ("--rounds", "0", "--work", "240", "--recovery", "240"), "A set has 1 to"),
        (rounds_gpx(), ("--rounds", "9" * 14, "--work", "240", "--recovery", "240"), "A set has 1 to"),
        (rounds_gpx(), ("--rounds", "4", "--work", "9" * 14, "--recovery", "240"), "longer than a day"),
        (rounds_gpx(), ("--say", "speed"), "not written as what=answer"),
    ],
)
def test_a_bad_file_is_one_sentence_and_exit_code_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes, words: tuple[str, ...], sentence: str
) -> None:
    assert main(["read-recording", written(tmp_path, content), *words]) == REFUSED

    said = capsys.readouterr()
    assert sentence in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""


@pytest.mark.parametrize(("name", "reason"), [("none.gpx", "no such file"), (".", "is a directory")])
def test_a_file_that_is_not_there_is_one_sentence_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, reason: str
) -> None:
    assert main(["read-recording", str(tmp_path / name), "--json"]) == REFUSED

    said = capsys.readouterr()
    assert reason in said.err
    assert (said.err.count("\n"), said.out) == (1, "")


def test_a_table_is_read_once_its_units_are_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    content = table("seconds,speed,hr", [f"{n},10,140" for n in range(120)])

    found = asked(
        capsys, written(tmp_path, content, "a.csv"), "--say", "speed_m_per_s=km/h", "--say", "speed_source=wheel"
    )

    assert found["series"]["speed_m_per_s"][60] == pytest.approx(10 / 3.6, abs=0.001)
