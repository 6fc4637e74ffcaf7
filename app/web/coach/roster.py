"""The roster page, and the form that adds a client."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeVar
from urllib.parse import urlencode

from fastapi import APIRouter
from markupsafe import Markup
from starlette.responses import Response

from app.coaching.people import Client, ClientState, HeartRateUse
from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.typed_values import clean_text, zones
from app.coaching.windows import RECENT
from app.usecases import roster as use
from app.usecases.roster import RosterLine, RosterPage, RosterSort, RosterWish
from app.web.charts.ribbon import draw_ribbon
from app.web.coach.client_fields import SEX_OPTIONS, STATE_OPTIONS, read_person
from app.web.deps import CoachDesk, Desk
from app.web.filters import minutes
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

LONGEST_SEARCH = 100
NEW_STATES = STATE_OPTIONS[:4]
SORT_LABELS = (
    (RosterSort.NAME, "Name"),
    (RosterSort.PHASE, "Phase"),
    (RosterSort.LAST_ENTRY, "Last entry"),
    (RosterSort.CONTACT, "Last contact"),
)
E = TypeVar("E", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class LineView:
    """One row of the roster, ready to print."""

    id: int
    name: str
    age: str
    phase: str
    state: str
    hold: str
    stopped: str
    last_entry: str
    contact: str
    weekly: str
    is_quiet: bool
    ribbon: Markup
    ribbon_text: str


@dataclass(frozen=True, slots=True)
class SortView:
    """One heading that sorts."""

    label: str
    address: str
    aria_sort: str | None


@dataclass(frozen=True, slots=True)
class RosterView:
    """The part of the roster that a search swaps."""

    lines: tuple[LineView, ...]
    sorts: dict[str, SortView]
    summary: str
    is_empty_practice: bool
    page: int
    pages: int
    before: str | None
    after: str | None


@router.get("/roster")
def page(desk: CoachDesk) -> Response:
    """Everybody, or those who fit the search."""
    wish = _wish(desk)
    found = use.roster(desk.db, actor=desk.person, wish=wish, rules=desk.rules, now=desk.now)
    return render(
        desk,
        "roster/page.html",
        part="roster/_list.html",
        view=_view(found, wish),
        wish=wish,
        is_filtered=_is_filtered(wish),
        may_add=use.may_add(desk.person),
        state_options=STATE_OPTIONS,
        phase_options=[(phase.value, words) for phase, words in PHASE_WORDS.items()],
    )


@router.get("/clients/new")
def new(desk: CoachDesk) -> Response:
    """An empty form."""
    initial = {"zone": desk.practice.zone, "has_phone": True, "state": ClientState.INTAKE}
    return _form(desk, Fields(initial=initial))


@router.post("/clients/new")
def add(desk: CoachDesk) -> Response:
    """Add a client."""
    fields = Fields(desk.form)
    person = read_person(fields, desk.today)
    state = fields.choice("state", ClientState)
    goal = fields.text("goal", most=2000, required=False, many_lines=True)
    if fields.error("name") is None and not fields.yes("another_person"):
        _refuse_same_name(desk, fields, str(person["name"]))
    if fields.errors or state is None:
        return _form(desk, fields, status=422)
    client_id = use.add_client(
        desk.db, actor=desk.person, client=_client(desk, person, state), goal=goal, now=desk.now
    )
    return see_other(desk, f"/clients/{client_id}", flash=f"{person['name']} is on the roster.")


def _form(desk: Desk, fields: Fields, *, status: int = 200) -> Response:
    return render(
        desk,
        "roster/new.html",
        part="roster/_new.html",
        status=status,
        fields=fields,
        may_add=use.may_add(desk.person),
        states=NEW_STATES,
        sexes=SEX_OPTIONS,
        longest=LONG_TEXT,
        zones=zones(),
        asks_again=fields.error("another_person") is not None or fields.value("another_person") == "yes",
    )


def _refuse_same_name(desk: Desk, fields: Fields, name: str) -> None:
    same = use.same_names(desk.db, actor=desk.person, name=name, now=desk.now)
    if same:
        fields.refuse(
            "another_person", f"{same[0].name} is on the roster already. Tick below if this is another person."
        )


def _client(desk: Desk, person: dict[str, object], state: ClientState) -> Client:
    blank = Client(
        id=0,
        name="",
        email=None,
        phone=None,
        born_on=None,
        sex=None,
        zone=desk.practice.zone,
        state=state,
        coach_id=desk.person.person_id,
        has_phone=True,
        base_weeks_asked=None,
        regularly_active_confirmed_on=None,
        heart_rate_use=HeartRateUse.UNKNOWN,
        heart_rate_source=None,
        effort_plan=None,
        emergency_contact=None,
        emergency_phone=None,
        emergency_confirmed_on=None,
        joined_on=desk.today,
        revision=1,
    )
    return replace(blank, **person)  # type: ignore[arg-type]  # the names and types are read_person's


def _wish(desk: Desk) -> RosterWish:
    """What the address asks for; words that mean nothing here are passed over."""
    asked = desk.request.query_params
    number = asked.get("page", "1")
    return RosterWish(
        words=clean_text(asked.get("q", ""))[:LONGEST_SEARCH],
        state=_word(asked.get("state", ""), ClientState),
        phase=_word(asked.get("phase", ""), Phase),
        is_on_hold=asked.get("hold") == "yes",
        is_quiet=asked.get("quiet") == "yes",
        sort=_word(asked.get("sort", ""), RosterSort) or RosterSort.NAME,
        is_backwards=asked.get("order") == "down",
        page=int(number) if number.isascii() and number.isdigit() and len(number) < 6 else 1,
    )


def _word(typed: str, words: type[E]) -> E | None:
    return words(typed) if typed in {word.value for word in words} else None


def _address(wish: RosterWish) -> str:
    parts = {
        "q": wish.words,
        "state": wish.state.value if wish.state else "",
        "phase": wish.phase.value if wish.phase else "",
        "hold": "yes" if wish.is_on_hold else "",
        "quiet": "yes" if wish.is_quiet else "",
        "sort": "" if wish.sort is RosterSort.NAME else wish.sort.value,
        "order": "down" if wish.is_backwards else "",
        "page": str(wish.page) if wish.page > 1 else "",
    }
    query = urlencode({name: value for name, value in parts.items() if value})
    return f"/roster?{query}" if query else "/roster"


def _view(found: RosterPage, wish: RosterWish) -> RosterView:
    return RosterView(
        lines=tuple(_line(line) for line in found.lines),
        sorts={sort.value: _sort(wish, sort, label) for sort, label in SORT_LABELS},
        summary=_summary(found, wish),
        is_empty_practice=found.is_empty_practice,
        page=found.page,
        pages=found.pages,
        before=_address(replace(wish, page=found.page - 1)) if found.page > 1 else None,
        after=_address(replace(wish, page=found.page + 1)) if found.page < found.pages else None,
    )


def _sort(wish: RosterWish, sort: RosterSort, label: str) -> SortView:
    is_now = wish.sort is sort
    turned = replace(wish, sort=sort, is_backwards=is_now and not wish.is_backwards, page=1)
    order = "descending" if wish.is_backwards else "ascending"
    return SortView(label, _address(turned), order if is_now else None)


def _summary(found: RosterPage, wish: RosterWish) -> str:
    people = "1 client" if found.found == 1 else f"{found.found} clients"
    return f"{people} of {found.everybody} fit." if _is_filtered(wish) else f"{people}."


def _is_filtered(wish: RosterWish) -> bool:
    return replace(wish, sort=RosterSort.NAME, is_backwards=False, page=1) != RosterWish()


def _line(line: RosterLine) -> LineView:
    client, silence = line.client, line.silence
    phase = "no decision yet" if line.phase is None else f"{PHASE_WORDS[line.phase]}, week {line.phase_week}"
    entry = silence.last_entry_on
    return LineView(
        id=client.id,
        name=client.name,
        age="age unknown" if line.age is None else str(line.age),
        phase=phase,
        state=client.state.value.replace("_", " "),
        hold="" if not line.open_holds else ("on hold" if line.open_holds == 1 else f"{line.open_holds} holds"),
        stopped=f"training stopped: {line.stopped_for}" if line.stopped_for else "",
        last_entry=f"none in {RECENT.days} days" if entry is None else f"{entry:%a} {entry.day} {entry:%b}",
        contact=_contact(line.contact_days),
        weekly="" if line.weekly_minutes is None else minutes(line.weekly_minutes),
        is_quiet=silence.is_quiet,
        ribbon=draw_ribbon(line.ribbon, name=client.name, key=f"c{client.id}"),
        ribbon_text=line.ribbon.text,
    )


def _contact(days: int | None) -> str:
    if days is None:
        return "none kept"
    return "today" if days == 0 else ("1 day ago" if days == 1 else f"{days} days ago")
