"""Each module's last figures in docs/proof.md: a run refreshes the rows of the modules it tried and no other."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from tests.prove import report

COLUMNS = ("module", "faults", "noticed", "not noticed", "share", "commit", "tried on (UTC)", "minutes", "text")
_BELOW = "Not noticed in "


@dataclass(frozen=True, slots=True)
class Figures:
    """One module's last run: how many faults, which ones lived and why, on which commit, when, how long."""

    module: str
    faults: int
    lines: tuple[str, ...]
    commit: str
    tried_at: str
    minutes: str
    fingerprint: str

    @property
    def row(self) -> tuple[object, ...]:
        """Its line of the table."""
        lived = len(self.lines)
        share = _share(self.faults - lived, self.faults)
        counted = (self.faults, self.faults - lived, lived, share)
        return (self.module, *counted, self.commit, self.tried_at, self.minutes, self.fingerprint)


def figures_now(module: str, faults: int, lines: Sequence[str], seconds: float) -> Figures:
    """The figures of a run that has just ended."""
    when = f"{datetime.now(UTC):%Y-%m-%d %H:%M}"
    return Figures(module, faults, tuple(lines), report.commit(), when, f"{seconds / 60:.0f}", fingerprint(module))


def fingerprint(module: str) -> str:
    """The first digits of the SHA-256 of a module's text, which say whether it is still the one that was tried."""
    return hashlib.sha256((report.CHECKOUT / "app" / module).read_bytes()).hexdigest()[:8]


def kept(section: str) -> dict[str, Figures]:
    """The figures in a section as it stands, by module."""
    rows = [
        [cell.strip() for cell in line.strip("| ").split(" | ")] for line in section.splitlines() if line[:2] == "| "
    ]
    listed = {cells[0]: cells for cells in rows if len(cells) == len(COLUMNS) and cells[0].endswith(".py")}
    lines = dict.fromkeys(listed, ())
    for part in section.split(f"\n{_BELOW}")[1:]:
        module, _, rest = part.partition(":")
        lines[module] = tuple(line for line in rest.splitlines() if line.startswith("- "))
    return {
        module: Figures(module, int(faults), lines[module], commit, when, minutes, text)
        for module, (_, faults, _, _, _, commit, when, minutes, text) in listed.items()
    }


def keep(title: str, sentence: str, modules: Sequence[str], tried: Sequence[Figures]) -> str:
    """Write a group's section: the modules just tried afresh, the others as they stood, and the sum of all rows."""
    found = kept(_section(title)) | {one.module: one for one in tried}
    listed = [found[module] for module in modules if module in found]
    faults, lived = sum(one.faults for one in listed), sum(len(one.lines) for one in listed)
    share = _share(faults - lived, faults)
    together = (f"together, {len(listed)} of {len(modules)} modules", faults, faults - lived, lived, share)
    lines = [line for one in listed if one.lines for line in ("", f"{_BELOW}{one.module}:", "", *one.lines)]
    notes = [
        *_note("Not tried yet", [module for module in modules if module not in found]),
        *_note("Changed since", [one.module for one in listed if one.fingerprint != fingerprint(one.module)]),
    ]
    return report.keep(
        title,
        command="make prove (FOOTHILL_MUTATE=<module> .venv/bin/pytest tests/prove/test_mutation.py)",
        sentence=sentence,
        columns=COLUMNS,
        rows=[*(one.row for one in listed), (*together, "", "", "", "")],
        below=[*notes, *lines],
        stamp=["- commit and day: each row's own"],
    )


def _share(noticed: int, faults: int) -> str:
    return f"{100 * noticed / faults:.1f} %" if faults else ""


def _note(what: str, modules: Sequence[str]) -> list[str]:
    return ["", f"{what}: {', '.join(modules)}."] if modules else []


def _section(title: str) -> str:
    text = report.FILE.read_text(encoding="utf-8") if report.FILE.exists() else ""
    parts = re.split(r"^(?=## )", text, flags=re.MULTILINE)
    return next((part for part in parts if part.startswith(f"## {title}\n")), "")
