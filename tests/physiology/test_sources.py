"""The bibliography holds every key the code names, and nothing it cannot stand behind."""

import re

import pytest

from app.physiology.sources import SOURCES
from tests.house_rules import APP, short, source_files

KEY = re.compile(r"\[([a-z_]+[0-9]{4}[a-z]?)\]")
USED = {(short(path), key) for path in source_files(APP) for key in KEY.findall(path.read_text(encoding="utf-8"))}


def test_the_code_names_sources():
    assert ("app/physiology/effort_scales.py", "borg2001") in USED


@pytest.mark.parametrize(("file", "key"), sorted(USED))
def test_every_key_in_the_code_is_in_the_bibliography(file, key):
    assert key in SOURCES, f"{file} names [{key}]"


@pytest.mark.parametrize("source", SOURCES.values(), ids=lambda source: source.key)
def test_a_source_names_its_year_in_its_key(source):
    assert KEY.fullmatch(f"[{source.key}]")
    assert source.key.rstrip("abcdefghijklmnopqrstuvwxyz_").endswith(str(source.year))
    assert source.authors
    assert source.where
    assert source.about.endswith(".")


@pytest.mark.parametrize("source", SOURCES.values(), ids=lambda source: source.key)
def test_a_doi_is_a_bare_one(source):
    assert source.doi is None or re.fullmatch(r"10\.\d{4,9}/\S+", source.doi)


def test_keys_are_in_the_order_of_the_alphabet():
    assert list(SOURCES) == sorted(SOURCES)


def test_a_source_is_named_in_a_sentence_by_authors_and_year():
    assert SOURCES["riebe2015"].short == "Riebe et al. 2015"
