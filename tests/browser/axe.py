"""Axe on a page whose content policy stays on: read into it through the debugger, which no policy stops."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from playwright.sync_api import CDPSession, Page

_AXE = Path(__file__).resolve().parent.parent / "vendor" / "axe.min.js"
#: What a dark page can break that a light one does not.
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
EVERYTHING = {"rules": {"target-size": {"enabled": True}}}


@cache
def _source() -> str:
    return _AXE.read_text(encoding="utf-8")


class Axe:
    """One page under examination."""

    def __init__(self, page: Page) -> None:
        self._debugger: CDPSession = page.context.new_cdp_session(page)

    def load(self) -> None:
        """Read axe into the document that is shown now."""
        self._evaluate(_source())

    def violations(self, options: dict[str, object]) -> list[str]:
        """What axe objects to: rule, element, and what would mend it."""
        script = f"""
            axe.run(document, {json.dumps(options | {"resultTypes": ["violations"]})}).then((found) => JSON.stringify(
                found.violations.flatMap((one) => one.nodes.map(
                    (node) => `${{one.id}}: ${{node.html.slice(0, 200)}} -- ${{node.failureSummary}}`))))
        """
        found: list[str] = json.loads(self._evaluate(script))
        return found

    def _evaluate(self, expression: str) -> str:
        answer = self._debugger.send(
            "Runtime.evaluate", {"expression": expression, "awaitPromise": True, "returnByValue": True}
        )
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return str(answer["result"].get("value", ""))
