"""Stands before every route: size, host, other sites, who is asking; and the headers of answers.

A pure ASGI layer, so that streams pass through it as they come. Everything it refuses has the one
error shape.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.errors import Refusal, answer
from api.safety.identity import Door, Person
from api.safety.logs import LOG, safe_path
from api.settings import Settings, is_loopback

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    # Not "no-referrer": with that, browsers hide the Origin of our own forms from us.
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
)
_FORM_OVERHEAD = 64 * 1024


class Guard:
    """The layer round the whole app."""

    def __init__(self, app: ASGIApp, settings: Settings, door: Door) -> None:
        self._app = app
        self._settings = settings
        self._door = door
        self._most_bytes = settings.ceilings.upload_bytes + _FORM_OVERHEAD

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        watch = _Watch(send, private=not scope["path"].startswith("/static/"))
        try:
            await self._admit(Request(scope))
        except Refusal as refusal:
            await answer(refusal)(scope, receive, watch.send)
        else:
            await self._app(scope, _Meter(receive, self._most_bytes).receive, watch.send)
        finally:
            watch.log(scope)

    async def _admit(self, request: Request) -> None:
        self._check_host(request)
        self._check_length(request)
        person = await run_in_threadpool(self._door.who, request)
        check_origin(request, person)
        request.scope.setdefault("state", {})["person"] = person

    def _check_host(self, request: Request) -> None:
        # A foreign name that resolves to this machine would make its pages same-origin with ours.
        name = urlsplit(f"//{request.headers.get('host', '')}").hostname or ""
        if self._settings.is_loopback and not is_loopback(name):
            raise Refusal(403, "wrong-host", "This server answers on this machine's own name only.")

    def _check_length(self, request: Request) -> None:
        stated = request.headers.get("content-length", "0")
        if stated.isdigit() and int(stated) > self._most_bytes:
            message = f"This server takes at most {self._most_bytes:,} bytes at once."
            raise Refusal(413, "too-large", message)


def check_origin(request: Request, person: Person | None) -> None:
    """Refuse what another site makes a browser send (Fetch Metadata; Origin, RFC 6454)."""
    if request.method in SAFE_METHODS:
        return
    site = request.headers.get("sec-fetch-site")
    origin = request.headers.get("origin")
    by_browser = site is not None or origin is not None
    foreign = site is not None and site not in ("same-origin", "none")
    if origin is not None and urlsplit(origin).netloc != request.headers.get("host"):
        foreign = True
    if foreign or (person is not None and person.by_cookie and not by_browser):
        raise Refusal(403, "other-site", "This was sent from another site, so it was not done.")


class _Meter:
    """Counts the bytes of a body that does not say its length, or lies about it."""

    def __init__(self, receive: Receive, most_bytes: int) -> None:
        self._receive = receive
        self._left = most_bytes
        self._most = most_bytes

    async def receive(self) -> Message:
        message = await self._receive()
        self._left -= len(message.get("body", b""))
        if self._left < 0:
            # Of the framework's own kind: it turns any other into "cannot be parsed".
            raise HTTPException(413, f"This server takes at most {self._most:,} bytes at once")
        return message


class _Watch:
    """Adds the headers to an answer and remembers its status for the log."""

    def __init__(self, send: Send, *, private: bool) -> None:
        self._send = send
        self._private = private
        self._status = 0
        self._begun = time.monotonic()

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self._status = message["status"]
            _add(message, HEADERS)
            if self._private:
                _add(message, ((b"cache-control", b"private, no-store"),))
        await self._send(message)

    def log(self, scope: Scope) -> None:
        milliseconds = (time.monotonic() - self._begun) * 1000
        path = safe_path(scope["path"])
        LOG.info("%s %s %d %.0f ms", scope["method"], path, self._status, milliseconds)


def _add(message: MutableMapping[str, Any], headers: Iterable[tuple[bytes, bytes]]) -> None:
    there = {name.lower() for name, _ in message["headers"]}
    fresh = [(name, value) for name, value in headers if name not in there]
    message["headers"] = [*message["headers"], *fresh]
