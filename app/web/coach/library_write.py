"""Sessions of the practice's own: copied, written, changed, retired and brought back."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Mode
from app.coaching.protocol_checks import (
    LONGEST_NAME,
    LONGEST_TEXT,
    LONGEST_WORDS,
    MOST_ROUNDS,
    NOT_DONE_IN_ROUNDS,
)
from app.coaching.protocol_library import OwnDraft, OwnProtocol, modes_json, own_draft
from app.coaching.protocol_values import FINISH_RULE
from app.coaching.reasons import StaleEdit
from app.coaching.session_steps import NOUNS
from app.coaching.words import duration_words
from app.usecases import library as use
from app.usecases.gate import NotYours
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

MODE_FIELDS = tuple((f"mode_{mode.value}", NOUNS[mode]) for mode in Mode if mode not in NOT_DONE_IN_ROUNDS)
NEW = "/plan/library-new"


@router.get(NEW)
def new_page(desk: CoachDesk, copy: str = "") -> Response:
    """The form of a new entry: a copy of another, or from nothing."""
    use.require_writer(desk.person)
    source = desk.library.named(copy)
    initial = _values(own_draft(source, name=f"{source.name}, our way")) if source else {"finish_rule": FINISH_RULE}
    return _page(desk, Fields(initial=initial | {"copied_from": copy if source else ""}), None, status=200)


@router.post(NEW)
def new_form(desk: CoachDesk) -> Response:
    """Keep a new entry."""
    use.require_writer(desk.person)
    fields = Fields(desk.form)
    copied_from = fields.text("copied_from", required=False)
    draft = _read(desk, fields)
    if draft is None:
        return _page(desk, fields, None, status=422)
    key, problems = use.keep_own(desk.db, actor=desk.person, draft=draft, copied_from=copied_from, now=desk.now)
    if key is None:
        return _refused(desk, fields, problems, None)
    return see_other(desk, f"/plan/library/{key}", flash=f"{draft.name} is kept, and offered wherever one is chosen.")


@router.get("/plan/library/{protocol_key}/change")
def change_page(desk: CoachDesk, protocol_key: str) -> Response:
    """The form of an entry of the practice's own."""
    use.require_writer(desk.person)
    own = _own(desk, protocol_key)
    return _page(desk, Fields(initial=_values(_draft(own)) | {"revision": own.revision}), own, status=200)


@router.post("/plan/library/{protocol_key}/change")
def change_form(desk: CoachDesk, protocol_key: str) -> Response:
    """Keep a changed entry."""
    use.require_writer(desk.person)
    own = _own(desk, protocol_key)
    fields = Fields(desk.form)
    revision = fields.whole("revision", lowest=1, highest=10**9)
    draft = _read(desk, fields)
    if draft is None or revision is None:
        return _page(desk, fields, own, status=422)
    try:
        problems = use.change_own(
            desk.db, actor=desk.person, key=protocol_key, revision=revision, draft=draft, now=desk.now
        )
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _page(desk, fields, own, status=409)
    if problems:
        return _refused(desk, fields, problems, own)
    return see_other(desk, f"/plan/library/{protocol_key}", flash="Changed. What is planned already stays as it is.")


@router.post("/plan/library/{protocol_key}/retire")
def retire_form(desk: CoachDesk, protocol_key: str) -> Response:
    """Offer it no more."""
    name = use.retire_own(desk.db, actor=desk.person, key=protocol_key, now=desk.now).name
    return see_other(desk, f"/plan/library/{protocol_key}", flash=f"{name} is retired; it can be brought back here.")


@router.post("/plan/library/{protocol_key}/restore")
def restore_form(desk: CoachDesk, protocol_key: str) -> Response:
    """Offer it again."""
    name = use.restore_own(desk.db, actor=desk.person, key=protocol_key, now=desk.now).name
    return see_other(desk, f"/plan/library/{protocol_key}", flash=f"{name} is offered again.")


def _own(desk: Desk, key: str) -> OwnProtocol:
    own = desk.library.own_of(key)
    if own is None:
        raise NotYours("There is no such session of the practice's own.")
    return own


def _draft(own: OwnProtocol) -> OwnDraft:
    return OwnDraft(**{name: getattr(own, name) for name in OwnDraft.__dataclass_fields__})


def _values(draft: OwnDraft) -> dict[str, object]:
    """What the form shows first."""
    return {
        "name": draft.name[:LONGEST_NAME],
        "purpose": draft.purpose,
        "suits": draft.suits,
        "work": duration_words(draft.work_s),
        "recovery": duration_words(draft.recovery_s),
        "rounds": draft.rounds,
        "rounds_least": draft.rounds_least,
        "rounds_most": draft.rounds_most,
        "set_of": draft.set_of or "",
        "set_recovery": duration_words(draft.set_recovery_s) if draft.set_recovery_s else "",
        "finish_rule": draft.finish_rule,
        "also_words": draft.also_words,
        "evidence": draft.evidence,
        "step_up": draft.step_up,
        "step_down": draft.step_down,
        **{f"mode_{mode.value}": True for mode in draft.modes},
    }


def _read(desk: Desk, fields: Fields) -> OwnDraft | None:
    """What was typed; None with errors beside the fields."""
    name = fields.text("name", most=LONGEST_NAME)
    purpose = fields.text("purpose", most=LONGEST_WORDS)
    suits = fields.text("suits", most=LONGEST_WORDS)
    work_s, recovery_s = fields.duration_s("work"), fields.duration_s("recovery")
    least, usual, most = (
        fields.whole(one, lowest=1, highest=MOST_ROUNDS) for one in ("rounds_least", "rounds", "rounds_most")
    )
    set_of = fields.whole("set_of", lowest=0, highest=MOST_ROUNDS, required=False)
    set_recovery_s = fields.duration_s("set_recovery", required=False)
    finish_rule = fields.text("finish_rule", most=LONGEST_TEXT)
    also_words = fields.text("also_words", most=LONGEST_WORDS, required=False)
    evidence = fields.text("evidence", most=LONGEST_TEXT, required=False)
    steps = {one: _step(desk, fields, one) for one in ("step_up", "step_down")}
    modes = tuple(mode for mode in Mode if fields.yes(f"mode_{mode.value}"))
    if fields.errors or not (name and purpose and suits and finish_rule):
        return None
    if work_s is None or recovery_s is None or least is None or usual is None or most is None:
        return None
    return OwnDraft(
        name=name,
        purpose=purpose,
        suits=suits,
        work_s=work_s,
        recovery_s=recovery_s,
        rounds=usual,
        rounds_least=least,
        rounds_most=most,
        set_of=set_of or 0,
        set_recovery_s=set_recovery_s or 0,
        modes_json=modes_json(modes),
        finish_rule=finish_rule,
        also_words=also_words,
        evidence=evidence,
        **steps,
    )


def _step(desk: Desk, fields: Fields, name: str) -> str | None:
    key = fields.text(name, required=False)
    if key is not None and desk.library.named(key) is None:
        fields.refuse(name, "Choose one of the library, or none.")
    return key


def _refused(desk: Desk, fields: Fields, problems: tuple[tuple[str, str], ...], own: OwnProtocol | None) -> Response:
    for name, sentence in problems:
        fields.refuse(MODE_FIELDS[0][0] if name == "modes" else name, sentence)
    return _page(desk, fields, own, status=422)


def _page(desk: Desk, fields: Fields, own: OwnProtocol | None, *, status: int) -> Response:
    return render(
        desk,
        "library/write.html",
        status=status,
        fields=fields,
        own=own,
        address=f"/plan/library/{own.key}/change" if own else NEW,
        back=f"/plan/library/{own.key}" if own else "/plan/library",
        mode_fields=MODE_FIELDS,
        step_options=[(key, one.name) for key, one in desk.library.offered.items()],
        longest=(LONGEST_NAME, LONGEST_WORDS, LONGEST_TEXT),
    )
