"""What an import contract cannot say about the house, as functions that list offences."""

import ast
import hashlib
import re
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
APP = ROOT / "app"

MOST_LINES_IN_A_FILE = 400
MOST_LINES_IN_A_FUNCTION = 40

CLOCKS = frozenset(
    {
        *("datetime.now", "datetime.utcnow", "datetime.today", "date.today", "time.time", "time.time_ns"),
        *("datetime.datetime.now", "datetime.datetime.utcnow", "datetime.datetime.today"),
        *("datetime.date.today", "dt.datetime.now", "dt.date.today", "time.localtime", "time.gmtime"),
    }
)

# A pure floor may compute, but not reach out of the process.
NOT_PURE = frozenset(
    {"sqlite3", "socket", "http", "urllib", "subprocess", "os", "random", "secrets", "time", "threading"}
)
PURE = (sys.stdlib_module_names - NOT_PURE) | {"numpy"}

_JINJA = re.compile(r"\{[%{#].*?[%}#]\}", re.DOTALL)
_TEMPLATE_OFFENCES = {
    "inline style": re.compile(r"\sstyle\s*=|<style\b", re.IGNORECASE),
    "inline handler": re.compile(r"\son[a-z]+\s*=\s*[\"']|\shx-on\b", re.IGNORECASE),
    "inline script": re.compile(r"<script(?![^>]*\ssrc\s*=)[^>]*>", re.IGNORECASE),
    "code in an attribute": re.compile(r"[\"'](?:js|javascript):|\shx-trigger\s*=\s*\"[^\"]*\[", re.IGNORECASE),
    "remote address": re.compile(
        r"\b(?:src|srcset|href|action|formaction|poster|data|hx-[a-z]+)\s*=\s*[\"'](?:https?:)?//", re.IGNORECASE
    ),
}
_ADDRESS = re.compile(r"https?://(?!www\.w3\.org/)|url\(\s*[\"']?//", re.IGNORECASE)


def source_files(folder: Path = APP) -> list[Path]:
    """Every Python file of a folder, in a steady order."""
    return sorted(folder.rglob("*.py"))


def short(path: Path) -> str:
    """The path as a person would type it, seen from the top of the checkout."""
    return path.relative_to(ROOT).as_posix()


def imported_modules(source: str) -> set[str]:
    """Every module, and every name taken from a module, that a source text imports."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def impure_imports(source: str, floor: str) -> list[str]:
    """Imports that a pure floor may not have: anything but pure standard library, NumPy and pure floors."""
    own = ("app.physiology",) if floor == "physiology" else ("app.physiology", "app.coaching")
    return sorted(
        name
        for name in imported_modules(source)
        if name.split(".")[0] not in PURE and not _is_inside(name, own) and name != "app"
    )


def sideways_imports(source: str, area: str) -> list[str]:
    """Other use-cases that this use-case imports; the gate is everybody's."""
    allowed = ("app.usecases.gate", f"app.usecases.{area}")
    return sorted(
        name
        for name in imported_modules(source)
        if name.startswith("app.usecases.") and not _is_inside(name, allowed)
    )


def _is_inside(name: str, packages: tuple[str, ...]) -> bool:
    return any(name == package or name.startswith(f"{package}.") for package in packages)


def clock_readings(source: str) -> list[str]:
    """Places where a source text asks the machine what time it is, called or handed on."""
    return [
        f"line {node.lineno}: {ast.unparse(node)}"
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute) and ast.unparse(node) in CLOCKS
    ]


def long_functions(source: str) -> dict[str, int]:
    """Functions over the limit with their lines, docstring not counted."""
    lengths = {function.name: _length(function) for function in _functions(source)}
    return {name: length for name, length in lengths.items() if length > MOST_LINES_IN_A_FUNCTION}


def _functions(source: str) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def _length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    whole = (function.end_lineno or function.lineno) - function.lineno + 1
    if ast.get_docstring(function) is None:
        return whole
    docstring = function.body[0]
    return whole - ((docstring.end_lineno or docstring.lineno) - docstring.lineno + 1)


def strings_with_htmx_headers(source: str) -> list[str]:
    """String constants that name an htmx header."""
    return [
        node.value
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.startswith("HX-")
    ]


def template_offences(text: str) -> list[str]:
    """What the strict content policy would refuse, or what would leave this machine."""
    markup = _JINJA.sub("x", text)
    return [name for name, pattern in _TEMPLATE_OFFENCES.items() if pattern.search(markup)]


def remote_addresses(text: str) -> list[str]:
    """Addresses in a stylesheet or script; the W3C's names of namespaces are none."""
    return _ADDRESS.findall(text)


def vendored(folder: Path) -> dict[str, str]:
    """The checksum that the folder's VERSIONS names for each file."""
    rows = (folder / "VERSIONS").read_text(encoding="utf-8").splitlines()
    cells = [[cell.strip() for cell in row.split("|")] for row in rows if not row.startswith("#")]
    return {file: sha256 for file, _name, _version, _licence, sha256 in cells}


def checksums(folder: Path) -> dict[str, str]:
    """The checksum of each script that lies in the folder."""
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in sorted(folder.glob("*.js"))}


def required_names(requirements: list[str]) -> set[str]:
    """The bare package names of a list of requirements."""
    plain = (line.split("#")[0].strip() for line in requirements)
    return {re.split(r"[<>=!~;\[ ]", line)[0].lower() for line in plain if line and not line.startswith("-")}
