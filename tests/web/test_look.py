"""Contrast of the colours, and what the shells and field macros promise to every page."""

import re
from datetime import UTC, date, datetime
from types import SimpleNamespace

import pytest

from app.coaching.paused_together import PausedTogether
from app.coaching.reasons import Figure, Provenance, Why
from app.places import bundled
from app.web.forms import MISSING, Fields
from app.web.render import environment

TOKENS = bundled("static").joinpath("css/tokens.css").read_text(encoding="utf-8")
LIGHT, DARK = (
    dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{6})", part))
    for part in TOKENS.split("@media (prefers-color-scheme: dark)")
)

TEXT = [
    *(("ink", ground) for ground in ("paper", "sheet", "moss-wash", "alarm-wash")),
    *(("ink-soft", ground) for ground in ("paper", "sheet", "today-band")),
    ("moss-deep", "paper"),
    ("moss-deep", "moss-wash"),
    ("on-moss", "moss"),
    ("on-moss", "moss-deep"),
    ("alarm", "paper"),
    ("alarm", "sheet"),
    ("alarm", "alarm-wash"),
]
MARKS = [
    ("edge", "paper"),
    ("edge", "sheet"),
    ("moss", "paper"),
    ("base-line", "paper"),
    ("plan-line", "effort-easy"),
    ("effort-hard", "effort-easy"),
    ("effort-middle", "effort-middle-ground"),
]


def luminance(colour):
    shares = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "ground"), TEXT)
def test_text_is_readable(scheme, front, ground):
    assert contrast(scheme[front], scheme[ground]) >= 4.5


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("front", "ground"), MARKS)
def test_edges_and_marks_can_be_told_apart(scheme, front, ground):
    assert contrast(scheme[front], scheme[ground]) >= 3


def form_with(values=(), errors=()):
    """A form as it comes back."""
    fields = Fields(dict(values))
    fields.errors += errors
    return fields


def desk(**changes):
    practice = SimpleNamespace(
        name="Millbrook",
        kind=changes.pop("kind", "real"),
        emergency_number="112",
        emergency_words="112",
        phone=None,
        is_set_up=True,
    )
    known = {
        "actor": SimpleNamespace(
            name="Ida Holm", role="coach", is_coach=True, is_head=False, client_id=None, person_id=1
        ),
        "paused_together": PausedTogether(),
        "today": date(2026, 11, 25),
        "now_local": datetime(2026, 11, 25, 6, 40, tzinfo=UTC),
        "practice": practice,
        "path": "/morning",
        "request_id": "r-1",
        "csrf_token": "t",
        "flash": None,
        "is_clock_moved": False,
    }
    return SimpleNamespace(**known | changes)


def shown(template, **changes):
    return environment().get_template(template).render(desk=desk(**changes), sentence=None)


def macro(call, **names):
    source = f'{{% from "macros/forms.html" import {call.split("(")[0]} with context %}}{{{{ {call} }}}}'
    return environment().from_string(source).render(desk=desk(), **names)


@pytest.mark.parametrize("shell", ["base.html", "phone.html", "plain.html"])
def test_every_shell_has_a_skip_link_a_main_and_a_place_for_messages(shell):
    page = shown(shell, flash="Kept.")

    assert '<a class="skip" href="#main">' in page
    assert 'id="main"' in page
    assert '<div id="flash" role="status"><p class="flash">Kept.</p>' in page
    assert '"X-CSRF-Token": "t"' in page


@pytest.mark.parametrize("shell", ["base.html", "phone.html", "plain.html", "print.html"])
@pytest.mark.parametrize(("kind", "words"), [("demo", "Demo practice."), ("simulated", "Simulated practice.")])
def test_a_practice_of_invented_people_says_so_on_every_page(shell, kind, words):
    assert words in shown(shell, kind=kind)
    assert words not in shown(shell)


def test_the_place_one_is_in_is_marked():
    assert '<a href="/morning" aria-current="page">Morning</a>' in shown("base.html")


def test_a_page_may_name_its_place():
    page = environment().from_string('{% extends "base.html" %}{% set here = "roster" %}').render(desk=desk())

    assert '<a href="/roster" aria-current="page">Roster</a>' in page
    assert page.count("aria-current") == 1


def test_every_screen_of_a_client_offers_something_felt_wrong():
    assert '<a class="felt-wrong" href="/me/felt-wrong">Something felt wrong</a>' in shown(
        "phone.html", path="/me/today"
    )


def test_without_a_login_there_is_no_way_to_a_desk():
    assert "/roster" not in shown("base.html", actor=None)


@pytest.mark.parametrize("status", [403, 404, 409, 413, 422, 429, 500, 503])
def test_error_pages_give_the_number_of_the_request(status):
    assert "r-1" in shown(f"errors/{status}.html", actor=None)


def test_an_error_page_says_why_when_it_is_told():
    page = environment().get_template("errors/409.html").render(desk=desk(actor=None), sentence="Ida changed <it>.")

    assert '<p class="lede">Ida changed &lt;it&gt;.</p>' in page


def test_a_clock_set_by_hand_is_named():
    assert "clock was set by hand" in shown("base.html", is_clock_moved=True)
    assert "clock was set by hand" not in shown("base.html")


def test_a_broken_desk_does_not_keep_anyone_from_help():
    assert "112" in shown("errors/500.html", actor=None)


def test_a_field_keeps_what_was_typed_and_ties_its_error():
    fields = form_with({"minutes": '9"h'}, [("minutes", "Did you mean 45 min?")])

    field = macro('minutes(f, "minutes", "How long")', f=fields)

    assert 'value="9&#34;h"' in field
    assert 'aria-describedby="f-minutes-hint f-minutes-error"' in field
    assert 'aria-invalid="true"' in field
    assert '<p class="error" id="f-minutes-error">Did you mean 45 min?</p>' in field


def test_a_field_without_fault_claims_none():
    assert "aria-invalid" not in macro('text(f, "name", "Name")', f=form_with())


def test_a_password_is_never_filled_in_again():
    assert "hush" not in macro('text(f, "password", "Password", type="password")', f=form_with({"password": "hush"}))


def test_the_summary_links_to_each_field():
    fields = form_with(errors=[("minutes", "Too long."), ("talk", "Choose one.")])

    assert '<a href="#f-talk">Choose one.</a>' in macro("error_summary(f)", f=fields)


def test_many_empty_fields_are_counted_in_one_line():
    empty = [(f"q{number}", MISSING) for number in range(4)]
    summary = macro("error_summary(f)", f=form_with(errors=[*empty, ("talk", "Choose one.")]))

    assert '<a href="#f-q0">4 answers are missing; each is marked below</a>' in summary
    assert "Choose one." in summary
    assert MISSING not in summary


def test_radio_choices_have_ids_of_their_own_and_keep_the_answer():
    group = macro('radios(f, "talk", "Talk", [("a", "A"), ("b", "B")])', f=form_with({"talk": "b"}))

    assert re.findall(r'id="([^"]+)"', group) == ["f-talk", "f-talk-2"]
    assert re.search(r'value="b" checked', group)


def test_a_number_chosen_on_a_scale_is_kept():
    group = macro(
        'scale(f, "effort", "Effort", [(0, "rest"), (1, "light")], low="l", high="h")', f=form_with({"effort": "0"})
    )

    assert 'value="0" checked' in group
    assert group.count(" checked") == 1


def test_a_text_area_does_not_let_markup_out():
    assert "&lt;b&gt;" in macro('textarea(f, "note", "Note")', f=form_with({"note": "<b>"}))


def test_every_form_carries_the_hidden_fields_and_works_without_script():
    source = (
        '{% from "macros/forms.html" import form with context %}{% call form("/x", target="part") %}{% endcall %}'
    )

    made = environment().from_string(source).render(desk=desk())

    assert 'action="/x" method="post"' in made
    assert 'hx-post="/x" hx-target="#part"' in made
    assert 'name="csrf_token"' in made


def test_a_why_opens_to_its_figures_rule_and_provenance():
    value = Why(
        (Figure("sleep", "4 h 10"),), "Two nights.", Provenance.COMMON_PRACTICE, would_change="one good night."
    )

    opened = environment().from_string('{% from "macros/why.html" import why %}{{ why(v) }}').render(v=value)

    assert '<th scope="row">sleep</th><td>4 h 10</td>' in opened
    assert "Common practice, no published source." in opened
    assert "What would change it: one good night." in opened
