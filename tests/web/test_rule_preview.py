"""A rule tried on today's morning before it is changed."""

from __future__ import annotations

from tests import seed
from tests.plan_scenes import words_of


def test_it_says_who_would_come_and_changes_nothing(head, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_calm_client(db, coach_id=people.coach.id, name="Ada Fenn", spoken_days_ago=10)

    tried = words_of(head.get("/practice/rules/contact_days/try?value=7"))

    assert "Ada Fenn" in tried.split("Would go")[1]
    assert "Now: 14" in words_of(head.get("/practice/rules/contact_days/try"))


def test_a_guard_is_not_tried_looser(head):
    page = head.get("/practice/rules/spacing_h/try?value=40")

    assert page.status_code == 422


def test_a_rule_no_line_uses_says_so(head):
    assert "No line of the morning uses this rule" in words_of(head.get("/practice/rules/easier_every/try?value=3"))


def test_it_is_the_head_coachs(coach):
    assert coach.get("/practice/rules/contact_days/try?value=7").status_code == 403
