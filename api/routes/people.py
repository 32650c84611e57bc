"""People: log in and out, accounts, links that open one trip for a while."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Request
from fastapi.responses import JSONResponse, Response

from api.errors import ERRORS, Refusal
from api.routes import API
from api.routes.having import Looker, Manager, TheDesk, TheTrip
from api.safety.identity import COOKIE, caller_of, later
from api.safety.passwords import hash_password, mark_of, new_secret
from api.settings import Settings
from api.shapes.people import (
    AccountIn,
    AccountOut,
    AccountsOut,
    LinkIn,
    LinkOut,
    LinksOut,
    LogIn,
    SessionOut,
)
from api.store.people import Account, Link, Session

router = APIRouter(prefix=API, tags=["people"], responses=ERRORS)
AccountName = Annotated[str, Path(pattern=r"^[\w .@-]{1,100}$", examples=["anna"])]
LinkId = Annotated[str, Path(pattern="^[a-z0-9]{1,40}$", description="A link's id")]


@router.post("/sessions", status_code=201, response_model=SessionOut)
def log_in(log: LogIn, request: Request, desk: TheDesk) -> JSONResponse:
    """Log in; the answer sets a cookie and tells the secret once."""
    secret, session = desk.door.log_in(log.name, log.password, caller_of(request))
    answer = JSONResponse(session_out(session, secret).model_dump(), 201)
    set_cookie(answer, secret, desk.settings)
    return answer


@router.get("/sessions/mine")
def who_am_i(person: Looker) -> SessionOut:
    """Who this server takes you for."""
    return SessionOut(
        name=person.name,
        role=person.role.word,  # type: ignore[arg-type]
        trip=person.trip,
        ends="",
        secret="",
    )


@router.delete("/sessions/mine", status_code=204)
def log_out(request: Request, desk: TheDesk) -> Response:
    """Log out."""
    desk.door.log_out(request)
    answer = Response(status_code=204)
    answer.delete_cookie(COOKIE)
    return answer


@router.get("/accounts")
def list_accounts(desk: TheDesk, _person: Manager) -> AccountsOut:
    """All accounts by name."""
    return AccountsOut(accounts=[_account_out(one) for one in desk.store.people.accounts()])


@router.put("/accounts/{name}")
def set_account(name: AccountName, account: AccountIn, desk: TheDesk, _: Manager) -> AccountOut:
    """Make an account, or change its role and password; its sessions end."""
    if account.role != "manage":
        _keep_a_manager(desk.settings, desk.store.people.accounts(), name)
    desk.store.people.set_account(name, account.role, hash_password(account.password))
    return _account_out(desk.store.people.account(name))


@router.delete("/accounts/{name}", status_code=204)
def remove_account(name: AccountName, desk: TheDesk, _person: Manager) -> Response:
    """Remove an account; its sessions end."""
    accounts = desk.store.people.accounts()
    if len(accounts) > 1:
        _keep_a_manager(desk.settings, accounts, name)
    desk.store.people.remove_account(name)
    return Response(status_code=204)


@router.get("/trips/{trip}/links")
def list_links(trip: TheTrip, desk: TheDesk, _person: Manager) -> LinksOut:
    """The links of a trip that still work; their secrets are not told again."""
    return LinksOut(
        trip=trip.id, links=[_link_out(one) for one in desk.store.people.links(trip.id)]
    )


@router.post("/trips/{trip}/links", status_code=201)
def make_link(trip: TheTrip, link: LinkIn, desk: TheDesk, person: Manager) -> LinkOut:
    """Make a link that opens this trip alone, until it ends."""
    secret = new_secret()
    made = desk.store.people.add_link(
        mark_of(secret), trip.id, link.role, later(link.hours), person.name
    )
    return _link_out(made, f"/l/{secret}")


@router.delete("/trips/{trip}/links/{link}", status_code=204)
def end_link(trip: TheTrip, link: LinkId, desk: TheDesk, _person: Manager) -> Response:
    """Take a link back; whoever came by it is out."""
    desk.store.people.remove_link(trip.id, link)
    return Response(status_code=204)


def set_cookie(answer: Response, secret: str, settings: Settings) -> None:
    """Give the browser its session: not for scripts, not for other sites."""
    answer.set_cookie(
        COOKIE, secret, httponly=True, samesite="strict", secure=settings.https, path="/"
    )


def session_out(session: Session, secret: str = "") -> SessionOut:
    """A session as a shape."""
    return SessionOut(
        name=session.account,
        role=session.role,  # type: ignore[arg-type]
        trip=session.trip,
        ends=session.ends,
        secret=secret,
    )


def _keep_a_manager(settings: Settings, accounts: tuple[Account, ...], name: str) -> None:
    others = [one for one in accounts if one.role == "manage" and one.name != name]
    if not others and not settings.token:
        message = "Nobody with the role manage would be left."
        raise Refusal(409, "last-manager", message, remedy="Make an account that manages first.")


def _account_out(account: Account) -> AccountOut:
    return AccountOut(name=account.name, role=account.role, made=account.made)  # type: ignore[arg-type]


def _link_out(link: Link, path: str = "") -> LinkOut:
    return LinkOut(
        id=link.id,
        trip=link.trip,
        role=link.role,  # type: ignore[arg-type]
        ends=link.ends,
        made=link.made,
        made_by=link.made_by,
        path=path,
    )
