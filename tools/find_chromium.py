"""Find the Chromium that the browser tests open, or say plainly that there is none."""

import os
import shutil
import sys
from pathlib import Path

COMMANDS = ("chromium", "chromium-browser", "google-chrome")
MACOS_APPS = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
NOT_FOUND = (
    "The browser tests need Chromium: install it (Debian: apt-get install chromium) or set CHROMIUM to its path."
)


def find_chromium() -> str | None:
    """The path of a Chromium: $CHROMIUM first, then the path, then macOS's usual places."""
    named = os.environ.get("CHROMIUM")
    if named:
        return shutil.which(named)
    on_path = next(filter(None, map(shutil.which, COMMANDS)), None)
    return on_path or next((app for app in MACOS_APPS if Path(app).exists()), None)


def main() -> int:
    """Print the path; answers the exit code."""
    path = find_chromium()
    if path is None:
        print(NOT_FOUND, file=sys.stderr)
        return 1
    print(path)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
