"""The rules of the house that no import contract, linter or type checker can say."""

import re
import tomllib

import pytest

from app.places import bundled
from tests import house_rules as house

# Only these ask the machine for the time; everywhere else it comes in as an argument.
CLOCK_KEEPERS = {"app/web/deps.py", "app/cli.py", "app/main.py"}

# Each exception with its reason beside it. Both are empty, and are best left so.
LONG_FILES_ALLOWED: set[str] = set()
LONG_FUNCTIONS_ALLOWED: dict[str, set[str]] = {}

# The only file that knows htmx's headers.
HTMX_SPEAKER = "app/web/render.py"

SOURCES = house.source_files()
USE_CASES = [path for path in house.source_files(house.APP / "usecases") if path.name != "__init__.py"]
TEMPLATES = sorted(path for path in (house.ROOT / "templates").rglob("*") if path.is_file())
OWN_STATIC = sorted(
    path
    for path in (house.ROOT / "static").rglob("*")
    if path.suffix in {".css", ".js", ".svg", ".webmanifest"} and "vendor" not in path.parts
)


def test_there_is_a_house_to_look_at():
    assert house.APP / "__init__.py" in SOURCES


@pytest.mark.parametrize("folder", ["static/vendor", "tests/vendor"])
def test_vendored_scripts_are_the_ones_that_were_published(folder):
    assert house.checksums(house.ROOT / folder) == house.vendored(house.ROOT / folder)
    assert house.checksums(house.ROOT / folder)


@pytest.mark.parametrize("floor", ["physiology", "coaching"])
def test_pure_floors_import_the_standard_library_and_numpy_only(floor):
    offences = {
        house.short(path): found
        for path in house.source_files(house.APP / floor)
        if (found := house.impure_imports(path.read_text(encoding="utf-8"), floor))
    }

    assert offences == {}


def test_use_cases_never_call_each_other():
    offences = {
        house.short(path): found
        for path in USE_CASES
        if (found := house.sideways_imports(path.read_text(encoding="utf-8"), _area(path)))
    }

    assert offences == {}


def _area(path):
    return path.relative_to(house.APP / "usecases").parts[0].removesuffix(".py")


def test_only_the_clock_keepers_ask_for_the_time():
    offences = {
        house.short(path): found
        for path in SOURCES
        if house.short(path) not in CLOCK_KEEPERS
        and (found := house.clock_readings(path.read_text(encoding="utf-8")))
    }

    assert offences == {}


def test_no_file_is_too_long_to_read_in_one_sitting():
    lengths = {house.short(path): len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES}

    too_long = {name: lines for name, lines in lengths.items() if lines > house.MOST_LINES_IN_A_FILE}

    assert too_long.keys() == LONG_FILES_ALLOWED, too_long


def test_no_function_is_too_long_to_hold_in_the_head():
    too_long = {
        house.short(path): found
        for path in SOURCES
        if (found := house.long_functions(path.read_text(encoding="utf-8")))
    }

    assert {name: set(found) for name, found in too_long.items()} == LONG_FUNCTIONS_ALLOWED, too_long


def test_only_render_speaks_htmx():
    offences = {
        house.short(path): found
        for path in SOURCES
        if house.short(path) != HTMX_SPEAKER
        and (found := house.strings_with_htmx_headers(path.read_text(encoding="utf-8")))
    }

    assert offences == {}


def test_templates_carry_no_style_handler_script_or_remote_address():
    offences = {
        house.short(path): found
        for path in TEMPLATES
        if (found := house.template_offences(path.read_text(encoding="utf-8")))
    }

    assert offences == {}


def test_own_stylesheets_and_scripts_name_no_remote_address():
    offences = {
        house.short(path): found
        for path in OWN_STATIC
        if (found := house.remote_addresses(path.read_text(encoding="utf-8")))
    }

    assert offences == {}


def test_the_two_lists_of_run_time_packages_are_equal():
    project = tomllib.loads((house.ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    pinned_from = (house.ROOT / "requirements.in").read_text(encoding="utf-8").splitlines()

    assert house.required_names(project["dependencies"]) == house.required_names(pinned_from)


def test_every_pinned_package_has_hashes_and_no_index_is_named():
    lock = (house.ROOT / "requirements-dev.lock").read_text(encoding="utf-8")
    pins = re.findall(r"^([a-z0-9.-]+)==[^\n]*\n(    --hash=sha256:[0-9a-f]{64})?", lock, re.MULTILINE)

    assert {name for name, first_hash in pins if not first_hash} == set()
    assert house.required_names((house.ROOT / "requirements.in").read_text().splitlines()) <= dict(pins).keys()
    assert "://" not in lock
    assert "--index" not in lock


@pytest.mark.parametrize("name", ["templates", "static", "migrations", "demo_data"])
def test_a_checkout_has_every_bundled_folder(name):
    assert bundled(name) == house.ROOT / name


def test_a_missing_folder_is_named_in_the_error():
    with pytest.raises(FileNotFoundError, match="'attic'"):
        bundled("attic")


# The rules themselves are tried on texts that break them, so that a silent rule is noticed.


@pytest.mark.parametrize(
    ("markup", "offence"),
    [
        ('<p style="color: red">', "inline style"),
        ("<svg><style>p {}</style></svg>", "inline style"),
        ('<a onclick="go()">', "inline handler"),
        ('<a hx-on:click="go()">', "inline handler"),
        ("<script>go()</script>", "inline script"),
        ('<a href="javascript:go()">', "code in an attribute"),
        ('<a hx-trigger="click[ctrlKey]">', "code in an attribute"),
        ('<img src="https://example.org/a.png">', "remote address"),
        ('<script src="//example.org/a.js">', "remote address"),
    ],
)
def test_template_rule_notices(markup, offence):
    assert house.template_offences(markup) == [offence]


@pytest.mark.parametrize(
    "markup",
    [
        '{% set once = "x" %}<p class="style">on = off</p>',
        '<script src="/static/js/live.js" defer></script>',
        '<svg xmlns="http://www.w3.org/2000/svg"></svg>',
        '<a href="{{ address }}">',
    ],
)
def test_template_rule_leaves_plain_markup_alone(markup):
    assert house.template_offences(markup) == []


@pytest.mark.parametrize(
    "source",
    ["import datetime\ndatetime.date.today()", "now = datetime.now(UTC)", "time.time()", "field(factory=date.today)"],
)
def test_clock_rule_notices(source):
    assert len(house.clock_readings(source)) == 1


def test_clock_rule_leaves_other_clocks_alone():
    assert house.clock_readings("clock.now()\ntime.monotonic()\nself.date.isoformat()") == []


@pytest.mark.parametrize(
    "source",
    ["from app.usecases import plans", "from app.usecases.plans import publish", "import app.usecases.plans"],
)
def test_sideways_rule_notices(source):
    assert "app.usecases.plans" in house.sideways_imports(source, "readiness")


def test_sideways_rule_lets_the_gate_and_the_own_area_pass():
    source = "from app.usecases.gate import client_record\nfrom app.usecases.readiness.morning import answers"

    assert house.sideways_imports(source, "readiness") == []


@pytest.mark.parametrize("source", ["import scipy", "import sqlite3", "from app.coaching.rules import Rules"])
def test_pure_rule_notices(source):
    assert house.impure_imports(source, "physiology")


def test_pure_rule_lets_numpy_and_lower_floors_pass():
    source = "import math\nimport numpy as np\nfrom app.physiology.values import Missing"

    assert house.impure_imports(source, "coaching") == []


def test_length_rule_counts_code_and_not_the_docstring():
    lines = "\n".join(["    x = 1"] * house.MOST_LINES_IN_A_FUNCTION)
    docstring = '    """One.\n\n    Two.\n    """\n'

    assert house.long_functions(f"def f():\n{docstring}{lines}") == {"f": house.MOST_LINES_IN_A_FUNCTION + 1}
    assert house.long_functions(f"def f():\n{docstring}{lines}".removesuffix("\n    x = 1")) == {}


def test_address_rule_notices_a_fetch_from_elsewhere():
    assert house.remote_addresses('fetch("https://example.org")')
    assert house.remote_addresses('"http://www.w3.org/2000/svg"') == []
