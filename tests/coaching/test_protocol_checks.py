"""An entry of the practice's own is held to rounds people can do and to words that stay safe."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.people import Mode
from app.coaching.protocol_checks import asks_too_much, problems_of
from app.coaching.protocol_library import Library, OwnDraft, modes_json, own_draft
from app.coaching.protocols import PROTOCOLS, protocol_of, source_words
from app.coaching.session_steps import steps_for
from app.coaching.steps import Part, flatten, from_json, to_json, work_rounds
from tests.seed import NOW

OWN = own_draft(protocol_of("four_by_four"), name="Mill lane fours")


def _fields(draft: OwnDraft, *taken: str) -> list[str]:
    return [name for name, _ in problems_of(draft, taken=taken)]


@pytest.mark.parametrize("protocol", PROTOCOLS.values(), ids=lambda p: p.key)
def test_a_copy_of_any_entry_may_be_kept_as_it_is(protocol):
    assert problems_of(own_draft(protocol, name="A copy"), taken=()) == ()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"work_s": 9}, "work"),
        ({"work_s": 1201, "recovery_s": 301, "rounds": 2, "rounds_most": 2}, "work"),
        ({"work_s": 721, "recovery_s": 300}, "rounds_most"),
        ({"rounds": 1}, "rounds"),
        ({"rounds_least": 5}, "rounds_least"),
        ({"rounds_most": 41, "work_s": 15, "recovery_s": 15}, "rounds_least"),
        ({"recovery_s": 59}, "recovery"),
        ({"work_s": 480, "recovery_s": 119}, "recovery"),
        ({"work_s": 30, "recovery_s": 7}, "recovery"),
        ({"recovery_s": 1201}, "recovery"),
        ({"set_of": 1, "set_recovery_s": 300}, "set_of"),
        ({"set_of": 4, "set_recovery_s": 300}, "set_of"),
        ({"set_of": 2, "set_recovery_s": 240}, "set_recovery"),
        ({"set_of": 0, "set_recovery_s": 300}, "set_of"),
        ({"modes_json": modes_json(())}, "modes"),
        ({"modes_json": modes_json((Mode.RUN, Mode.STRENGTH))}, "modes"),
        ({"name": "MILE rounds"}, "name"),
        ({"purpose": "Hold 150 beats a minute."}, "purpose"),
        ({"also_words": "The last one all out."}, "also_words"),
        ({"also_words": "Effort 9 at the end."}, "also_words"),
        ({"finish_rule": "Until exhaustion: go to exhaustion."}, "finish_rule"),
    ],
    ids=str,
)
def test_what_is_out_of_bounds_is_refused_beside_its_field(wrong, field):
    assert _fields(replace(OWN, **wrong), "Mile rounds") == [field]


@pytest.mark.parametrize(
    "edge",
    [
        {"work_s": 10, "recovery_s": 5},
        {"work_s": 1200, "recovery_s": 300, "rounds": 2, "rounds_least": 1, "rounds_most": 2},
        {"work_s": 720, "recovery_s": 180},
        {"work_s": 480, "recovery_s": 120},
        {"work_s": 119, "recovery_s": 30},
        {"set_of": 2, "set_recovery_s": 241},
        {"also_words": "Never a sprint, not all out, never above effort 8."},
    ],
    ids=str,
)
def test_what_lies_just_within_is_kept(edge):
    assert _fields(replace(OWN, **edge)) == []


@pytest.mark.parametrize(
    ("text", "too_much"),
    [
        ("Never a sprint.", False),
        ("Sprint the last.", True),
        ("Not all out.", False),
        ("All-out from the gun.", True),
        ("Effort 8 at most.", False),
        ("effort of 10", True),
        ("9 out of 10", True),
        ("At most 10 of them.", False),
        ("As hard as you can.", True),
    ],
)
def test_only_what_sends_somebody_above_effort_eight_is_too_much(text, too_much):
    assert asks_too_much(text) is too_much


def _written(work_s: int, recovery_s: int, counts: list[int], sets: tuple[int, int], mode: Mode) -> OwnDraft:
    least, usual, most = counts
    rounds = {
        "rounds_least": least,
        "rounds": usual,
        "rounds_most": most,
        "set_of": sets[0],
        "set_recovery_s": sets[1],
    }
    return replace(OWN, work_s=work_s, recovery_s=recovery_s, modes_json=modes_json((mode,)), **rounds)


@given(
    st.builds(
        _written,
        st.integers(10, 300),
        st.integers(5, 400),
        st.lists(st.integers(1, 40), min_size=3, max_size=3).map(sorted),
        st.one_of(st.just((0, 0)), st.tuples(st.integers(2, 12), st.integers(6, 1200))),
        st.sampled_from([Mode.RUN, Mode.SWIM]),
    ).filter(lambda draft: not problems_of(draft, taken=()))
)
def test_whatever_passes_makes_a_session_every_page_can_carry(draft):
    protocol = replace(
        protocol_of("four_by_four"), **{name: getattr(draft, name) for name in ROUNDS}, modes=draft.modes
    )
    mode = draft.modes[0]

    for rounds in (draft.rounds_least, draft.rounds_most):
        steps = steps_for(protocol, mode=mode, rounds=rounds, age=50, first_of_phase=True)
        assert from_json(to_json(steps)) == steps
        assert work_rounds(steps) == rounds
        assert sum(s.duration_s for s in flatten(steps) if s.part is Part.WORK) == rounds * draft.work_s


ROUNDS = ("work_s", "recovery_s", "rounds", "rounds_least", "rounds_most", "set_of", "set_recovery_s", "also_words")


def test_rounds_in_water_of_the_practices_own_say_never_alone():
    own = replace(protocol_of("four_by_four"), modes=(Mode.SWIM,))
    steps = steps_for(own, mode=Mode.SWIM, rounds=2, age=50, first_of_phase=False)

    assert all("Never alone in the water." in step.say for step in flatten(steps) if step.part is Part.WORK)


def test_an_own_entry_claims_no_source(own_of_library):
    own = own_of_library.offered["own_7"]

    assert source_words(own) == "common practice, no published source"
    assert "Helgerud" not in own.evidence
    assert own_of_library.own_entry("four_by_four") is None
    assert own_of_library.own_entry("own_7") == own


@pytest.fixture
def own_of_library():
    from app.coaching.protocol_library import OwnProtocol

    values = {name: getattr(OWN, name) for name in OwnDraft.__dataclass_fields__}
    kept = OwnProtocol(
        id=7, **values, copied_from="four_by_four", created_at=NOW, person_id=1, revision=1, retired_at=None
    )
    return Library((kept,))
