"""Keeps the last figures of each long proof in docs/proof.md, with the command and the commit they belong to."""

from __future__ import annotations

import os
import platform
import re
import subprocess
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
FILE = CHECKOUT / "docs" / "proof.md"
HEAD = """# What was proved, and when

Written by `make prove`: each section holds the last run of one long proof. Tests of every day (`make test`) prove
much of the same in short; these run longer than anybody wants to wait.
"""


def keep(
    title: str,
    *,
    command: str,
    sentence: str,
    columns: Sequence[str],
    rows: Sequence[Sequence[object]],
    below: Sequence[str] = (),
    stamp: Sequence[str] = (),
) -> str:
    """Write one section, in place of its last one; returns it, for the console.

    stamp: what is said of commit, day and machine where each row has its own; else as they are now.
    """
    section = "\n".join(
        (
            f"## {title}",
            "",
            sentence,
            "",
            f"- command: `{command}`",
            *(stamp or _stamp_now()),
            "",
            f"| {' | '.join(columns)} |",
            f"| {' | '.join('---' for _ in columns)} |",
            *(f"| {' | '.join(str(cell) for cell in row)} |" for row in rows),
            *below,
            "",
        )
    )
    FILE.parent.mkdir(exist_ok=True)
    kept = FILE.read_text(encoding="utf-8") if FILE.exists() else HEAD
    FILE.write_text(_with(kept, title, section), encoding="utf-8")
    return section


def _stamp_now() -> tuple[str, str]:
    machine = f"Python {platform.python_version()}, {os.cpu_count()} processors"
    return f"- commit: {commit()}", f"- when and where: {datetime.now(UTC):%Y-%m-%d %H:%M} UTC, {machine}"


def _with(text: str, title: str, section: str) -> str:
    parts = re.split(r"^(?=## )", text, flags=re.MULTILINE)
    others = [part for part in parts[1:] if not part.startswith(f"## {title}\n")]
    sections = sorted((*others, section))
    return "\n\n".join(part.strip() for part in (parts[0], *sections)) + "\n"


def commit() -> str:
    """The commit that was proved, and whether anything beside it was changed."""
    try:
        found = _git("rev-parse", "--short", "HEAD")
        changed = _git("status", "--porcelain", "--untracked-files=no", "--", "app", "migrations", "tests")
    except (OSError, subprocess.CalledProcessError):
        return "unknown"
    return f"{found}, with changes" if changed else found


def _git(*arguments: str) -> str:
    done = subprocess.run(["git", *arguments], cwd=CHECKOUT, capture_output=True, text=True, check=True)
    return done.stdout.strip()
