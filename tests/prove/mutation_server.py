"""Tries the faults of one module in a copied tree, each in a process of its own forked from this one.

Started as a program by mutation_run.py, in the copied tree: reads a job from standard input and prints a verdict a
line. Forking spares every trial the seconds in which pytest, NumPy and their like are imported; what is ours is
imported afresh each time.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import json
import os
import resource
import signal
import sys
import time
import traceback
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings

SURVIVED, KILLED = "survived", "killed"
#: One trial may take this much longer than the same tests without a fault.
_PATIENCE, _LEAST_PATIENCE_S = 10.0, 20.0
#: A fault may make a loop that eats memory.
_MOST_MEMORY_BYTES = 4 * 1024**3
_EXAMPLES = 25
_TESTS_FAILED_OR_STOPPED = (pytest.ExitCode.TESTS_FAILED, pytest.ExitCode.INTERRUPTED, pytest.ExitCode.INTERNAL_ERROR)
_OPTIONS = ("-q", "-x", "--noconftest", "-p", "no:cacheprovider")
_IMPORTED_ONCE = ("numpy", "pandas", "scipy.integrate", "scipy.optimize", "scipy.stats")


def main() -> None:
    """Read a job, prove that its tests tell a sound module from none, try each fault."""
    job = json.load(sys.stdin)
    module, tests = Path(job["module"]), job["tests"]
    for name in _IMPORTED_ONCE:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    settings.register_profile(
        "mutation",
        derandomize=True,
        database=None,
        deadline=None,
        max_examples=_EXAMPLES,
        phases=(Phase.explicit, Phase.generate),
        suppress_health_check=list(HealthCheck),
    )
    settings.load_profile("mutation")
    sys.dont_write_bytecode = False  # whatever the environment says: compiled once, not anew in every trial
    gc.freeze()  # what was imported stays; to look it through in every trial would take half of its time
    patience = [_sound(test) for test in tests]
    sys.dont_write_bytecode = True
    for compiled in module.parent.glob(f"__pycache__/{module.stem}.*"):
        compiled.unlink()  # it is as old and may be as long as a changed module, and would be taken for it
    sound = module.read_text(encoding="utf-8")
    try:
        for source in ("raise RuntimeError('nothing works')\n", *job["sources"]):
            module.write_text(source, encoding="utf-8")
            print(_verdict(tests, patience), flush=True)
    finally:
        module.write_text(sound, encoding="utf-8")


def _sound(test: str) -> float:
    begin = time.monotonic()
    code = _trial(test, 600.0, is_quiet=False)
    if code != pytest.ExitCode.OK:
        raise SystemExit(f"Without a fault {test} ends with {code}")
    return max(_LEAST_PATIENCE_S, _PATIENCE * (time.monotonic() - begin))


def _verdict(tests: list[str], patience: list[float]) -> str:
    for test, seconds in zip(tests, patience, strict=True):
        code = _trial(test, seconds)
        if code is None or code in _TESTS_FAILED_OR_STOPPED:
            return KILLED
        if code != pytest.ExitCode.OK:
            raise SystemExit(f"pytest could not run {test}: it ended with {code}")
    return SURVIVED


def _trial(test: str, seconds: float, *, is_quiet: bool = True) -> int | None:
    """How pytest ends in a fork of this process; None when it had to be ended or fell over."""
    child = os.fork()
    if child == 0:
        _run(test, is_quiet=is_quiet)
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        found, status = os.waitpid(child, os.WNOHANG)
        if found:
            return os.WEXITSTATUS(status) if os.WIFEXITED(status) else None
        time.sleep(0.005)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


def _run(test: str, *, is_quiet: bool) -> None:
    code = int(pytest.ExitCode.INTERNAL_ERROR)
    try:
        resource.setrlimit(resource.RLIMIT_AS, (_MOST_MEMORY_BYTES, _MOST_MEMORY_BYTES))
        out = os.open(os.devnull, os.O_WRONLY) if is_quiet else sys.stderr.fileno()
        os.dup2(out, sys.stdout.fileno())
        os.dup2(out, sys.stderr.fileno())
        code = int(pytest.main([*_OPTIONS, test]))
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    main()
