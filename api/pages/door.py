"""Coming in and going out: log-in, links for one trip, log-out; and what the browser keeps."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import FileResponse, Response

from api.errors import Refusal
from api.pages.frame import STATIC, go, show
from api.routes.having import TheDesk
from api.routes.people import set_cookie
from api.safety.identity import COOKIE, caller_of

router = APIRouter(include_in_schema=False)


@router.get("/log-in")
def log_in_page(request: Request, desk: TheDesk) -> Response:
    """Where strangers come to."""
    wanted = own_path(request.query_params.get("next", "/"))
    return show(
        request, "log-in.html", wanted=wanted, refused=None, token=bool(desk.settings.token)
    )


@router.post("/log-in")
def log_in(
    request: Request,
    desk: TheDesk,
    password: Annotated[str, Form(max_length=500)],
    name: Annotated[str, Form(max_length=100)] = "",
    wanted: Annotated[str, Form(max_length=500)] = "/",
) -> Response:
    """A name and password, or the token."""
    try:
        secret, _ = desk.door.log_in(name, password, caller_of(request))
    except Refusal as refusal:
        return show(
            request,
            "log-in.html",
            status=refusal.status,
            wanted=own_path(wanted),
            refused=refusal.body,
            token=bool(desk.settings.token),
        )
    answer = go(own_path(wanted))
    set_cookie(answer, secret, desk.settings)
    return answer


@router.post("/log-out")
def log_out(request: Request, desk: TheDesk) -> Response:
    """End the session, and let the browser forget the pages it kept."""
    desk.door.log_out(request)
    answer = go("/log-in")
    answer.delete_cookie(COOKIE)
    answer.headers["Clear-Site-Data"] = '"cache", "storage"'
    return answer


@router.get("/l/{secret}")
def follow_link(secret: str, request: Request, desk: TheDesk) -> Response:
    """Come in by a link, to its one trip."""
    session_secret, session = desk.door.follow_link(secret, caller_of(request))
    answer = go(f"/trips/{session.trip}/cases")
    set_cookie(answer, session_secret, desk.settings)
    return answer


@router.get("/worker.js")
def worker() -> Response:
    """The script that keeps pages for when the network is gone; served at the root it covers."""
    return FileResponse(
        STATIC / "worker.js",
        media_type="text/javascript",
        headers={"Cache-Control": "no-cache"},
    )


def own_path(path: str) -> str:
    """A path on this server and nothing else, so that nobody is sent elsewhere after log-in."""
    plain = path.startswith("/") and not path.startswith(("//", "/\\"))
    return path if plain and path.isprintable() else "/"
