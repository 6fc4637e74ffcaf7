"""All routers in one list."""

from __future__ import annotations

from fastapi import APIRouter

from app.web import account, health
from app.web.coach import access, people, practice, roster

ROUTERS: tuple[APIRouter, ...] = (
    health.router,
    account.router,
    access.router,
    people.router,
    practice.router,
    roster.router,
)
