"""The practice: particulars, rules, where the data lives, one's own password, and the trail."""

from __future__ import annotations

from urllib.parse import urlsplit

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching import typed_values
from app.coaching.people import Client
from app.coaching.pressure_sources import PUBLISHED_LIMITS
from app.coaching.reasons import Refused
from app.usecases import accounts, diabetes_choice, practice
from app.usecases.gate import NotYours
from app.usecases.keeping import newest_copy_on
from app.usecases.roster import may_add
from app.web.coach.practice_words import DIABETES_RULE, setting_line, trail_line
from app.web.deps import CoachDesk, Desk, HeadDesk, login_cookie_name
from app.web.errors import answer
from app.web.forms import Fields
from app.web.passwords import OwnPasswordTry, PasswordToSet
from app.web.render import lead_on, render, see_other

router = APIRouter()

LONGEST_REASON = 500
#: Rules beside which the differing published limits stand.
PRESSURE_RULES = frozenset(
    {"pressure_systolic_all", "pressure_diastolic_all", "pressure_systolic_hard", "pressure_diastolic_hard"}
)


@router.get("/practice")
def show_practice(desk: CoachDesk) -> Response:
    """The practice's particulars, and the ways on from here."""
    found = desk.practice
    fields = Fields(
        initial={
            "name": found.name,
            "zone": found.zone,
            "emergency_number": found.emergency_number,
            "phone": found.phone,
            "public_url": found.public_url,
        }
    )
    return _practice_page(desk, fields)


def _practice_page(desk: Desk, fields: Fields, status: int = 200) -> Response:
    return render(
        desk,
        "practice/page.html",
        status=status,
        fields=fields,
        zones=typed_values.zones(),
        has_clients=practice.has_clients(desk.db, actor=desk.person, now=desk.now),
        may_add=may_add(desk.person),
    )


@router.post("/practice")
def change_practice(desk: HeadDesk) -> Response:
    """Set the particulars."""
    fields = Fields(desk.form)
    name = fields.text("name")
    zone = fields.zone("zone")
    emergency_number = fields.phone("emergency_number", most=40, required=False)
    phone = fields.phone("phone", most=40, required=False)
    public_url = _public_url(fields)
    if fields.errors or name is None or zone is None:
        return _practice_page(desk, fields, 422)
    practice.change_particulars(
        desk.db,
        actor=desk.person,
        name=name,
        zone=zone,
        emergency_number=emergency_number,
        phone=phone,
        public_url=public_url,
        now=desk.now,
    )
    return see_other(desk, "/practice", flash="Kept.")


def _public_url(fields: Fields) -> str | None:
    typed = fields.text("public_url", required=False)
    if typed is None:
        return None
    try:
        parts = urlsplit(typed)
        is_plain = bool(parts.hostname) and parts.port != 0 and parts.username is None
    except ValueError:
        is_plain = False
    if not is_plain or parts.scheme not in ("http", "https") or parts.path not in ("", "/") or parts.query:
        fields.refuse("public_url", "This should look like https://desk.example.org, with nothing after the name.")
        return None
    return typed.rstrip("/")


@router.get("/practice/rules")
def show_rules(desk: CoachDesk) -> Response:
    """Every rule with its value, default, limits and provenance."""
    return render(desk, "practice/rules.html", lines=[setting_line(one) for one in practice.settings(desk.db)])


@router.get("/practice/rules/{setting}")
def show_rule(setting: str, desk: HeadDesk) -> Response:
    """One rule, to be changed."""
    return _rule_page(desk, setting, None)


def _rule_page(desk: Desk, name: str, fields: Fields | None) -> Response:
    found = practice.setting(desk.db, name=name)
    if found is None:
        raise NotYours("There is no such rule.")
    shown = fields or Fields(initial={"value": f"{found.value:g}"})
    status = 422 if fields else 200
    return render(
        desk,
        "practice/rule.html",
        status=status,
        line=setting_line(found),
        card=found.card,
        fields=shown,
        published=PUBLISHED_LIMITS if name in PRESSURE_RULES else (),
        concerned=_concerned(desk) if name == DIABETES_RULE else None,
    )


def _concerned(desk: Desk) -> tuple[Client, ...]:
    return diabetes_choice.clients_concerned(
        desk.db, actor=desk.person, today=desk.today, rules=desk.rules, now=desk.now
    )


@router.post("/practice/rules/{setting}")
def change_rule(setting: str, desk: HeadDesk) -> Response:
    """Change one rule."""
    found = practice.setting(desk.db, name=setting)
    if found is None:
        raise NotYours("There is no such rule.")
    fields = Fields(desk.form)
    value = fields.number("value", lowest=found.card.lowest, highest=found.card.highest, unit=found.card.unit)
    reason = fields.text("reason", most=LONGEST_REASON)
    if not fields.errors and value is not None and reason is not None:
        try:
            practice.change_setting(
                desk.db, actor=desk.person, name=setting, value=value, reason=reason, now=desk.now
            )
        except Refused as refusal:
            fields.refuse("value", str(refusal))
    if fields.errors:
        return _rule_page(desk, setting, fields)
    return see_other(desk, "/practice/rules", flash=f"Kept: {found.card.sentence}.")


@router.get("/practice/backup")
def show_backup(desk: CoachDesk) -> Response:
    """Where the data lives and how to keep a copy of it."""
    folder = desk.house.settings.data_dir
    return render(
        desk,
        "practice/backup.html",
        folder=str(folder.resolve()),
        newest_on=newest_copy_on(folder),
        every_days=desk.rules.backup_days,
    )


@router.get("/practice/trail")
def show_trail(desk: HeadDesk) -> Response:
    """What was done in the practice that is about no single client."""
    before = Fields(dict(desk.request.query_params)).whole("before", lowest=1, highest=10**12, required=False)
    entries = practice.trail(desk.db, actor=desk.person, before_id=before)
    shown = entries[: practice.TRAIL_PAGE]
    older = shown[-1].id if len(entries) > len(shown) else None
    lines = [trail_line(one, desk.practice.zone) for one in shown]
    return render(desk, "practice/trail.html", lines=lines, older=older, is_first=before is None)


@router.get("/practice/password")
def show_password(desk: CoachDesk) -> Response:
    """One's own password."""
    return render(desk, "practice/password.html", fields=Fields())


@router.post("/practice/password")
def change_password(tried: OwnPasswordTry, wished: PasswordToSet, desk: CoachDesk) -> Response:
    """Set one's own password; every browser is signed out, this one too."""
    if tried.pause_s > 0:
        page = answer(desk.request, 429, f"There were several wrong passwords. Wait {tried.pause_s} seconds.")
        page.headers["Retry-After"] = str(tried.pause_s)
        return page
    fields = Fields(desk.form)
    if not tried.is_right:
        by = desk.person.person_id
        accounts.note_wrong_password(
            desk.db, email=tried.email, address=tried.address, now=desk.now, by=by, act="change of the own password"
        )
        fields.refuse("own_password", "This is not your present password.")
    if wished.problem:
        fields.refuse("new_password", wished.problem)
    if fields.errors or wished.hash is None:
        return render(desk, "practice/password.html", status=422, fields=fields)
    accounts.change_password(desk.db, actor=desk.person, password_hash=wished.hash, now=desk.now)
    page = lead_on(desk.request, "/sign-in", flash="The password is changed. Sign in with the new one.")
    page.delete_cookie(login_cookie_name(desk.request), path="/", secure=desk.request.url.scheme == "https")
    return page
