"""What a phone keeps for a lost connection: one public page, its files, and the worker that shows it."""

from __future__ import annotations

import hashlib
import json

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.symptoms import emergency_text
from app.places import bundled
from app.web.deps import PublicDesk
from app.web.render import render, static

router = APIRouter()

PAGE = "/offline"
#: Everything the page needs, as its own text names it.
SHOWN = ("css/tokens.css", "css/base.css", "css/components.css", "css/phone.css", "icon.svg")
#: An import names its file without a version.
IMPORTED = "/static/js/kept.js"


@router.get("/offline")
def show_offline(desk: PublicDesk) -> Response:
    """The page for a lost connection; it holds nothing about anybody."""
    emergency = emergency_text(desk.practice.emergency_number)
    return render(desk, "offline.html", files=SHOWN, emergency=emergency)


@router.get("/offline-worker.js")
def worker() -> Response:
    """The worker, with the addresses it keeps; another file makes it another worker."""
    files = [*(static(path) for path in (*SHOWN, "js/offline.js")), IMPORTED]
    template = (bundled("templates") / "offline.html").read_bytes()
    imported = (bundled("static") / "js/kept.js").read_bytes()
    version = hashlib.sha256(json.dumps(files).encode() + template + imported).hexdigest()[:12]
    kept = json.dumps({"version": version, "page": PAGE, "files": files})
    script = (bundled("static") / "js/offline-worker.js").read_text(encoding="utf-8")
    headers = {"Cache-Control": "no-cache"}
    return Response(f"self.OFFLINE = {kept};\n{script}", media_type="text/javascript", headers=headers)
