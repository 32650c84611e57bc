"""Errors in one shape, with the same code as the command's exit code.

Raise `Refusal` anywhere below a route; the handlers here turn it, what FastAPI refuses by itself
and faults of the program into `{"code", "name", "message", "remedy", "findings"}`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field
from starlette.exceptions import HTTPException

from api.safety.logs import LOG, safe_path
from api.store.basics import MissingError
from packer.model.outcome import Outcome


class FindingOut(BaseModel):
    """One thing found in the input or a plan."""

    code: str = Field(description="Stable code of the rule", examples=["gear-too-heavy"])
    severity: str = Field(description="error, warning or note", examples=["error"])
    message: str = Field(description="One sentence with the value found and what was expected")
    remedy: str = Field(default="", description="What to do")
    where: str = Field(default="", description="The cell", examples=["trip.xlsx!Gear!D14"])
    subject: str = Field(default="", description="The gear, case, stop, leg or role it is about")
    source: str = Field(default="", description="The published rule behind it, where there is one")


class ErrorOut(BaseModel):
    """Every error of this API."""

    code: int = Field(
        description="As the command's exit code: 1 a fault of the program, 2 the input has errors,"
        " 3 no plan satisfies the input, 4 time ran out",
        examples=[2],
    )
    name: str = Field(description="A stable short name of the error", examples=["not-found"])
    message: str = Field(description="One sentence for people")
    remedy: str = Field(default="", description="What to do")
    findings: list[FindingOut] = Field(default=[], description="What was found, in fixed order")


class Refusal(Exception):  # noqa: N818 - "refusal" is the word people read, and it is raised as such
    """The request cannot be met; carries everything the answer says."""

    def __init__(
        self,
        status: int,
        name: str,
        message: str,
        *,
        remedy: str = "",
        outcome: Outcome = Outcome.BAD_INPUT,
        findings: Sequence[Mapping[str, str]] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(message)
        self.status = status
        self.headers = dict(headers or {})
        self.body = ErrorOut(
            code=int(outcome),
            name=name,
            message=message,
            remedy=remedy,
            findings=[FindingOut(**finding) for finding in findings],
        )


def not_found(what: str, key: str) -> Refusal:
    """Refuse for something that is not there."""
    return Refusal(404, "not-found", f"There is no {what} {key!r} here.")


ERRORS: dict[int | str, dict[str, Any]] = {
    status: {"model": ErrorOut, "description": meaning}
    for status, meaning in {
        400: "The request cannot be read",
        401: "Log in first",
        403: "Not with this role, or sent by another site",
        404: "No such thing here",
        409: "Not in this state, or no plan satisfies the input",
        413: "Larger than this server takes",
        422: "The input has errors",
        429: "Too many; wait as long as Retry-After says",
        503: "Too much at once; try again soon",
        504: "Time ran out",
    }.items()
}

_NAMES = {
    400: "bad-request",
    401: "log-in-first",
    404: "not-found",
    405: "not-allowed-here",
    413: "too-large",
}


ShowError = Callable[[Request, "Refusal"], Response]


def install(app: FastAPI, show_error: ShowError) -> None:
    """Answer every error of the API in the one shape, and of the pages as a page."""
    app.state.show_error = show_error
    app.add_exception_handler(Refusal, _refused)
    app.add_exception_handler(MissingError, _missing)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _plain)
    app.add_exception_handler(Exception, _fault)


def answer(refusal: Refusal) -> Response:
    """The refusal as a response."""
    return JSONResponse(refusal.body.model_dump(), refusal.status, refusal.headers)


def _for_reader(request: Request, refusal: Refusal) -> Response:
    if request.url.path.startswith("/api/"):
        return answer(refusal)
    show: ShowError = request.app.state.show_error
    return show(request, refusal)


def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refusal)
    return _for_reader(request, error)


def _missing(request: Request, error: Exception) -> Response:
    return _for_reader(request, not_found("entry", str(error)))


def _invalid(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    first = error.errors()[0]
    place = ".".join(str(part) for part in first["loc"])
    return _for_reader(request, Refusal(422, "bad-request", f"{place}: {first['msg']}."))


def _plain(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    name = _NAMES.get(error.status_code, "refused")
    headers = dict(error.headers or {})
    return _for_reader(
        request, Refusal(error.status_code, name, f"{error.detail}.", headers=headers)
    )


def _fault(request: Request, error: Exception) -> Response:
    LOG.error("fault at %s", safe_path(request.url.path), exc_info=error)
    message = "The program has a fault; nothing that was acknowledged is lost."
    return _for_reader(request, Refusal(500, "fault", message, outcome=Outcome.FAULT))
