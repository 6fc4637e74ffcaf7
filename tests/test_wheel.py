"""The wheel carries everything and runs outside the checkout."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

from app import __version__
from tests.serving import Desk, Visitor

CHECKOUT = Path(__file__).resolve().parent.parent
PASSWORD = "four white sails off the point"

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with nothing in it but what the wheel brought: site and foothill as an installer puts them there."""
    folder = tmp_path_factory.mktemp("installed")
    run(CHECKOUT, sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder / "dist"))
    [wheel] = (folder / "dist").glob("foothill-*.whl")
    quiet = ("--quiet", "--disable-pip-version-check", "--no-index", "--no-deps")
    run(folder, sys.executable, "-m", "pip", "install", *quiet, "--target", str(folder / "site"), str(wheel))
    return folder


def run(folder: Path, *command: str, typed: str = "", path: str = "") -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": path}
    done = subprocess.run(
        command, cwd=folder, env=environment, input=typed, capture_output=True, text=True, timeout=180, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done


def path_of(place: Path) -> str:
    """The wheel's folder first, the libraries of this environment after it; the checkout is nowhere."""
    return os.pathsep.join((str(place / "site"), sysconfig.get_path("purelib")))


def foothill(place: Path, *arguments: object, typed: str = "") -> subprocess.CompletedProcess[str]:
    program = (sys.executable, "-S", str(place / "site" / "bin" / "foothill"))
    return run(place, *program, *map(str, arguments), typed=typed, path=path_of(place))


def test_the_wheel_is_what_runs(place):
    where = run(
        place, sys.executable, "-S", "-c", "import app; print(app.__file__, app.__version__)", path=path_of(place)
    )

    assert where.stdout.split() == [str(place / "site" / "app" / "__init__.py"), __version__]
    assert foothill(place, "--version").stdout == f"foothill {__version__}\n"


def test_it_carries_every_file_that_is_not_code(place):
    bundled = place / "site" / "app" / "_bundled"
    for name in ("templates", "static", "migrations", "demo_data"):
        ours = {path.relative_to(CHECKOUT / name) for path in (CHECKOUT / name).rglob("*") if is_kept(path)}
        there = {path.relative_to(bundled / name) for path in (bundled / name).rglob("*") if is_kept(path)}
        assert ours
        assert ours - there == set()


def is_kept(path: Path) -> bool:
    return path.is_file() and "__pycache__" not in path.parts


def test_a_desk_is_made_checked_and_served_from_it(place, monkeypatch):
    data = place / "practice"
    command = ("create-coach", "--data", data, "--email", "ann@b.example", "--name", "Ann", "--password-stdin")
    assert "Ann signs in as" in foothill(place, *command, typed=f"{PASSWORD}\n").stdout
    assert foothill(place, "check", "--data", data).stdout == "All is well.\n"
    monkeypatch.chdir(place)
    monkeypatch.setenv("PYTHONPATH", path_of(place))
    desk = Desk(data, program=[sys.executable, "-S", str(place / "site" / "bin" / "foothill")])
    try:
        visitor = Visitor(desk)
        page = visitor.get("/sign-in")
        static = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text))
        found = {address: visitor.get(address).status for address in static}
        morning = visitor.sign_in("ann@b.example", PASSWORD)
    finally:
        code = desk.stop()

    assert (page.status, morning.path, morning.status, code) == (200, "/morning", 200, 0)
    assert static
    assert set(found.values()) == {200}
