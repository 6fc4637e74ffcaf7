"""Pin every dependency with its hashes, for all platforms, without naming an index."""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HEADER = "# Every package, pinned and hashed. Made by `make lock` from requirements-dev.in; not edited by hand.\n"


def main() -> int:
    """Write requirements-dev.lock; answers the exit code."""
    uv = shutil.which("uv")
    if uv is None:
        print("Making the lock needs uv on the path (pip install uv).", file=sys.stderr)
        return 1
    command = [
        *(uv, "pip", "compile", "--universal", "--python-version", "3.11", "--generate-hashes"),
        *("--no-emit-index-url", "--no-emit-find-links", "--no-header", "--quiet", "--upgrade"),
        "requirements-dev.in",
    ]
    made = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    (ROOT / "requirements-dev.lock").write_text(HEADER + made, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
