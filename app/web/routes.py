"""All routers in one list."""

from __future__ import annotations

from fastapi import APIRouter

from app.web import account, health
from app.web.coach import (
    access,
    bring_in,
    brought_in,
    chase,
    clearance,
    client_edit,
    client_file,
    client_records,
    compare,
    entry,
    fitness_tests,
    group_entry,
    holds,
    logged_session,
    month,
    morning,
    people,
    plan,
    plan_blocks,
    plan_session,
    practice,
    promotion,
    roster,
    safety,
    scans,
    workings,
)
from app.web.phone import done, felt_wrong, how_i_am, my_way, questions, today

ROUTERS: tuple[APIRouter, ...] = (
    health.router,
    account.router,
    access.router,
    bring_in.router,
    brought_in.router,
    morning.router,
    people.router,
    practice.router,
    # Before the client file: /clients/new is no number.
    roster.router,
    safety.router,
    clearance.router,
    scans.router,
    chase.router,
    holds.router,
    promotion.router,
    client_file.router,
    client_edit.router,
    client_records.router,
    fitness_tests.router,
    compare.router,
    plan.router,
    plan_blocks.router,
    plan_session.router,
    month.router,
    workings.router,
    logged_session.router,
    entry.router,
    group_entry.router,
    today.router,
    done.router,
    how_i_am.router,
    my_way.router,
    questions.router,
    felt_wrong.router,
)
