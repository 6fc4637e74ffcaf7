"""Work between requests run to its end, apart from any loop that a browser keeps in the same thread."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

V = TypeVar("V")


def finished(work: Coroutine[Any, Any, V]) -> V:
    """Run it in a thread of its own; what it finds is returned, and what it raises is raised, here."""
    with ThreadPoolExecutor(1) as apart:
        return apart.submit(asyncio.run, work).result()
