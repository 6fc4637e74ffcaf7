"""The command line: serve the desk, and everything that is done while it stands still."""

from __future__ import annotations

import argparse
import importlib
import json
import logging
import os
import secrets
import signal
import socket
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path

import uvicorn
from fastapi import FastAPI
from sqlalchemy import Engine

from app import __version__, cli_recording, cli_simulate
from app.cli_password import asked_password
from app.cli_workings import AS_JSON, COMMAND, options_last, told
from app.coaching.practice import PracticeKind
from app.coaching.reasons import DomainError
from app.coaching.weeks import local_day
from app.main import create_app, prepare
from app.settings import DEFAULT_PORT, Settings, default_data_dir
from app.storage import practice
from app.storage.database import FILE_NAME, DeskIsRunning, hold_folder, open_engine, unit_of_work
from app.usecases import accounts, keeping, months
from app.usecases.bring_in.command import importing_person, run_import
from app.usecases.passwords import Passwords, weakness
from app.web.security import plain_code, token_sha256

WELL, FAILED, REFUSED, RUNNING = 0, 1, 2, 3
SECONDS_TO_FINISH = 10
LARGEST_HEAD_BYTES = 32 * 1024
MOST_CONNECTIONS = 200


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; the exit code says how it went: 0 well, 1 failed, 2 refused, 3 the desk is running."""
    given = parser().parse_args(options_last(sys.argv[1:] if arguments is None else arguments))
    _keep_a_log()
    os.umask(0o077)  # what is written here is about people's health: for this account's eyes only
    try:
        code: int = given.command(given)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read it has closed it, as `head` does: what is left goes nowhere, without a word.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = FAILED
    except (DeskIsRunning, DomainError, OSError) as problem:
        code = _say_no(problem)
    except KeyboardInterrupt:
        code = FAILED
    return code


def _keep_a_log() -> None:
    """To the console, with the id that error pages show; never an address, a name or a note."""
    handler = logging.StreamHandler()
    line = "%(asctime)s %(levelname)s %(name)s request=%(request_id)s %(message)s"
    handler.setFormatter(logging.Formatter(line, defaults={"request_id": "-"}))
    logging.basicConfig(level=logging.WARNING, handlers=[handler])


def _say_no(problem: Exception) -> int:
    print(f"foothill: {problem}", file=sys.stderr)
    if isinstance(problem, DeskIsRunning):
        return RUNNING
    return REFUSED if isinstance(problem, DomainError) else FAILED


def parser() -> argparse.ArgumentParser:
    """Every command with what it takes."""
    made = argparse.ArgumentParser(prog="foothill", description="The endurance coach's desk.")
    made.add_argument("--version", action="version", version=f"foothill {__version__}")
    commands = made.add_subparsers(required=True, metavar="COMMAND")
    with_data = argparse.ArgumentParser(add_help=False)
    with_data.add_argument(
        "--data", type=Path, default=default_data_dir(), metavar="DIR", help="the practice's folder"
    )
    add = partial(commands.add_parser, parents=[with_data])
    _take_serve(add("serve", help="open the desk in the browser"))
    _take_demo(commands.add_parser("demo", help="open an invented practice"))
    cli_simulate.take(commands.add_parser("simulate", help="write a practice of simulated people"), now=_now)
    _take_coach(add("create-coach", help="make a coach (the first is the head coach), or set a password anew"))
    _take_files(add("import", help="bring in the CSV files of a spreadsheet"))
    one = add("month", help="write a month as CSV files")
    one.add_argument("month", metavar="YYYY-MM")
    one.add_argument("--out", type=Path, required=True, metavar="DIR")
    one.set_defaults(command=month)
    add("backup", help="make a verified copy of the practice").set_defaults(command=back_up)
    one = add("restore", help="bring a copy back")
    one.add_argument("file", type=Path, metavar="FILE", help="a path, or a name in DIR/backups")
    one.set_defaults(command=restore)
    cli_recording.take(commands.add_parser("read-recording", help="read a recording and find its rounds"), now=_now)
    add("check", help="look whether all is well").set_defaults(command=check)
    _take_workings(commands.add_parser(COMMAND, help="list the formulae, show one, or compute it"))
    return made


def _take_serve(one: argparse.ArgumentParser) -> None:
    one.add_argument("--host", default="127.0.0.1", help="0.0.0.0 lets the practice's network in")
    one.add_argument("--port", type=int, default=DEFAULT_PORT)
    one.add_argument("--today", type=_day, metavar="YYYY-MM-DD", help="07:00 of this day; for invented people only")
    one.add_argument("--public-url", metavar="URL", help="the address phones use, with TLS in front")
    one.add_argument(
        "--trusted-proxy",
        metavar="ADDRESS",
        help="the proxy in front whose word about addresses and TLS is believed",
    )
    one.set_defaults(command=serve)


def _take_demo(one: argparse.ArgumentParser) -> None:
    one.add_argument("--data", type=Path, metavar="DIR", help="where to build it; an earlier demo there is replaced")
    one.add_argument("--port", type=int, default=DEFAULT_PORT)
    one.add_argument("--today", type=_day, metavar="YYYY-MM-DD", help="the day its stories lead up to")
    one.add_argument("--build-only", action="store_true", help="build, print one line of JSON, and stop")
    one.set_defaults(command=demo)


def _take_coach(one: argparse.ArgumentParser) -> None:
    one.add_argument("--email", required=True)
    one.add_argument("--name", required=True)
    one.add_argument("--password-stdin", action="store_true", help="read the password from standard input")
    one.add_argument(
        "--invented", action="store_true", help="mark a fresh folder as one of invented people, for serve --today"
    )
    one.set_defaults(command=create_coach)


def _take_files(one: argparse.ArgumentParser) -> None:
    one.add_argument("files", type=Path, nargs="+", metavar="FILE")
    one.add_argument("--mapping", type=Path, metavar="FILE", help="what the columns are")
    one.add_argument("--dates", choices=["day-first", "month-first", "iso"], help="how dates are written")
    one.add_argument("--as", dest="email", metavar="EMAIL", help="for which coach; else the only head coach")
    one.set_defaults(command=bring_in)


def _take_workings(one: argparse.ArgumentParser) -> None:
    one.add_argument("name", nargs="?", metavar="NAME", help="the formula whose card is wanted")
    one.add_argument("pairs", nargs="*", metavar="KEY=VALUE", help="its inputs, to compute it")
    one.add_argument(AS_JSON, action="store_true", help="answer in JSON")
    one.set_defaults(command=workings)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day like 2026-10-05") from None


def _now() -> datetime:
    return datetime.now(UTC)


@contextmanager
def _opened(data_dir: Path, kind: PracticeKind = PracticeKind.REAL) -> Iterator[Engine]:
    """The folder, held for this command alone, brought up to date; a fresh one becomes a practice of a kind."""
    with hold_folder(data_dir):
        engine = prepare(Settings(data_dir=data_dir), kind=kind)
        try:
            yield engine
        finally:
            engine.dispose()


def serve(given: argparse.Namespace) -> int:
    """Open the desk and keep it open until it is told to stop."""
    settings = Settings(
        data_dir=given.data,
        host=given.host,
        port=given.port,
        public_url=given.public_url,
        trusted_proxy=given.trusted_proxy,
        today=given.today,
    )
    with hold_folder(settings.data_dir):
        return _serve(settings)


def _serve(settings: Settings) -> int:
    with _listening(settings) as listening:
        app = create_app(settings)
        address = _address(settings.host, listening.getsockname()[1])
        print(f"Foothill is at {address}   (folder {settings.data_dir.resolve()}; stop with Ctrl+C)", flush=True)
        _offer_set_up(app, address)
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,  # addresses of personal links are secrets
            proxy_headers=settings.trusted_proxy is not None,
            forwarded_allow_ips=settings.trusted_proxy,
            server_header=False,
            ws="none",
            lifespan="on",
            timeout_keep_alive=15,
            timeout_graceful_shutdown=SECONDS_TO_FINISH,
            limit_concurrency=MOST_CONNECTIONS,
            h11_max_incomplete_event_size=LARGEST_HEAD_BYTES,
        )
        # The server raises the signal again once it has finished; being told to stop is no failure.
        signal.signal(signal.SIGTERM, lambda _signal, _frame: None)
        signal.signal(signal.SIGINT, lambda _signal, _frame: None)
        server = uvicorn.Server(config)
        server.run(sockets=[listening])
    return WELL if server.started else FAILED


@contextmanager
def _listening(settings: Settings) -> Iterator[socket.socket]:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    with socket.socket(family) as made:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((settings.host, settings.port))
        except OSError as problem:
            raise OSError(
                f"Port {settings.port} of {settings.host} cannot be used ({problem.strerror}). Try --port."
            ) from problem
        made.listen(128)
        yield made


def _address(host: str, port: int) -> str:
    shown = {"0.0.0.0": "127.0.0.1", "::": "[::1]"}.get(host, f"[{host}]" if ":" in host else host)  # noqa: S104
    return f"http://{shown}:{port}"


def _offer_set_up(app: FastAPI, address: str) -> None:
    """While nobody works here: print a code with which the first coach is made."""
    with app.state.house.transaction(True) as db:
        if accounts.has_coaches(db):
            return
        digits = secrets.token_hex(8)
        code = "-".join(digits[start : start + 4] for start in range(0, len(digits), 4))
        accounts.open_set_up(db, code_sha256=token_sha256(plain_code(code)))
    print(f"Nobody works here yet. Open {address}/set-up and give this one-time code: {code}", flush=True)


def demo(given: argparse.Namespace) -> int:
    """Build the invented practice and open it."""
    data_dir = given.data or default_data_dir().with_name("foothill-demo")
    try:
        built = importlib.import_module("app.demo")
    except ModuleNotFoundError as problem:
        if problem.name != "app.demo":
            raise
        return _say_no(DomainError("The demo practice is not part of this installation."))
    with hold_folder(data_dir):
        _clear_demo(data_dir)
        now = _now().astimezone()
        today = given.today or now.date()
        made = built.build(data_dir, today, not_after=datetime.combine(today, now.timetz()))
        if given.build_only:
            print(json.dumps(made, default=str), flush=True)
            return WELL
        print(f"Sign in as {made['coach']['email']} with the password: {made['coach']['password']}")
        print(f"A client's phone, once: http://127.0.0.1:{given.port}{made['client_link']}", flush=True)
        return _serve(Settings(data_dir=data_dir, port=given.port, today=given.today))


def _clear_demo(data_dir: Path) -> None:
    """Make room for a new demo. Raises: DomainError when the folder holds anything but a demo."""
    file = data_dir / FILE_NAME
    if not file.exists():
        return
    engine = open_engine(data_dir)
    try:
        with unit_of_work(engine, write=False) as db:
            found = practice.found(db)
    finally:
        engine.dispose()
    if found is None or found.kind is not PracticeKind.DEMO:
        raise DomainError(f"{data_dir} holds a practice that is no demo; it is left alone. Choose another --data.")
    for path in data_dir.glob(f"{FILE_NAME}*"):
        path.unlink()


def create_coach(given: argparse.Namespace) -> int:
    """Make a coach, or set a coach's password anew."""
    password = sys.stdin.readline().rstrip("\r\n") if given.password_stdin else asked_password()
    with _opened(given.data, PracticeKind.DEMO if given.invented else PracticeKind.REAL) as engine:
        with unit_of_work(engine, write=False) as db:
            found = practice.found(db)
        if given.invented and (found is None or found.kind is PracticeKind.REAL):
            raise DomainError(f"{given.data} is not marked as invented, and a folder is marked only when it is made.")
        problem = weakness(password, names=(given.name, given.email, found.name if found else ""))
        if problem:
            return _say_no(DomainError(problem))
        password_hash = Passwords().hash(password)
        with unit_of_work(engine, write=True) as db:
            made = accounts.create_coach(
                db, name=given.name.strip(), email=given.email.strip(), password_hash=password_hash, now=_now()
            )
    print(f"{made.name} signs in as {made.email} ({made.role.value.replace('_', ' ')}).")
    return WELL


def bring_in(given: argparse.Namespace) -> int:
    """Bring files in; nothing is asked."""
    with _opened(given.data) as engine:
        with unit_of_work(engine, write=False) as db:
            actor = importing_person(db, email=given.email)
        return run_import(
            lambda write: unit_of_work(engine, write=write),
            files=given.files,
            mapping_path=given.mapping,
            dates=given.dates,
            actor=actor,
            now=_now(),
            say=print,
        )


def month(given: argparse.Namespace) -> int:
    """Write a month as files."""
    with _opened(given.data) as engine, unit_of_work(engine, write=True) as db:
        found = practice.found(db)
        if found is None:
            raise DomainError("This folder holds no practice yet.")
        written = months.write_month(
            db,
            month=given.month,
            out=given.out,
            reader=months.Reader.SPREADSHEETS,
            rules=practice.rules(db),
            today=local_day(_now(), found.zone),
            now=_now(),
        )
    for path in written:
        print(path)
    return WELL


def back_up(given: argparse.Namespace) -> int:
    """Make a verified copy."""
    with hold_folder(given.data):
        copy = keeping.keep_copy(given.data, now=_now())
    print(f"Kept and verified: {copy}")
    return WELL


def restore(given: argparse.Namespace) -> int:
    """Bring a copy back; everybody signs in again."""
    with hold_folder(given.data):
        lost: list[str] = []
        done = keeping.restore(given.data, copy=given.file, now=_now(), warn=partial(_warn, lost=lost))
        engine = open_engine(given.data)
        try:
            with unit_of_work(engine, write=True) as db:
                keeping.after_restore(db, copy_name=done.copy.name, lost_holds=done.lost_holds, now=_now())
        finally:
            engine.dispose()
    print(f"Brought back: {done.copy} is now {done.file}. Everybody has to sign in again.")
    print("Each client needs a new personal link: make one on the client's page, “Personal link and devices”.")
    print("\n".join(lost))
    if done.set_aside is not None:
        print(f"What was there before is kept as {done.set_aside}.")
    return WELL


def _warn(lines: list[str], *, lost: list[str]) -> None:
    """Say what will be lost before anything is touched; at a keyboard, ask."""
    lost += lines
    print("Everybody is signed out by this: each coach signs in again, each client needs a new personal link.")
    print("\n".join(lost))
    if sys.stdin.isatty() and input("Bring this copy back? Type yes: ").strip().lower() != "yes":
        raise DomainError("Nothing was changed.")


def check(given: argparse.Namespace) -> int:
    """Look whether all is well; also while the desk is running, since nothing is written."""
    findings = keeping.look_at_file(given.data)
    if not findings:
        engine = open_engine(given.data)
        try:
            with unit_of_work(engine, write=False) as db:
                findings = keeping.look_at_settings(db)
        finally:
            engine.dispose()
    for one in findings:
        print(one)
    print("All is well." if not findings else f"Findings: {len(findings)}.")
    return FAILED if findings else WELL


def workings(given: argparse.Namespace) -> int:
    """List the formulae, show a card, or compute one; no practice is opened."""
    print(told(given.name, given.pairs, as_json=given.json, today=_now().astimezone().date()))
    return WELL
