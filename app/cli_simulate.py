"""A simulated practice from the command line."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path

from app import simulation
from app.coaching.practice import PracticeKind
from app.coaching.reasons import DomainError
from app.storage import practice
from app.storage.database import FILE_NAME, hold_folder, open_engine, unit_of_work

_WELL = 0


def take(one: argparse.ArgumentParser, *, now: Callable[[], datetime]) -> None:
    """What the command takes; now: the clock to ask when no day is given."""
    one.add_argument("--clients", type=int, required=True, metavar="N")
    one.add_argument("--years", type=float, required=True, metavar="Y")
    one.add_argument("--seed", type=int, required=True, metavar="S", help="the same seed gives the same people")
    one.add_argument(
        "--data", type=Path, required=True, metavar="DIR", help="an earlier simulation there is replaced"
    )
    one.add_argument("--today", type=_day, metavar="YYYY-MM-DD", help="the day its years lead up to")
    one.set_defaults(command=partial(simulate, now=now))


def simulate(given: argparse.Namespace, *, now: Callable[[], datetime]) -> int:
    """Write the practice and print one line of JSON."""
    today = given.today or now().astimezone().date()
    with hold_folder(given.data):
        _clear(given.data)
        made = simulation.build(given.data, clients=given.clients, years=given.years, seed=given.seed, today=today)
    print(json.dumps(made), flush=True)
    return _WELL


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day like 2026-10-05") from None


def _clear(data_dir: Path) -> None:
    """Make room for a new one. Raises: DomainError when the folder holds anything but a simulation."""
    if not (data_dir / FILE_NAME).exists():
        return
    engine = open_engine(data_dir)
    try:
        with unit_of_work(engine, write=False) as db:
            found = practice.found(db)
    finally:
        engine.dispose()
    if found is None or found.kind is not PracticeKind.SIMULATED:
        raise DomainError(
            f"{data_dir} holds a practice that is not simulated; it is left alone. Choose another --data."
        )
    for path in data_dir.glob(f"{FILE_NAME}*"):
        path.unlink()
