"""One act for a line of many in the morning: handled, put off, spoken with, and all of it taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.morning_groups import message_for
from app.coaching.people import ContactKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.words import counted
from app.usecases.morning import questions
from app.usecases.morning import together as use
from app.usecases.morning.lines import PUT_OFF_MOST
from app.usecases.morning.together import Dealing, OneOfMany, Spoken
from app.web.coach.morning_forms import CONTACT_BACK, CONTACT_OPTIONS, HOME, LONGEST_REASON, PUT_OFF_BY
from app.web.coach.morning_words import SIGNAL_WORDS, sent
from app.web.coach.ticks import id_of, ticked
from app.web.deps import AskedId, CoachDesk, Desk
from app.web.filters import day
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

HANDLED, PUT_OFF, CONTACT = "handled", "put-off", "contact"
#: The reason that is settled by sending the questions.
QUESTIONS = "questions_due"


@dataclass(frozen=True, slots=True)
class BoxView:
    """One client of the line, with the state of it that is shown."""

    field: str
    key_field: str
    key: str
    name: str
    sentence: str


@router.get("/together/handled")
def handled(desk: CoachDesk) -> Response:
    """The small form that handles a line of many."""
    return _open(desk, HANDLED, {})


@router.post("/together/handled")
def keep_handled(desk: CoachDesk) -> Response:
    """Handle it for all who are ticked."""
    fields = Fields(desk.form)
    done = fields.text("done", most=LONGEST_REASON, required=False)
    return _deal(desk, HANDLED, fields, Dealing(done=done))


@router.get("/together/put-off")
def put_off(desk: CoachDesk) -> Response:
    """The small form that puts a line of many off."""
    return _open(desk, PUT_OFF, {"until_on": desk.today + PUT_OFF_BY})


@router.post("/together/put-off")
def keep_put_off(desk: CoachDesk) -> Response:
    """Put it off for all who are ticked."""
    fields = Fields(desk.form)
    until_on = fields.day("until_on", earliest=desk.today + timedelta(days=1), latest=desk.today + PUT_OFF_MOST)
    return _deal(desk, PUT_OFF, fields, Dealing(until_on=until_on))


@router.get("/together/contact")
def contact(desk: CoachDesk) -> Response:
    """The small form of a contact with each of many."""
    signal = desk.request.query_params.get("signal", "")
    initial = {"kind": ContactKind.MESSAGE, "contact_on": desk.today, "text": message_for(signal)}
    return _open(desk, CONTACT, initial)


@router.post("/together/contact")
def keep_contact(desk: CoachDesk) -> Response:
    """Keep one contact with each who is ticked."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", ContactKind)
    contact_on = fields.day("contact_on", earliest=desk.today - CONTACT_BACK, latest=desk.today)
    text = fields.text("text", most=LONG_TEXT, many_lines=True)
    spoken = Spoken(kind, contact_on, text) if kind and contact_on and text else None
    return _deal(desk, CONTACT, fields, Dealing(spoken=spoken))


@router.post("/together/questions")
def send_questions(desk: CoachDesk) -> Response:
    """Ask all of them for their answers; who has no phone signed in goes on waiting."""
    lines = _lines(desk, QUESTIONS, _asked_ids(desk.form.get("of", "")))
    ids = [one.client.id for one in lines]
    found = questions.send_questions(desk.db, actor=desk.person, client_ids=ids, rules=desk.rules, now=desk.now)
    return see_other(desk, HOME, flash=sent(found.asked, found.unreached))


@router.post("/together/undo")
def take_back(desk: CoachDesk, of: AskedId = None) -> Response:
    """Let all lines of one act speak again."""
    back, staying = use.take_back_together(desk.db, actor=desk.person, entry_id=of or 0, zone=desk.zone, now=desk.now)
    stays = f" With {counted(staying, 'client')} the contact stays: a hold was lifted since." if staying else ""
    return see_other(desk, HOME, flash=f"Taken back for {counted(back, 'client')}.{stays}")


def _open(desk: Desk, word: str, initial: dict[str, object]) -> Response:
    asked = desk.request.query_params
    lines = _lines(desk, asked.get("signal", ""), _asked_ids(asked.get("of", "")))
    boxes: dict[str, object] = {f"k{one.client.id}": True for one in lines}
    return _form(desk, word, Fields(initial=initial | boxes), lines)


def _asked_ids(text: str) -> list[int]:
    """The numbers of the clients a line of many is about."""
    return [one for one in map(id_of, text.split(",")) if one is not None]


def _lines(desk: Desk, signal: str, ids: Sequence[int]) -> tuple[OneOfMany, ...]:
    found = use.lines_together(
        desk.db, actor=desk.person, signal=signal, client_ids=ids, rules=desk.rules, now=desk.now
    )
    if not found:
        raise StaleEdit("None of these lines stands any more: what raised them has changed, or they were dealt with.")
    return found


def _deal(desk: Desk, word: str, fields: Fields, dealing: Dealing) -> Response:
    signal, chosen = desk.form.get("signal", ""), {one: desk.form.get(f"s{one}", "") for one in ticked(desk.form)}
    if not fields.errors:
        try:
            use.deal_together(
                desk.db,
                actor=desk.person,
                signal=signal,
                chosen=chosen,
                dealing=dealing,
                rules=desk.rules,
                now=desk.now,
            )
        except (Refused, StaleEdit) as problem:
            fields.refuse("", str(problem))
    if fields.errors:
        return _form(desk, word, fields, _lines(desk, signal, _asked_ids(desk.form.get("of", ""))), status=422)
    return see_other(desk, HOME, flash=_said(dealing, len(chosen)))


def _said(dealing: Dealing, count: int) -> str:
    lines = counted(count, "line")
    if dealing.spoken is not None:
        said = f"A contact is kept with each of {counted(count, 'client')}, and their lines are handled."
    elif dealing.until_on is not None:
        said = f"{lines} put off until {day(dealing.until_on)}."
    else:
        said = f"{lines} handled. Each comes back with new evidence."
    return f"{said} One press below takes it back today."


def _form(desk: Desk, word: str, fields: Fields, lines: Sequence[OneOfMany], *, status: int = 200) -> Response:
    signal = lines[0].signal.name
    return render(
        desk,
        "morning/together.html",
        part="morning/_together.html",
        status=status,
        word=word,
        fields=fields,
        boxes=[_box(one) for one in lines],
        of=",".join(str(one.client.id) for one in lines),
        signal=signal,
        what=SIGNAL_WORDS[signal],
        slot=f"desk-{signal.replace('_', '-')}",
        prefix=f"g{signal.replace('_', '-')}",
        message=message_for(signal),
        contact_options=CONTACT_OPTIONS,
        earliest_contact=desk.today - CONTACT_BACK,
        today=desk.today,
        tomorrow=desk.today + timedelta(days=1),
        latest_put_off=desk.today + PUT_OFF_MOST,
        longest=LONGEST_REASON,
    )


def _box(one: OneOfMany) -> BoxView:
    id_ = one.client.id
    return BoxView(f"k{id_}", f"s{id_}", one.signal.key, one.client.name, one.signal.sentence)
