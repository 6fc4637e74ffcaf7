"""Work between requests run to its end, apart from any loop that a browser keeps in the same thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def finished(work: Coroutine[Any, Any, Any]) -> None:
    """Run it in a thread of its own; what it raises is raised here."""
    with ThreadPoolExecutor(1) as apart:
        apart.submit(asyncio.run, work).result()
