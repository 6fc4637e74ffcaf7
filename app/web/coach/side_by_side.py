"""Up to four sessions of the library side by side, for nobody or for one client."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Mode
from app.coaching.protocol_checks import NOT_DONE_IN_ROUNDS
from app.coaching.protocol_values import IntervalProtocol
from app.coaching.reasons import Why
from app.coaching.session_steps import NOUNS
from app.coaching.side_by_side import ASSUMED, MOST_SIDE_BY_SIDE, USUALLY_ASSUMED, Asker, Side, side_of
from app.coaching.target_values import LEAST_RESERVE, MOST_RESERVE, USUAL_RESERVE, TargetWishes
from app.coaching.words import counted, done_minutes_words, percent
from app.usecases.plan_sessions import beside as use
from app.web.coach.library_views import evidence_why, rounds_words
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render

router = APIRouter()

MODE_OPTIONS = tuple((mode.value, NOUNS[mode]) for mode in Mode if mode not in NOT_DONE_IN_ROUNDS)
ASSUMED_OPTIONS = tuple((who, f"{who}: {one.tau_s:g} s") for who, one in ASSUMED.items())
WHICH = tuple(f"p{number}" for number in range(1, MOST_SIDE_BY_SIDE + 1))


@dataclass(frozen=True, slots=True)
class Cell:
    """One field of the table: what it says, what stands smaller beneath, and what opens."""

    text: str
    beneath: str = ""
    why: Why | None = None
    label: str = "Why?"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table, a cell for each session."""

    name: str
    cells: tuple[Cell, ...]


@router.get("/plan/side-by-side")
def side_by_side_page(desk: CoachDesk) -> Response:
    """The form, and the sessions it names side by side."""
    fields = Fields(_asked(desk))
    chosen = _chosen(desk, fields)
    asker = _asker(desk, fields)
    assumed = ASSUMED.get(fields.value("who"), ASSUMED[USUALLY_ASSUMED])
    sides = [side_of(one, assumed, asker, desk.rules, desk.now) for one in chosen] if not fields.errors else []
    return render(
        desk,
        "library/side_by_side.html",
        status=422 if fields.errors else 200,
        fields=fields,
        which=WHICH,
        options=[(key, one.name) for key, one in desk.library.offered.items()],
        client_options=[(one.id, one.name) for one in use.clients_beside(desk.db, actor=desk.person, now=desk.now)],
        mode_options=MODE_OPTIONS,
        assumed_options=ASSUMED_OPTIONS,
        names=[(side.protocol.key, side.protocol.name, rounds_words(side.protocol)) for side in sides],
        rows=_rows(sides),
        client=asker.known.client if asker else None,
        reserve=(round(LEAST_RESERVE * 100), round(MOST_RESERVE * 100)),
    )


def _asked(desk: Desk) -> dict[str, str]:
    """What the address asks for; sessions ticked in the library come as `p`, in their order."""
    query = desk.request.query_params
    usual = {"who": USUALLY_ASSUMED, "reserve": f"{USUAL_RESERVE * 100:.0f}", "mode": ""}
    ticked = dict(zip(WHICH, query.getlist("p"), strict=False))
    return (
        usual | ticked | {name: query[name] for name in (*WHICH, "client", "mode", "who", "reserve") if name in query}
    )


def _chosen(desk: Desk, fields: Fields) -> list[IntervalProtocol]:
    """The sessions named, each once."""
    if len(desk.request.query_params.getlist("p")) > MOST_SIDE_BY_SIDE:
        fields.refuse("p1", f"Four fit side by side; the first {MOST_SIDE_BY_SIDE} of those ticked are chosen below.")
    found: dict[str, IntervalProtocol] = {}
    for name in WHICH:
        key = fields.value(name)
        if key and key not in desk.library.offered:
            fields.refuse(name, "Choose one of the library.")
        elif key:
            found[key] = desk.library.offered[key]
    return list(found.values())


def _asker(desk: Desk, fields: Fields) -> Asker | None:
    client_id = fields.whole("client", lowest=1, highest=2**53, required=False)
    reserve = fields.whole("reserve", lowest=round(LEAST_RESERVE * 100), highest=round(MOST_RESERVE * 100), unit="%")
    mode = fields.choice("mode", Mode, required=client_id is not None)
    if client_id is None or reserve is None or mode is None:
        return None
    wishes = TargetWishes(reserve_fraction=reserve / 100)
    return use.asker_for(
        desk.db, actor=desk.person, client_id=client_id, mode=mode, wishes=wishes, rules=desk.rules, now=desk.now
    )


def _rows(sides: list[Side]) -> tuple[Row, ...]:
    if not sides:
        return ()
    rows = [
        Row("Hard work", tuple(Cell(done_minutes_words(side.work_s / 60)) for side in sides)),
        Row("Easy between", tuple(Cell(done_minutes_words(side.rest_s / 60)) for side in sides)),
        Row("Expected above 90 % of VO2max", tuple(_near(side) for side in sides)),
    ]
    if sides[0].of_client is not None:
        rows.append(Row("Today, for this client", tuple(_may(side) for side in sides)))
        rows.append(Row("Proposed", tuple(_target(side) for side in sides)))
    rows.append(Row("Whom it suits", tuple(Cell(side.protocol.suits) for side in sides)))
    rows.append(Row("What is known", tuple(Cell("", "", evidence_why(side.protocol), "Evidence") for side in sides)))
    return tuple(rows)


def _near(side: Side) -> Cell:
    near = side.near
    span = f"{_minutes(near.low_s)} to {_minutes(near.high_s)} min"
    beneath = f"{span} by what is assumed; {percent(near.share_of_work)} of the hard work"
    return Cell(f"about {_minutes(near.seconds)} min", beneath, near.why)


def _minutes(seconds: float) -> str:
    """To half a minute: more would be false."""
    return f"{round(seconds / 30) / 2:g}"


def _may(side: Side) -> Cell:
    of = side.of_client
    if of is None or of.session is None:
        return Cell("" if of is None else of.against)
    said = dict.fromkeys(filter(None, (of.against, *(one.sentence for one in of.found))))
    if not said:
        words = f"{counted(side.protocol.rounds, 'round')}: nothing of the first-rounds rule stands against it"
        return Cell(words, "Day, spacing and ceiling are looked at in the plan.", of.fits_why)
    return Cell(" ".join(said), "", of.fits_why)


def _target(side: Side) -> Cell:
    of = side.of_client
    if of is None or of.session is None or of.against:
        return Cell("none while it is not done")
    if of.target is None:
        return Cell("by effort and talk", "With two lengths of rest no even target is reckoned.")
    return Cell(of.target.sentence, of.target.uncertainty, of.target.why)
