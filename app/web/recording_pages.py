"""The pages of an entry's recording, the same on the phone and on the coach's side but for their frame."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.responses import Response

from app.coaching.people import Origin
from app.coaching.reasons import Refused
from app.coaching.session_logs import SessionLog
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.recordings import keeping, looking, opened
from app.usecases.recordings.looking import Draft, Taken
from app.usecases.recordings.opened import RecordingPage
from app.web import recording_words as words
from app.web.deps import Desk
from app.web.forms import Fields
from app.web.log_form import ORIGINS
from app.web.recording_upload import SAID
from app.web.render import render, see_other

FILE_MEDIA_TYPE = "text/csv; charset=utf-8; header=present"


@dataclass(frozen=True, slots=True)
class Place:
    """Where the pages of one entry's recording are."""

    log_id: int
    #: The address of the recording's page, without a last stroke.
    here: str
    back: str
    places: str
    is_phone: bool


def page_of(desk: Desk, place: Place, *, client_id: int) -> RecordingPage:
    """The entry and its recordings. Raises: NotYours when the entry is another client's."""
    found = opened.recording_page(desk.db, actor=desk.person, log_id=place.log_id, now=desk.now)
    if found.client.id != client_id:
        raise NotYours("There is no such entry here.")
    return found


def show(desk: Desk, place: Place, found: RecordingPage, fields: Fields, *, status: int = 200) -> Response:
    """What is kept, and the form to add or replace it."""
    one, about = found.standing, found.about
    return render(
        desk,
        "phone/recording.html" if place.is_phone else "recordings/page.html",
        status=status,
        fields=fields,
        where=place,
        draft=None,
        client=found.client,
        log=found.log,
        may_add=found.may_add,
        what=words.what(about, duration_s=one.duration_s, started_at=one.started_at, zone=found.client.zone)
        if one is not None and about is not None
        else None,
        kept=words.kept_line(found),
        earlier=words.earlier_lines(found),
        keeps_places=_keeps_places(found),
        origins=ORIGINS,
    )


def _keeps_places(found: RecordingPage) -> bool:
    return found.places is not None and found.places.keeps_places


def take(desk: Desk, place: Place, taken: Taken, *, client_id: int) -> Response:
    """Lead on to what was understood of a file that was read, or say beside the field why it was not."""
    found = page_of(desk, place, client_id=client_id)
    if not found.may_add:
        raise NotAllowed("A recording cannot be added here.")
    if taken.token is not None:
        return see_other(desk, f"{place.here}?waiting={taken.token}")
    fields = Fields(desk.form)
    fields.refuse("recording", taken.problem or "Choose a file.")
    return show(desk, place, found, fields, status=422)


def open_page(desk: Desk, place: Place, *, client_id: int, waiting: str, table: bool) -> Response:
    """What is kept; or what was understood of a waiting file; or what is kept as a table to save."""
    found = page_of(desk, place, client_id=client_id)
    if waiting:
        return _look(desk, place, found, _draft(desk, place, waiting), None)
    if table and found.standing is not None:
        return _table(desk, place)
    return show(desk, place, found, Fields())


def _draft(desk: Desk, place: Place, token: str) -> Draft:
    folder = desk.house.settings.data_dir
    return looking.draft(folder, actor=desk.person, log_id=place.log_id, token=token, now=desk.now)


def _logs(desk: Desk, place: Place, draft: Draft) -> tuple[SessionLog, ...]:
    """The entries the waiting file may belong to."""
    return opened.logs_of_start(
        desk.db, actor=desk.person, log_id=place.log_id, started_at=draft.started_at, now=desk.now
    )


def _look(
    desk: Desk, place: Place, found: RecordingPage, draft: Draft, fields: Fields | None, *, status: int = 200
) -> Response:
    zone, about = found.client.zone, draft.about
    entries = words.belongs_to(draft, _logs(desk, place, draft), zone)
    if fields is None:
        said: dict[str, object] = {f"{SAID}{name}": value for name, value in draft.answers.items()}
        fields = Fields(initial=said | {"log_id": entries[0][0]})
    return render(
        desk,
        "phone/recording_look.html" if place.is_phone else "recordings/look.html",
        status=status,
        fields=fields,
        where=place,
        client=found.client,
        log=found.log,
        may_add=found.may_add,
        draft=draft,
        said=SAID,
        waits=words.waits_line(draft, zone),
        replaces=found.standing is not None,
        what=None
        if about is None
        else words.what(about, duration_s=draft.duration_s, started_at=draft.started_at, zone=zone),
        doubts=[] if about is None else words.doubts(draft, found.log, zone),
        entries=[] if about is None else entries,
        keeps_places=_keeps_places(found),
        origins=ORIGINS,
    )


def answer_or_keep(desk: Desk, place: Place, answered: Taken, *, client_id: int) -> Response:
    """Go on with what was answered about a waiting file; or keep what was understood of it."""
    found = page_of(desk, place, client_id=client_id)
    fields, token = Fields(desk.form), desk.form.get("waiting", "")
    if answered.token is not None and answered.token != token:
        return see_other(desk, f"{place.here}?waiting={answered.token}")
    draft = _draft(desk, place, token)
    if draft.about is not None:
        return _keep(desk, place, found, draft, fields)
    for one in draft.questions:
        if fields.value(f"{SAID}{one.name}") not in dict(one.choices):
            fields.refuse(f"{SAID}{one.name}", "Choose one of the answers.")
    if answered.problem is not None:
        fields.refuse("", answered.problem)
    return _look(desk, place, found, draft, fields, status=422)


def _keep(desk: Desk, place: Place, found: RecordingPage, draft: Draft, fields: Fields) -> Response:
    logs = _logs(desk, place, draft)
    log_id = fields.whole("log_id", lowest=1, highest=2**53, required=len(logs) > 1) or place.log_id
    if not fields.errors and log_id not in {one.id for one in logs}:
        fields.refuse("log_id", "Choose one of the entries.")
    if not fields.errors:
        try:
            keeping.keep(desk.db, actor=desk.person, log_id=log_id, draft=draft, now=desk.now)
        except Refused as refusal:
            fields.refuse("", str(refusal))
    if fields.errors:
        return _look(desk, place, found, draft, fields, status=422)
    folder = desk.house.settings.data_dir
    looking.drop(folder, actor=desk.person, log_id=place.log_id, token=draft.token, now=desk.now)
    flash = "The recording is kept beside the entry; the file itself is not."
    return see_other(desk, f"{place.back.rpartition('/')[0]}/{log_id}/recording", flash=flash)


def take_away(desk: Desk, place: Place, *, client_id: int) -> Response:
    """Take the recording away."""
    page_of(desk, place, client_id=client_id)
    keeping.take_away(desk.db, actor=desk.person, log_id=place.log_id, now=desk.now)
    return see_other(desk, place.here, flash="Taken away. It can be brought back for two days.")


def bring_back(desk: Desk, place: Place, *, client_id: int) -> Response:
    """Let an earlier one stand again."""
    found = page_of(desk, place, client_id=client_id)
    fields = Fields(desk.form)
    recording_id = fields.whole("recording_id", lowest=1, highest=2**53) or 0
    try:
        keeping.bring_back(desk.db, actor=desk.person, log_id=place.log_id, recording_id=recording_id, now=desk.now)
    except Refused as refusal:
        fields.refuse("recording", str(refusal))
        return show(desk, place, found, fields, status=422)
    return see_other(desk, place.here, flash="Brought back.")


def _table(desk: Desk, place: Place) -> Response:
    file = opened.as_table(desk.db, actor=desk.person, log_id=place.log_id, now=desk.now)
    headers = {"Content-Disposition": f'attachment; filename="{file.name}"', "Cache-Control": "no-store"}
    return Response(file.content, media_type=FILE_MEDIA_TYPE, headers=headers)


def ask_how_known(desk: Desk, place: Place, found: RecordingPage, fields: Fields) -> Response:
    """The page the places were chosen on once more, asking how that is known."""
    waiting = fields.value("waiting")
    if waiting:
        return _look(desk, place, found, _draft(desk, place, waiting), fields, status=422)
    return show(desk, place, found, fields, status=422)


def choose_places(desk: Desk, place: Place, *, client_id: int, origin: Origin) -> Response:
    """Keep what the client says about places; a file that waits to be kept waits on."""
    keeps, waiting = desk.form.get("keeps") == "yes", desk.form.get("waiting", "")
    back = f"{place.here}?waiting={_draft(desk, place, waiting).token}" if waiting else place.here
    keeping.choose_places(
        desk.db, actor=desk.person, client_id=client_id, keeps_places=keeps, origin=origin, now=desk.now
    )
    flash = (
        "From now on places are kept with recordings."
        if keeps
        else "Places are not kept; they were taken out of what was kept before."
    )
    return see_other(desk, back, flash=flash)
