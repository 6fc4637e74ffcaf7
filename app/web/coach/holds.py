"""Raising a hold, lifting it on what it asks for, and taking a lift back."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.clearance_papers import HOW_SEEN
from app.coaching.hold_rules import HOLD_WORDS, LIFTED_BY, WELL_DAYS_BEFORE_EASY, WELL_DAYS_BEFORE_HARD
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.reasons import Refused
from app.coaching.screening import Clearance
from app.coaching.weeks import day_words
from app.usecases import accounts, hold_desk, safety_file
from app.usecases.gate import NotAllowed
from app.web.coach import safety_words as words
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.passwords import OwnPasswordTry, PasswordTry
from app.web.render import render, see_other

router = APIRouter()

LONGEST_CAUSE = 2000
STOPS_WORDS = {
    Stops.ALL: "all training",
    Stops.HARD: "hard work, middle too; easy goes on",
    Stops.MODE_AND_HARD: "one way of moving, and hard work",
}
KIND_OPTIONS = tuple(
    (kind.value, HOLD_WORDS[kind].replace("your coach", "the coach").capitalize(), f"Lifted by {words}.")
    for kind, words in ((kind, LIFTED_BY[kind].replace("your coach", "the coach")) for kind in HoldKind)
)
STOPS_OPTIONS = tuple((stops.value, words.capitalize()) for stops, words in STOPS_WORDS.items())
MODE_OPTIONS = tuple((mode.value, mode.value.replace("_", " ")) for mode in Mode)


@router.get("/clients/{client_id}/holds/new")
def new(client_id: int, desk: CoachDesk) -> Response:
    """The form that raises a hold."""
    return _new(desk, client_id, Fields(initial={"began_on": desk.today, "stops": Stops.ALL}))


@router.post("/clients/{client_id}/holds/new")
def raise_hold(client_id: int, desk: CoachDesk) -> Response:
    """Raise a hold; it works at once."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", HoldKind)
    stops = fields.choice("stops", Stops)
    mode = fields.choice("mode", Mode, required=False)
    cause = fields.text("cause", most=LONGEST_CAUSE, many_lines=True)
    began_on = fields.day("began_on", latest=desk.today)
    if kind is not None and stops is not None:
        fault = hold_desk.hold_fault(kind, stops, mode)
        if fault is not None:
            fields.refuse(*fault)
    if fields.errors or kind is None or stops is None or cause is None or began_on is None:
        return _new(desk, client_id, fields, status=422)
    try:
        hold_desk.raise_hold(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            kind=kind,
            stops=stops,
            mode=mode,
            cause=cause,
            began_on=began_on,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("kind", str(refusal))
        return _new(desk, client_id, fields, status=422)
    return see_other(desk, f"/clients/{client_id}/safety", flash=f"On hold now: {STOPS_WORDS[stops]}.")


@router.get("/holds/{hold_id}/lift")
def lifting(hold_id: int, desk: CoachDesk) -> Response:
    """What lifting this hold asks for."""
    opened = hold_desk.open_hold(desk.db, actor=desk.person, hold_id=hold_id, now=desk.now)
    return _lifting(desk, opened, Fields())


@router.post("/holds/{hold_id}/lift")
def lift(hold_id: int, tried: OwnPasswordTry, desk: CoachDesk) -> Response:
    """Lift a hold, or say beside the field what is missing."""
    opened = hold_desk.open_hold(desk.db, actor=desk.person, hold_id=hold_id, now=desk.now)
    fields = Fields(desk.form)
    given = hold_desk.LiftGiven(
        because=fields.text("because", most=LONGEST_CAUSE, required=False, many_lines=True) or "",
        talk=fields.text("talk", most=LONGEST_CAUSE, required=False, many_lines=True),
        pain_free_easy_on=fields.day("pain_free_easy_on", latest=opened.today, required=False),
        heart_rate_source_reviewed=fields.yes("heart_rate_source_reviewed"),
        well_since_on=fields.day("well_since_on", latest=opened.today, required=False),
        advice_from=fields.text("advice_from", required=False),
        advice_on=fields.day("advice_on", latest=opened.today, required=False),
        password_confirmed=password_holds(desk, tried, fields, act="lift of a hold"),
    )
    if fields.errors:
        return _lifting(desk, opened, fields, status=422)
    problems = hold_desk.lift(desk.db, actor=desk.person, hold_id=hold_id, given=given, now=desk.now)
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if problems:
        return _lifting(desk, opened, fields, status=422)
    flash = "Lifted. You can take this back today on this page; the hold is then up again at once."
    return see_other(desk, f"/clients/{opened.client.id}/safety", flash=flash)


@router.post("/holds/{hold_id}/undo")
def undo(hold_id: int, desk: CoachDesk) -> Response:
    """Take a lift back on its own day."""
    client_id = hold_desk.undo_lift(desk.db, actor=desk.person, hold_id=hold_id, now=desk.now).client_id
    return see_other(desk, f"/clients/{client_id}/safety", flash="The hold is up again.")


def password_holds(desk: Desk, tried: PasswordTry, fields: Fields, *, act: str) -> bool:
    """Whether the coach's own password was typed rightly; a wrong one is said beside the field and counted."""
    if not desk.form.get("own_password"):
        return False
    if tried.pause_s > 0:
        fields.refuse("own_password", f"Too many wrong tries. Please wait {tried.pause_s} seconds.")
        return False
    if not tried.is_right:
        by = desk.person.person_id
        accounts.note_wrong_password(desk.db, email=tried.email, address=tried.address, now=desk.now, by=by, act=act)
        fields.refuse("own_password", "This is not your password.")
    return tried.is_right


def paper_words(paper: Clearance) -> str:
    """A clinician's paper in one line."""
    scope = f", for {words.SCOPE_WORDS[paper.scope]}" if paper.scope else ""
    day = day_words(paper.given_on) if paper.given_on else "no date"
    seen = HOW_SEEN.get(paper.how_seen or "", "not said how it was seen")
    return f"{paper.signer or 'not signed'}, {paper.profession or 'profession not said'}, {day}{scope} ({seen})"


def _new(desk: Desk, client_id: int, fields: Fields, *, status: int = 200) -> Response:
    view = safety_file.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not view.may_log:
        raise NotAllowed("Your role allows reading here, not this change.")
    return render(
        desk,
        "holds/new.html",
        status=status,
        fields=fields,
        client=view.client,
        open_holds=words.hold_views(view)[0],
        latest=view.today,
        kinds=KIND_OPTIONS,
        stops=STOPS_OPTIONS,
        modes=MODE_OPTIONS,
        may_decide=Action.DECIDE in view.may,
        longest=LONGEST_CAUSE,
    )


def _lifting(desk: Desk, opened: hold_desk.HoldOpened, fields: Fields, *, status: int = 200) -> Response:
    hold = opened.hold
    return render(
        desk,
        "holds/lift.html",
        status=status,
        fields=fields,
        client=opened.client,
        hold=hold,
        own_words=opened.own_words,
        kind=hold.kind.value,
        is_open=hold.lifted_at is None,
        title=HOLD_WORDS[hold.kind].replace("your coach", "the coach"),
        stops=STOPS_WORDS[hold.stops],
        lifted_by=LIFTED_BY[hold.kind].replace("your coach", "the coach"),
        needs_paper=hold.kind in hold_desk.PAPER_KINDS,
        paper=paper_words(opened.paper) if opened.paper else None,
        has_talk=opened.has_talk,
        advice_because=opened.advice_because,
        ill_again_on=opened.last_ill_on if opened.last_ill_on != hold.began_on else None,
        latest=opened.today,
        easy_days=WELL_DAYS_BEFORE_EASY,
        hard_days=WELL_DAYS_BEFORE_HARD,
        longest=LONGEST_CAUSE,
    )
