"""After rounds that were not held: the target they ask for, first on the page, and a question above it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from app.coaching.execution_values import Blame, CountsAs
from app.coaching.lookahead import needs_reason
from app.coaching.lookahead_fit import before_sending
from app.coaching.people import Mode
from app.coaching.session_target import SessionTarget, TargetForm, target_to_json
from app.coaching.target_eased import Eased, eased_after
from app.coaching.target_values import Option
from app.coaching.targets import looked_at_twice, proposed_of, target_options
from tests import factories as make
from tests.coaching.target_scenes import RULES, TODAY, done, history, measured, scene
from tests.coaching.test_next_step import went
from tests.coaching.test_session_target import POWER

BAD, GOOD, NEITHER, UNKNOWN = CountsAs.BAD, CountsAs.GOOD, CountsAs.NEITHER, CountsAs.UNKNOWN
AIMED = replace(POWER, value=253.0, low=243.0, high=254.0)
#: 6 % from the first to the last round, which is more than half of 4 %.
FADED = tuple(make.work_round(number=n + 1, power_w=power) for n, power in enumerate((258.0, 254.0, 249.0, 242.0)))
HELD = tuple(make.work_round(number=n + 1, power_w=240.0) for n in range(4))


def _after(*sessions: Any, work_s: int = 240, mode: Mode = Mode.INDOOR_RIDE, since: date = date.min) -> Eased | None:
    return eased_after(sessions, mode, work_s, since)


def _watts(power_w: float) -> SessionTarget:
    return replace(AIMED, value=power_w, low=None, high=None)


def _faded(*later: Any) -> Any:
    return history(done(21, AIMED, done_rounds=HELD), done(7, AIMED, done_rounds=FADED), *later)


def _draft(power_w: float, **changes: Any) -> Any:
    return make.planned_hard(planned_on=TODAY, target_json=target_to_json(_watts(power_w)), **changes)


def _options(known: Any) -> dict[str, Option]:
    return {one.key: one for one in target_options(scene(known, measured()))}


@pytest.mark.parametrize(
    ("changes", "watts"),
    # 253 W less 5 %, less 10 % after having to bend, less 10 % for a wrong target.
    [({}, 240), ({"had_to_bend": True}, 228), ({"blame": Blame.TARGET_WRONG}, 228)],
)
def test_one_that_was_not_held_asks_for_less(changes, watts):
    found = _after(went(GOOD, 0, target=AIMED), went(BAD, 1, target=AIMED, **changes))

    assert found is not None
    assert found.figure == watts


def test_two_in_a_row_send_rounds_back_and_leave_the_target_where_it_was():
    found = _after(went(BAD, 0, target=AIMED), went(BAD, 1, target=_watts(240.0)))

    assert found is not None
    assert (found.figure, found.is_above(_watts(240.0)), found.is_above(_watts(246.0))) == (240.0, False, True)


def test_rounds_that_aimed_at_nothing_are_eased_from_what_was_done():
    by_power = _after(went(BAD, power_w=250.0))
    by_pace = _after(went(BAD, mode=Mode.RUN, speed_m_per_s=4.0), mode=Mode.RUN)

    # 250 W less 5 % are 237.5 W; 250 s a kilometre at 95 % of the speed are 263 s.
    assert by_power is not None
    assert (by_power.target.form, by_power.figure) == (TargetForm.POWER, 238)
    assert by_pace is not None
    assert (by_pace.target.form, by_pace.figure) == (TargetForm.PACE, 263)
    assert by_pace.is_above(replace(by_pace.target, value=255.0))
    assert not by_pace.is_above(replace(by_pace.target, value=270.0))


@pytest.mark.parametrize(
    "sessions",
    [
        (),
        (went(BAD, 0, target=AIMED), went(GOOD, 1, target=_watts(240.0))),
        (went(GOOD, 0, target=AIMED), went(NEITHER, 1, target=AIMED)),
        (went(UNKNOWN, 0, target=AIMED),),
        (went(BAD, 0, target=AIMED, mode=Mode.ROW),),
        (went(BAD, 0, target=AIMED, work_s=360),),
        (went(BAD, 0),),
    ],
    ids=["nothing done", "held since", "spoilt", "not known", "another way", "longer rounds", "no figure"],
)
def test_nothing_is_eased(sessions):
    assert _after(*sessions) is None


def test_what_lies_before_targets_begin_afresh_is_not_asked():
    bad = went(BAD, target=AIMED)

    assert _after(bad, since=bad.on) is not None
    assert _after(bad, since=date.max) is None


def test_a_spoilt_session_does_not_lift_what_the_one_before_asks():
    assert _after(went(BAD, 0, target=AIMED), went(NEITHER, 1, target=AIMED)) is not None


@pytest.mark.parametrize(("watts", "asks"), [(248.0, True), (241.0, True), (240.35, False), (240.0, False)])
def test_publishing_asks_why_a_target_is_above_what_faded_rounds_ask_for(watts, asks):
    found = before_sending(_faded(), [_draft(watts)], TODAY, RULES)

    said = [one.sentence for one in found if one.kind == "eased"]
    assert bool(said) is asks
    if asks:
        assert needs_reason(found)
        assert f"aims at {watts:.0f} W; the last of these rounds asks for 240 W, 5 % lower after" in said[0]


def test_publishing_says_nothing_of_rounds_without_a_target_or_held_since():
    bare = make.planned_hard(planned_on=TODAY)
    held = _faded(done(3, _watts(240.0), done_rounds=HELD))

    assert "eased" not in [one.kind for one in before_sending(_faded(), [bare], TODAY, RULES)]
    assert "eased" not in [one.kind for one in before_sending(held, [_draft(246.0)], TODAY, RULES)]
    cancelled = _draft(248.0, is_cancelled=True)
    assert "eased" not in [one.kind for one in before_sending(_faded(), [cancelled], TODAY, RULES)]


def test_the_page_of_targets_proposes_the_eased_figure_and_asks_about_the_models():
    found = _options(_faded())
    proposed = proposed_of(list(found.values()))

    assert next(iter(found)) == "eased"
    assert proposed.key == "eased"
    assert proposed.target is not None
    assert (proposed.target.value, proposed.hardest) == (240.0, 240.0)
    assert ("lower by", "5 %") in [(one.name, one.text) for one in proposed.target.why.figures]
    model = found["power_curve"]
    assert list(found)[1:3] == ["power_curve", "power_talk"]
    assert f"would give {model.target.value:.0f} W (even power, from critical power)" in proposed.sentence
    assert model.is_offered
    assert model.target is not None
    assert model.target.value > 241
    assert "240 W, 5 % lower after" in model.far_above


def test_a_figure_typed_above_the_eased_one_is_asked_about():
    known = scene(_faded(), measured())

    assert "240 W" in looked_at_twice(known, _watts(248.0))
    assert looked_at_twice(known, _watts(240.0)) == ""
    assert looked_at_twice(known, None) == ""


def test_no_eased_form_stands_where_the_model_is_as_gentle():
    known = history(done(7, _watts(300.0), done_rounds=FADED))

    found = _options(known)

    assert "eased" not in found
    assert found["power_curve"].far_above == ""
