"""The form of a changing request: read whole, within limits, last value per name, uploads apart."""

from __future__ import annotations

import hashlib
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

from python_multipart.multipart import parse_options_header
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

MOST_FIELDS = 2000
LARGEST_FIELD = 256 * 1024
_NOT_PART_OF_CONTENT = frozenset({"csrf_token", "request_id"})


@dataclass
class Sent:
    """The form of a changing request: last value per name, uploads apart."""

    values: dict[str, str]
    files: dict[str, UploadFile]
    body_sha256: str


@asynccontextmanager
async def sent_form(request: Request) -> AsyncIterator[Sent]:
    """The form and the print of its content; uploads are closed afterwards."""
    form = await _form_of(request)
    values = {name: value for name, value in form.multi_items() if isinstance(value, str)}
    files = {name: value for name, value in form.multi_items() if isinstance(value, UploadFile)}
    digest = hashlib.sha256()
    for name, value in sorted(form.multi_items(), key=lambda item: item[0]):
        if name in _NOT_PART_OF_CONTENT:
            continue
        content = value.encode() if isinstance(value, str) else await _bytes_of(value)
        digest.update(f"{name}\0{len(content)}\0".encode() + content)
    try:
        yield Sent(values, files, digest.hexdigest())
    finally:
        await form.close()


async def _form_of(request: Request) -> FormData:
    """The form as sent. Raises: HTTPException 413 when a field is too large, 400 when it cannot be read."""
    _, said = parse_options_header(request.headers.get("content-type", ""))
    # Some of the encodings a sender may name make texts that nothing else can write down again.
    if said.get(b"charset", b"utf-8").lower() not in (b"utf-8", b"utf8", b"us-ascii"):
        raise HTTPException(400, "Forms are read as UTF-8; this one says it is written otherwise.")
    try:
        return await request.form(max_files=10, max_fields=MOST_FIELDS, max_part_size=LARGEST_FIELD)
    except HTTPException as problem:
        if "exceeded maximum size" in problem.detail:
            raise HTTPException(413) from problem
        raise HTTPException(400, "This form is broken or holds too much. Nothing was kept.") from problem


async def _bytes_of(upload: UploadFile) -> bytes:
    content = await upload.read()
    await upload.seek(0)
    return content
