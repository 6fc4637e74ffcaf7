"""The bundled scripts, styles and pictures."""

from __future__ import annotations

from os import PathLike, stat_result

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope


class BundledFiles(StaticFiles):
    """Files of pages; one whose address does not change with its content, as imports name it, is asked for again."""

    def file_response(
        self, full_path: str | PathLike[str], stat_result: stat_result, scope: Scope, status_code: int = 200
    ) -> Response:
        """One file."""
        answer = super().file_response(full_path, stat_result, scope, status_code)
        if not scope["query_string"]:
            answer.headers["Cache-Control"] = "no-cache"
        return answer
