"""Puts every fault into a module, one at a time and in a copied tree, and counts which ones its tests notice."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from tests.prove.mutants import Mutant, mutants
from tests.prove.mutation_server import KILLED, SURVIVED
from tests.prove.report import CHECKOUT

EXPLAINED = Path(__file__).with_name("survivors.toml")
_COPIED = ("app", "tests", "templates", "static", "migrations", "demo_data", "pyproject.toml")
#: No plug-in is needed, and each would be loaded anew for every fault; more threads would only wait for each other.
_ENVIRONMENT = dict.fromkeys(
    ("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1"
)


@dataclass(frozen=True, slots=True)
class Proved:
    """A module and the test files that must notice its faults; each sees what the ones before let pass."""

    module: str
    tests: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of the faults of one module."""

    module: str
    mutants: int
    survivors: tuple[Mutant, ...]

    @property
    def killed(self) -> int:
        """Faults that a test noticed."""
        return self.mutants - len(self.survivors)


def outcome(proved: Proved, folder: Path, workers: int) -> Outcome:
    """Try every fault of a module; each worker has a tree of its own, and the checkout is only read."""
    found = mutants((CHECKOUT / "app" / proved.module).read_text(encoding="utf-8"))
    shares = [found[first::workers] for first in range(workers)]
    with ThreadPoolExecutor(workers) as pool:
        survivors = list(
            pool.map(lambda place: _survivors(proved, _tree(folder, place), shares[place]), range(workers))
        )
    order = {one.key: place for place, one in enumerate(found)}
    together = sorted((one for share in survivors for one in share), key=lambda one: order[one.key])
    return Outcome(proved.module, len(found), tuple(together))


def explanations(module: str) -> dict[tuple[str, str, str, int], str]:
    """Why each survivor of a module may live, by what tells it from every other fault."""
    listed = tomllib.loads(EXPLAINED.read_text(encoding="utf-8")).get(module, [])
    return {(one["where"], one["line"], one["change"], one.get("repeat", 1)): one["why"] for one in listed}


def _tree(folder: Path, place: int) -> Path:
    tree = folder / f"tree-{place}"
    if not tree.exists():
        tree.mkdir(parents=True)
        for name in _COPIED:
            if (CHECKOUT / name).is_dir():
                shutil.copytree(CHECKOUT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(CHECKOUT / name, tree / name)
    return tree


def _survivors(proved: Proved, tree: Path, share: list[Mutant]) -> list[Mutant]:
    job = {"module": f"app/{proved.module}", "tests": proved.tests, "sources": [one.source for one in share]}
    done = subprocess.run(
        [sys.executable, "-m", "tests.prove.mutation_server"],
        cwd=tree,
        env={**os.environ, **_ENVIRONMENT},
        input=json.dumps(job),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise AssertionError(f"{proved.module}: {done.stderr[-3000:]}")
    nothing_works, *verdicts = done.stdout.split()
    assert nothing_works == KILLED, f"{proved.module}: its tests pass without it, so they read another copy"
    return [one for one, verdict in zip(share, verdicts, strict=True) if verdict == SURVIVED]
