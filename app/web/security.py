"""What stands before every route: headers, body limit, origin and tokens."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from urllib.parse import urlsplit

from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.web.render import AMONG_MESSAGES

LARGEST_BODY = 6 * 1024 * 1024
#: A recording of a long session is larger than anything else that is sent, and goes to these addresses only.
LARGEST_RECORDING_BODY = 25 * 1024 * 1024
_RECORDING_END = "/recording"
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'; object-src 'none'"
)
HEADERS = {
    b"content-security-policy": CONTENT_POLICY.encode(),
    b"x-content-type-options": b"nosniff",
    b"referrer-policy": b"same-origin",
    b"cross-origin-opener-policy": b"same-origin",
    b"cross-origin-resource-policy": b"same-origin",
    b"permissions-policy": b"camera=(), microphone=(), geolocation=()",
}
SAFE_METHODS = frozenset({"GET", "HEAD"})


class TooLarge(Exception):
    """A body went over the limit while it streamed in."""


class Guard:
    """Plain ASGI: adds the headers, counts the body's bytes, refuses encoded bodies."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False
        seen = 0
        most = _most_bytes(scope)

        async def counted() -> Message:
            nonlocal seen
            message = await receive()
            seen += len(message.get("body", b""))
            if seen > most:
                raise TooLarge
            return message

        async def with_headers(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                present = {name.lower() for name, _ in message["headers"]}
                message["headers"] = [
                    *message["headers"],
                    *((name, value) for name, value in HEADERS.items() if name not in present),
                ]
            await send(message)

        refusal = _refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, with_headers)
            return
        try:
            await self.app(scope, counted, with_headers)
        except TooLarge:
            if started:
                raise
            await _too_large(most)(scope, receive, with_headers)


def _most_bytes(scope: Scope) -> int:
    is_recording = scope["method"] == "POST" and scope["path"].endswith(_RECORDING_END)
    return LARGEST_RECORDING_BODY if is_recording else LARGEST_BODY


def _too_large(most: int) -> PlainTextResponse:
    return PlainTextResponse(
        f"This is larger than {most // (1024 * 1024)} MB and was not read. Shorten it and send it again.",
        status_code=413,
        headers={"Connection": "close"} | AMONG_MESSAGES,
    )


def _refusal(scope: Scope) -> PlainTextResponse | None:
    headers = {name.lower(): value for name, value in scope["headers"]}
    if headers.get(b"content-encoding", b"identity") != b"identity":
        return PlainTextResponse("Compressed bodies are not accepted.", status_code=415)
    length = headers.get(b"content-length", b"0")
    most = _most_bytes(scope)
    if length.isdigit() and int(length) > most:
        return _too_large(most)
    return None


def new_token() -> str:
    """A secret of 256 random bits for a login, an invitation or a code."""
    return secrets.token_urlsafe(32)


def plain_code(code: str) -> str:
    """A one-time code as it is compared: letters and figures alone, without dashes, spaces or capitals."""
    return "".join(letter for letter in code.casefold() if letter.isalnum())


def token_sha256(token: str) -> str:
    """What is kept of a secret."""
    return hashlib.sha256(token.encode()).hexdigest()


def csrf_token(login_token: str) -> str:
    """The form token that belongs to a login (or to the sign-in page's own cookie)."""
    return hashlib.sha256(b"form:" + login_token.encode()).hexdigest()


def is_same_origin(request: Request) -> bool:
    """Whether a changing request comes from our own pages: by fetch metadata, else by Origin or Referer."""
    site = request.headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    claimed = request.headers.get("origin") or request.headers.get("referer")
    if not claimed or claimed == "null":
        return False
    return urlsplit(claimed).netloc == request.headers.get("host")


def tokens_match(given: str, expected: str) -> bool:
    """Compare two tokens in constant time."""
    return hmac.compare_digest(given.encode(), expected.encode())
