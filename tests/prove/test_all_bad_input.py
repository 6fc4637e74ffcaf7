"""Every hostile value in every field of every form: the whole of what `make test` takes by turns."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time

from tests.prove import report


def test_every_hostile_value_in_every_field():
    walk = "tests/web/test_bad_input.py"
    began = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", "pytest", walk, "-q", "-p", "no:cacheprovider"],
        cwd=report.CHECKOUT,
        env={**os.environ, "FOOTHILL_HOSTILE": "all"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-4000:]
    passed = re.search(r"(\d+) passed", done.stdout)
    assert passed
    print()
    print(
        report.keep(
            "Bad input",
            command=f"make prove (FOOTHILL_HOSTILE=all pytest {walk})",
            sentence="Each hostile value in each field of each form, alone among good values and in all fields at "
            "once. No answer may be an error of the desk's own, nothing may run in the page that comes back, and "
            "what was typed must still stand in the form that is refused.",
            columns=("figure", "value"),
            rows=[("tests passed", passed[1]), ("time", f"{time.monotonic() - began:.0f} s")],
        )
    )
