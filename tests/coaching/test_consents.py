"""Consents: which one is in force, what waits for a missing one, and texts that never change under their version."""

from __future__ import annotations

import hashlib
from datetime import date, timedelta

import pytest

from app.coaching.consents import (
    ASKED_FOR_EVERYTHING,
    ASKED_FOR_HARD_WORK,
    CONSENT_TEXTS,
    LANGUAGE_WORDS,
    WAITS_FOR,
    current_consent,
    missing_consents,
    missing_words,
    sha256_of,
    told_of_missing,
)
from app.coaching.screening import ConsentKind
from tests.factories import TODAY, consent

COACHING, HEALTH = ConsentKind.COACHING, ConsentKind.HEALTH_DATA
INTERVALS, SIGNS = ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def agreed(kind: ConsentKind = INTERVALS, **changes):
    return consent(kind, **({"text_version": CONSENT_TEXTS[kind].version} | changes))


#: What was agreed to has to stay what it was: whoever changes a word gives the text a new version and its mark here.
MARKS = {
    (COACHING, "2026-2"): "1ed8ea852eeacf49deba9d2bdef0fb5ee831e801feefedbff9c9b5e7b8c8207f",
    (HEALTH, "2026-1"): "691cf5d983750120262b1ea62fcfa0915ab4a9d925d722fbaf980bcc5424940e",
    (INTERVALS, "2026-1"): "fcfd1bda265e46db3478e5aeefeb83050bd5c0ab5306734ab1fe49ecfcf00769",
    (SIGNS, "2026-1"): "e7dac6afd5b5f588ddf66806abd9dc9ac3ca24851d03025dcaf83f3f3e067fe3",
}


def test_a_text_never_changes_under_its_version() -> None:
    assert {(kind, one.version): one.sha256 for kind, one in CONSENT_TEXTS.items()} == MARKS


def test_the_mark_is_of_the_whole_text_with_its_title() -> None:
    text = CONSENT_TEXTS[SIGNS]
    whole = "\n\n".join([text.title, *text.paragraphs])

    assert text.text == whole
    assert text.sha256 == sha256_of(whole) == hashlib.sha256(whole.encode()).hexdigest()


# Screening and safety reference 5 (general practice, second-hand): what a consent has to cover.
@pytest.mark.parametrize(
    ("kind", "covered"),
    [
        (COACHING, "What will happen"),
        (COACHING, "sudden death"),
        (COACHING, "Nobody can promise how much"),
        (COACHING, "Say so when you have a symptom"),
        (COACHING, "does not diagnose"),
        (COACHING, "train in another way instead"),
        (COACHING, "stop at any time"),
        (COACHING, "call the emergency number first"),
        (COACHING, "agree only when it is answered"),
        (HEALTH, "What is kept"),
        (HEALTH, "Who sees it"),
        (HEALTH, "how long"),
        (HEALTH, "take this consent back at any time"),
        (INTERVALS, "hard work makes heart trouble more likely"),
        (INTERVALS, "Nobody can promise it"),
        (INTERVALS, "go back to it at any time"),
        (INTERVALS, "asked again when the programme or your risk changes"),
        (SIGNS, "chest, jaw, neck or arm"),
        (SIGNS, "simply if you want to"),
        (SIGNS, "one side is weak"),
        (SIGNS, "No training until it has been looked at"),
    ],
)
def test_each_text_covers_what_it_has_to(kind: ConsentKind, covered: str) -> None:
    assert covered in CONSENT_TEXTS[kind].text


def test_every_kind_has_a_text_of_its_own() -> None:
    assert {kind: one.kind for kind, one in CONSENT_TEXTS.items()} == {kind: kind for kind in ConsentKind}


def test_the_language_of_each_text_has_a_name() -> None:
    assert {LANGUAGE_WORDS[one.language] for one in CONSENT_TEXTS.values()} == {"English"}


def test_hard_work_asks_for_two_of_them_and_all_training_for_the_others() -> None:
    assert ASKED_FOR_HARD_WORK == (INTERVALS, SIGNS)
    assert ASKED_FOR_EVERYTHING == (COACHING, HEALTH)


@pytest.mark.parametrize(
    ("changes", "is_in_force"),
    [
        ({}, True),
        ({"withdrawn_on": TODAY}, False),
        ({"text_version": "2025-9"}, False),
        ({"kind": SIGNS}, False),
    ],
)
def test_a_consent_is_in_force_to_its_own_text_until_it_is_taken_back(changes: dict, is_in_force: bool) -> None:
    given = (consent(**({"kind": INTERVALS, "text_version": CONSENT_TEXTS[INTERVALS].version} | changes)),)

    assert (current_consent(given, INTERVALS) is not None) is is_in_force


def test_the_last_one_given_counts() -> None:
    early, late = agreed(id=3, given_on=ago(9)), agreed(id=2, given_on=ago(4))
    same_day = agreed(id=4, given_on=ago(4))

    assert current_consent((early, late), INTERVALS) == current_consent((late, early), INTERVALS) == late
    assert current_consent((same_day, late), INTERVALS) == current_consent((late, same_day), INTERVALS) == same_day
    assert current_consent((), INTERVALS) is None


def test_those_that_are_missing_are_named_in_the_order_asked() -> None:
    assert missing_consents((agreed(SIGNS),), (SIGNS, INTERVALS, COACHING)) == (INTERVALS, COACHING)
    assert missing_consents((agreed(), agreed(SIGNS)), ASKED_FOR_HARD_WORK) == ()


def test_what_waits_for_a_missing_one_is_said() -> None:
    given = tuple(agreed(kind) for kind in ConsentKind)

    assert missing_words(given) is None
    assert missing_words(given[:3]) == "Not agreed to yet: When to stop; the interval phase waits for it."
    assert missing_words(()) == (
        "Not agreed to yet: Being coached and Keeping your health answers; ask before "
        "training begins or goes on. Not agreed to yet: Starting hard work and When to stop; the interval phase "
        "waits for it."
    )
    assert "; ask before more is kept" in str(missing_words([one for one in given if one.kind is not HEALTH]))
    assert missing_words([one for one in given if one.kind is not INTERVALS]) == (
        "Not agreed to yet: Starting hard work; the interval phase waits for it."
    )
    assert set(WAITS_FOR) == set(ConsentKind)


@pytest.mark.parametrize(
    ("kind", "waits"),
    [
        (COACHING, "before training begins or goes on"),
        (HEALTH, "before more of your health answers are kept"),
        (INTERVALS, "before any hard work"),
        (SIGNS, "before any hard work"),
    ],
)
def test_a_client_reads_of_each_text_not_agreed_to_when_it_is_talked_over(kind: ConsentKind, waits: str) -> None:
    title = CONSENT_TEXTS[kind].title
    others = tuple(agreed(other) for other in ConsentKind if other is not kind)

    assert told_of_missing(others, tuple(ConsentKind)) == (
        f"“{title}”: your coach sees that it is open and talks it over with you {waits}.",
    )
    assert told_of_missing((*others, agreed(kind)), tuple(ConsentKind)) == ()
