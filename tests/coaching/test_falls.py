"""Blood thinners make any fall one for a clinician, whichever fall was chosen."""

from __future__ import annotations

import json

import pytest

from app.coaching.falls import sign_with_thinners, takes_blood_thinners
from tests.factories import answers, history


def taking(**medicines: str):
    return history(screening=(answers(details_json=json.dumps({"medicines": medicines})),))


@pytest.mark.parametrize(
    ("reply", "takes"), [("yes", True), ("not_sure", True), ("no", False)], ids=["yes", "not sure", "no"]
)
def test_not_sure_counts_as_yes(reply: str, takes: bool) -> None:
    assert takes_blood_thinners(taking(blood_thinner=reply)) is takes


def test_another_medicine_and_no_answers_are_none() -> None:
    assert not takes_blood_thinners(taking(statin="yes"))
    assert not takes_blood_thinners(history())


@pytest.mark.parametrize(
    ("sign", "counts_as"), [("fall", "fall_head"), ("fall_head", "fall_head"), ("joint", "joint"), ("kit", "kit")]
)
def test_only_a_fall_becomes_a_clinicians(sign: str, counts_as: str) -> None:
    assert sign_with_thinners(sign, taking(blood_thinner="yes")) == counts_as
    assert sign_with_thinners(sign, taking(blood_thinner="no")) == sign
