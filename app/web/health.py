"""Whether the desk is up."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import JSONResponse

from app.web.deps import house_of

router = APIRouter()


@router.get("/healthz")
def health(request: Request) -> JSONResponse:
    """Version and schema revision."""
    house = house_of(request)
    return JSONResponse({"status": "ok", "version": house.version, "schema": house.revision})
