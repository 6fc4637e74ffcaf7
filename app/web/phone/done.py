"""Done: logging a session in under a minute, reading what was understood, and correcting it."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.done_work import is_hard
from app.coaching.look_twice import Doubt
from app.coaching.people import Origin
from app.coaching.reasons import StaleEdit
from app.coaching.session_logs import Answer, Posture, SessionLog, WhyNot
from app.coaching.worrying_words import worrying_words
from app.usecases import hard_pause, session_logs, today
from app.usecases.hard_pause import HardPause
from app.usecases.session_logs import KeptLog, LogEntry, PlannedChoice
from app.web.deps import AskedId, Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.log_form import CHOICES, LogForm, asked_twice, initial_of, read_entry, with_rounds_written
from app.web.log_words import MODE_WORDS, POSTURE_WORDS, said_lines, title_of
from app.web.phone.planned_stop import pause_line, stop_line
from app.web.phone.went import rounds_to_show
from app.web.render import render, see_other

router = APIRouter()

VERY_HARD_FROM = 9
KIND_WORDS = (
    "That number was high. If the plan asked for it, the plan was too high, not you; your coach will look at it."
)
BENT_WORDS = "Having to bend over or sit says the target was too fast. You did right to stop and say so."
BENT_AT_THE_END_WORDS = (
    "Having to bend over or sit says the target was too fast, not that you were too slow. Thank you for saying so; "
    "your coach looks at the target before the next one."
)


@router.get("/me/done")
def show_form(desk: PhoneDesk, session: AskedId = None, extra: bool = False, choose: bool = False) -> Response:
    """The form for one planned session, for something extra, or the choice between them."""
    client_id = own_client_id(desk)
    found = session_logs.choices(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    chosen = None if extra or choose else _chosen(desk, client_id, session, found)
    written = session_logs.lately(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    if chosen is None and not extra and (found or choose):
        ahead = [one for one in reversed(found) if one.session.planned_on > desk.today and one.log_id is None]
        past = [one for one in found if one.session.planned_on <= desk.today and one.log_id is None]
        return render(
            desk,
            "phone/done_choose.html",
            past=past,
            ahead=ahead,
            written=_written(written, found),
            pause=pause_line(_pause(desk)),
        )
    form = _form(desk, chosen)
    initial = {"done_on": chosen.session.planned_on if chosen else desk.today}
    if chosen and chosen.session.planned_on > desk.today:
        initial["done_on"] = desk.today
    return _page(desk, Fields(initial=initial), form, chosen, has_others=bool(found), has_written=bool(written))


@router.post("/me/done")
def keep(desk: PhoneDesk) -> Response:
    """Keep an entry."""
    client_id = own_client_id(desk)
    fields = Fields(desk.form)
    chosen = _posted(desk, client_id, fields)
    form = _form(desk, chosen)
    entry = read_entry(fields, form)
    doubts = _doubts(desk, fields, entry)
    if entry is None or doubts:
        return _page(desk, fields, replace(form, doubts=doubts), chosen, status=422)
    log_id = session_logs.keep(
        desk.db, actor=desk.person, client_id=client_id, entry=entry, origin=Origin.CLIENT, now=desk.now
    )
    return see_other(desk, f"/me/done/{log_id}", flash="Kept. Thank you.")


@router.get("/me/done/{log_id}")
def show_entry(desk: PhoneDesk, log_id: int) -> Response:
    """What was understood, with a kind word where one is due."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    pause = _pause(desk)
    was_too_hard = _was_too_hard(desk, kept, pause)
    return render(
        desk,
        "phone/done_kept.html",
        kept=kept,
        title=kept.planned.title if kept.planned else MODE_WORDS[kept.log.mode],
        said=said_lines(kept.log, kept.planned),
        postures=POSTURE_WORDS,
        kind_words=kind_words(kept.log),
        was_ill=kept.log.why_not is WhyNot.ILL,
        worrying=worrying_words(kept.log.note),
        pause=pause,
        was_too_hard=was_too_hard,
        was_under_stop=_was_under_stop(kept, pause, was_too_hard=was_too_hard),
        went=rounds_to_show(desk, log_id),
    )


@router.get("/me/done/{log_id}/change")
def show_change(desk: PhoneDesk, log_id: int) -> Response:
    """The form as the entry stands."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    fields = Fields(initial=initial_of(kept.log))
    return _page(desk, fields, _change_form(desk, kept, kept.log.revision))


@router.post("/me/done/{log_id}/change")
def change(desk: PhoneDesk, log_id: int) -> Response:
    """Correct an entry; when it was changed meanwhile, say what it says now and keep what was typed."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    fields = Fields(desk.form)
    revision = fields.whole("revision", lowest=1, highest=1_000_000) or 0
    form = _change_form(desk, kept, kept.log.revision)
    typed = read_entry(fields, form)
    entry = None if typed is None else with_rounds_written(typed, fields, kept.log)
    doubts = _doubts(desk, fields, entry, log_id=log_id)
    if entry is None or doubts:
        return _page(desk, fields, replace(_change_form(desk, kept, revision), doubts=doubts), status=422)
    try:
        session_logs.correct(desk.db, actor=desk.person, log_id=log_id, entry=entry, revision=revision, now=desk.now)
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _page(desk, fields, form, status=409)
    return see_other(desk, f"/me/done/{log_id}", flash="Corrected. The earlier words stay on record.")


def _written(written: tuple[SessionLog, ...], found: tuple[PlannedChoice, ...]) -> list[tuple[SessionLog, str]]:
    """What was written lately, each with the name it goes by."""
    titles = {one.session.id: one.session.title for one in found}
    return [(one, titles.get(one.planned_session_id or 0) or title_of(one)) for one in written]


def kind_words(log: SessionLog) -> tuple[str, ...]:
    """A kind word for a very hard day or a bent-over finish; nothing otherwise."""
    if log.answer is Answer.NOT_DONE:
        return ("Thank you for saying so. Nothing is lost; the next one is on your Today.",)
    is_planned = log.answer in (Answer.AS_PLANNED, Answer.PARTLY)
    very_hard = is_planned and log.effort is not None and log.effort >= VERY_HARD_FROM
    return ((KIND_WORDS,) if very_hard else ()) + _bent_words(log)


def _bent_words(log: SessionLog) -> tuple[str, ...]:
    """What bending over or sitting says; only somebody who stopped early is told that stopping was right."""
    if log.posture is not Posture.BENT_OR_SAT:
        return ()
    has_stopped = log.answer is Answer.PARTLY or not all(one.is_complete for one in log.rounds)
    return (BENT_WORDS if has_stopped else BENT_AT_THE_END_WORDS,)


def _doubts(desk: Desk, fields: Fields, entry: LogEntry | None, *, log_id: int = 0) -> tuple[Doubt, ...]:
    if entry is None:
        return ()
    found = session_logs.doubts(
        desk.db,
        actor=desk.person,
        client_id=own_client_id(desk),
        entry=entry,
        rules=desk.rules,
        now=desk.now,
        log_id=log_id,
    )
    return asked_twice(fields, found)


def _chosen(
    desk: Desk, client_id: int, session: int | None, found: tuple[PlannedChoice, ...]
) -> PlannedChoice | None:
    """The session asked for, else today's only unanswered one."""
    if session is not None:
        return session_logs.choice_of(
            desk.db, actor=desk.person, client_id=client_id, planned_session_id=session, now=desk.now
        )
    waiting = [one for one in found if one.session.planned_on == desk.today and one.log_id is None]
    return waiting[0] if len(waiting) == 1 else None


def _posted(desk: Desk, client_id: int, fields: Fields) -> PlannedChoice | None:
    session = fields.whole("planned_session_id", lowest=1, highest=2**53, required=False)
    return _chosen(desk, client_id, session, ()) if session is not None else None


def _form(desk: Desk, chosen: PlannedChoice | None) -> LogForm:
    return LogForm("/me/done", chosen.session if chosen else None, desk.today, is_by_coach=False)


def _change_form(desk: Desk, kept: KeptLog, revision: int) -> LogForm:
    address = f"/me/done/{kept.log.id}"
    return LogForm(
        f"{address}/change",
        kept.planned,
        desk.today,
        is_by_coach=False,
        revision=revision,
        back=address,
        written=kept.log,
    )


def _page(
    desk: Desk,
    fields: Fields,
    form: LogForm,
    chosen: PlannedChoice | None = None,
    *,
    has_others: bool = False,
    has_written: bool = False,
    status: int = 200,
) -> Response:
    pause = _pause(desk) if form.is_extra else None
    return render(
        desk,
        "phone/done.html",
        part="phone/_log_form.html",
        status=status,
        fields=fields,
        form=replace(form, is_hard_paused=pause is not None),
        choices=CHOICES,
        answered_by=chosen.log_id if chosen else None,
        has_others=has_others,
        has_written=has_written,
        pause=pause_line(pause),
        stop=_stop_line(desk, form),
    )


def _stop_line(desk: Desk, form: LogForm) -> str:
    """What stops the session that is written down, as Today says it; a correction is not asked again."""
    if form.planned is None or form.revision:
        return ""
    client_id = own_client_id(desk)
    view = today.load(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return stop_line(view, form.planned)


def _pause(desk: Desk) -> HardPause | None:
    return hard_pause.today(desk.db, actor=desk.person, client_id=own_client_id(desk), rules=desk.rules, now=desk.now)


def _was_under_stop(kept: KeptLog, pause: HardPause | None, *, was_too_hard: bool) -> bool:
    """Whether it was done while all training is paused: anything under a hold, hard work under any such stop."""
    if pause is None or not pause.stops_all or kept.log.done_on < pause.since_on:
        return False
    return was_too_hard or (pause.is_all_held and kept.log.answer is not Answer.NOT_DONE)


def _was_too_hard(desk: Desk, kept: KeptLog, pause: HardPause | None) -> bool:
    """Whether hard work was done while it was paused."""
    if pause is None or kept.log.done_on < pause.since_on:
        return False
    return is_hard(kept.log, kept.planned, desk.rules)
