"""All routers in one list."""

from __future__ import annotations

from fastapi import APIRouter

from app.web import health
from app.web.coach import roster

ROUTERS: tuple[APIRouter, ...] = (health.router, roster.router)
