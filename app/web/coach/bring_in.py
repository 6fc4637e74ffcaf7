"""The pages that bring a practice in: upload, say what the columns mean, look row by row, keep, confirm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.phases import PHASE_WORDS
from app.usecases.bring_in import confirm, uploads
from app.usecases.bring_in.uploads import FileLook, Look
from app.usecases.bring_in.values import Becomes, Fate
from app.usecases.gate import NotYours
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

HOME = "/practice/import"
KIND_LABELS = {
    "clients": ("Clients", "Names, ways to reach them, birth dates, phase and since when."),
    "sessions": ("Sessions that were done", "One row a session: who, day, minutes, and what else you kept."),
    "readiness": ("Readiness notes", "How they slept and felt, one row a day."),
}
LONGEST_ID = 18
FIRST_SHOWN = 40
MOST_SHOWN = 2000
SETTINGS: dict[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "dates": (
        "Dates",
        (
            ("day-first", "day first, 3/4 is 3 April"),
            ("month-first", "month first, 3/4 is 4 March"),
            ("iso", "year-month-day"),
        ),
    ),
    "decimals": ("Decimals", (("comma", "comma, 7,5"), ("point", "point, 7.5"))),
    "distance": ("Distances", (("km", "kilometres"), ("miles", "miles"))),
    "effort": ("Effort", (("0-10", "from 0 to 10"), ("6-20", "from 6 to 20"))),
    "high_is": ("A high number means", (("better", "better"), ("worse", "worse"))),
}
SETTINGS_OF = {
    "clients": ("dates",),
    "sessions": ("dates", "decimals", "distance", "effort"),
    "readiness": ("dates", "decimals", "high_is"),
}


@router.get(HOME)
def upload_page(desk: CoachDesk) -> Response:
    """Choose the files; what was brought in before; phases that wait."""
    return _upload_page(desk, Fields())


def _upload_page(desk: Desk, fields: Fields, status: int = 200) -> Response:
    return render(
        desk,
        "bring_in/page.html",
        status=status,
        fields=fields,
        kinds=[(kind, *KIND_LABELS[kind]) for kind in uploads.KINDS],
        recent=uploads.recent(desk.db, actor=desk.person),
        waiting=confirm.waiting(desk.db, actor=desk.person, now=desk.now),
        phase_words=PHASE_WORDS,
    )


@router.post(HOME)
def upload(desk: CoachDesk) -> Response:
    """Take the files in for looking."""
    given = [
        (kind, Path(sent.filename).name[:200], sent.file.read())
        for kind in uploads.KINDS
        if (sent := desk.sent.files.get(kind)) is not None and sent.filename
    ]
    fields = Fields(desk.form)
    if not given:
        fields.refuse("clients", "Choose at least one file.")
        return _upload_page(desk, fields, 422)
    token, problems = uploads.take(_folder(desk), actor=desk.person, files=given, now=desk.now)
    if token is None:
        for kind, sentence in problems.items():
            fields.refuse(kind, sentence)
        return _upload_page(desk, fields, 422)
    return see_other(desk, f"{HOME}/{token}")


@router.get(HOME + "/{token}")
def look_page(token: str, desk: CoachDesk) -> Response:
    """What would happen, row by row; or, once it was kept, what happened."""
    look = _look(desk, token)
    if look.result is not None:
        return _result_page(desk, look)
    at = _place(desk.request.query_params)
    return _look_page(desk, look, Fields(None, _initial(look.files)), at=at)


def _look_page(
    desk: Desk, look: Look, fields: Fields, *, at: tuple[int, int] | None = None, status: int = 200
) -> Response:
    shows_all = desk.request.query_params.get("rows") == "all"
    return render(
        desk,
        "bring_in/look.html",
        status=status,
        look=look,
        fields=fields,
        files=list(enumerate(look.files)),
        kind_labels=KIND_LABELS,
        settings=SETTINGS,
        settings_of=SETTINGS_OF,
        words=[_word_fields(file) for file in look.files],
        rows=[_shown(file, MOST_SHOWN if shows_all else FIRST_SHOWN) for file in look.files],
        shows_all=shows_all,
        at=at,
    )


def _result_page(desk: Desk, look: Look) -> Response:
    return render(
        desk,
        "bring_in/result.html",
        result=look.result,
        problems=look.problems,
        waiting=confirm.waiting(desk.db, actor=desk.person, now=desk.now),
        phase_words=PHASE_WORDS,
    )


@router.post(HOME + "/{token}")
def answer(token: str, desk: CoachDesk) -> Response:
    """Keep what was said about the columns; keep the rows too when nothing changed since they were looked at."""
    heads = uploads.headers_of(_folder(desk), actor=desk.person, token=token, now=desk.now)
    said = [_said(desk.form, index, headers) for index, headers in enumerate(heads)]
    is_changed, problems = uploads.answer(
        desk.db, _folder(desk), actor=desk.person, token=token, answers=said, now=desk.now
    )
    if problems:
        fields, look_at = Fields(desk.form), _look(desk, token)
        for index, sentence in problems.items():
            fields.refuse(f"column-{index}-0", f"{look_at.files[index].name}: {sentence}")
        return _look_page(desk, look_at, fields, status=422)
    if desk.form.get("do") == "keep" and not is_changed:
        return _keep(desk, token, (0, 0))
    flash = "The rows below follow your answers now. Look at them, then bring them in." if is_changed else None
    return see_other(desk, f"{HOME}/{token}", flash=flash)


@router.post(HOME + "/{token}/keep")
def keep(token: str, desk: CoachDesk) -> Response:
    """Go on keeping a long upload from where the last step ended."""
    return _keep(desk, token, _place(desk.form) or (0, 0))


@router.post(HOME + "/{token}/mapping")
def use_mapping(token: str, desk: CoachDesk) -> Response:
    """Read the files as a mapping file says."""
    sent = desk.sent.files.get("mapping")
    problem: str | None = "Choose the mapping file."
    if sent is not None and sent.filename:
        content = sent.file.read()
        problem = uploads.use_mapping_file(
            desk.db, _folder(desk), actor=desk.person, token=token, content=content, now=desk.now
        )
    if problem is None:
        return see_other(desk, f"{HOME}/{token}", flash="Read as the mapping file says. Look at the rows below.")
    look = _look(desk, token)
    fields = Fields(None, _initial(look.files))
    fields.refuse("mapping", problem)
    return _look_page(desk, look, fields, status=422)


@router.post(HOME + "/{token}/forget")
def forget(token: str, desk: CoachDesk) -> Response:
    """Drop an upload without keeping anything."""
    uploads.forget(_folder(desk), actor=desk.person, token=token, now=desk.now)
    return see_other(desk, HOME, flash="Nothing was kept; the files are gone from the desk.")


def _keep(desk: Desk, token: str, at: tuple[int, int]) -> Response:
    kept = uploads.keep(desk.db, _folder(desk), actor=desk.person, token=token, at=at, now=desk.now)
    if kept is None:
        return see_other(desk, f"{HOME}/{token}", flash="Something is still to be answered below.")
    # The uploaded bytes go only after the transaction has surely ended well.
    desk.request.state.journal.append(lambda db: uploads.settle(db, _folder(desk), token=token, kept=kept))
    place = "" if kept.next_at is None else f"?file={kept.next_at[0]}&row={kept.next_at[1]}"
    return see_other(desk, f"{HOME}/{token}{place}")


@router.post("/practice/brought-in")
def confirm_all(desk: CoachDesk) -> Response:
    """Confirm every phase that was shown as waiting."""
    ids = [_id(one) for one in desk.form.get("decision_ids", "").split(",")]
    count = confirm.confirm_all(desk.db, actor=desk.person, decision_ids=ids, now=desk.now)
    return see_other(desk, HOME, flash=f"Confirmed as brought in: {count}.")


@router.post("/clients/{client_id}/brought-in")
def confirm_one(client_id: int, desk: CoachDesk) -> Response:
    """Confirm one client's phase as brought in."""
    decision_id = _id(desk.form.get("decision_id", ""))
    confirm.confirm_brought_in(desk.db, desk.person, client_id, decision_id, desk.now)
    return see_other(desk, f"/clients/{client_id}", flash="Confirmed as brought in.")


def _id(given: str) -> int:
    """The id a form carries; 0, which is nobody's, for anything else."""
    return int(given) if given.isascii() and given.isdigit() and len(given) <= LONGEST_ID else 0


def _folder(desk: Desk) -> Path:
    return desk.house.settings.data_dir


def _look(desk: Desk, token: str) -> Look:
    return uploads.look(desk.db, _folder(desk), actor=desk.person, token=token, now=desk.now)


def _place(given: Mapping[str, str]) -> tuple[int, int] | None:
    """Where a long upload goes on: the file's number and the row's."""
    parts = given.get("file", ""), given.get("row", "")
    if not any(parts):
        return None
    if not all(part.isascii() and part.isdigit() and len(part) < 8 for part in parts):
        raise NotYours("There is no such place in this upload.")
    return int(parts[0]), int(parts[1])


def _said(form: Mapping[str, str], index: int, headers: Sequence[str]) -> dict[str, Any]:
    """What the form says about one file, as the plain values of a mapping."""
    columns = {
        header: field
        for number, header in enumerate(headers)
        if header and (field := form.get(f"column-{index}-{number}", ""))
    }
    words: dict[str, dict[str, str]] = {}
    for name, word in form.items():
        if name.startswith(f"said-{index}-") and (meant := form.get(name.replace("said-", "word-", 1), "")):
            words.setdefault(name.split("-")[2], {})[word] = meant
    plain: dict[str, Any] = {name: form.get(f"{name}-{index}", "") for name in SETTINGS}
    ends = (form.get(f"lowest-{index}", "").strip(), form.get(f"highest-{index}", "").strip())
    if any(ends):
        plain["scale"] = [int(end) if end.isascii() and end.isdigit() and len(end) < 8 else end for end in ends]
    return {**plain, "columns": columns, "words": words}


def _initial(files: Sequence[FileLook]) -> dict[str, object]:
    """What the form shows before anything is typed."""
    shown: dict[str, object] = {}
    for index, file in enumerate(files):
        shown |= {f"column-{index}-{number}": column.field for number, column in enumerate(file.columns)}
        shown |= {f"{name}-{index}": file.answers[name] for name in SETTINGS}
        lowest, highest = file.answers["scale"] or (None, None)
        shown |= {f"lowest-{index}": lowest, f"highest-{index}": highest}
        shown |= {f"word-{index}-{one.field}-{one.number}": one.meant for one in _word_fields(file)}
    return shown


@dataclass(frozen=True, slots=True)
class WordField:
    """One word of a file that has to be explained."""

    field: str
    number: int
    word: str
    #: What it means so far; "" while nobody said, and its rows stay refused.
    meant: str
    #: What it stands near to, only named; "" when nothing.
    near: str
    choices: tuple[tuple[str, str], ...]


def _word_fields(file: FileLook) -> list[WordField]:
    """The words of a file: explained ones first, then open ones."""
    explained = [
        (name, word, meant, "") for name, words in file.answers["words"].items() for word, meant in words.items()
    ]
    opened = [(unknown.field, unknown.word, "", unknown.guess) for unknown in file.unknown]
    found = []
    for number, (name, word, meant, guess) in enumerate([*explained, *opened]):
        choices = tuple(uploads.choices_of(name))
        found.append(WordField(name, number, word, meant, dict(choices).get(guess, ""), choices))
    return found


def _shown(file: FileLook, most: int) -> list[Fate]:
    """The refused rows first, then the others, as many as asked for."""
    fates = () if file.fate is None else file.fate.fates
    return sorted(fates, key=lambda fate: fate.becomes is not Becomes.REFUSED)[:most]
