"""Puts the server together: settings in, an ASGI app out.

`create_app(settings)` opens the store at start-up, takes up what a former server left, and gives
everything back in order at the end.
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from api import errors
from api.desk import Desk
from api.pages import borders as borders_page
from api.pages import cases as cases_page
from api.pages import decisions as decisions_page
from api.pages import door
from api.pages import history as history_page
from api.pages import losses as losses_page
from api.pages import next_trip as next_trip_page
from api.pages import papers as papers_page
from api.pages import scale as scale_page
from api.pages import solve as solve_page
from api.pages import studies as studies_page
from api.pages import trip as trip_page
from api.pages.frame import STATIC, show_error
from api.routes import (
    borders,
    cases,
    decisions,
    edits,
    history,
    losses,
    nearer,
    next_trip,
    packing,
    papers,
    people,
    plans,
    rules,
    scale,
    studies,
    trips,
)
from api.safety.guard import Guard
from api.settings import Settings
from api.store import Store
from packer import __version__

_ABOUT = """
Trips, plans and papers of a touring party's equipment, over the same core as the command.

Money is in minor units (cents) of the trip currency, weights in grams, lengths in millimetres,
times ISO 8601 in UTC. Every error has one shape with the command's exit code in `code`.
"""
ROUTERS = (
    trips,
    next_trip,
    history,
    edits,
    plans,
    nearer,
    decisions,
    studies,
    cases,
    papers,
    packing,
    scale,
    losses,
    borders,
    rules,
    people,
)
PAGES = (
    trip_page,
    next_trip_page,
    history_page,
    decisions_page,
    studies_page,
    solve_page,
    cases_page,
    losses_page,
    scale_page,
    papers_page,
    borders_page,
    door,
)


def create_app(settings: Settings) -> ASGIApp:
    """The whole server as one ASGI app. Raises AlreadyServedError for a store in use."""
    desk = Desk(settings, Store.open(settings.database_url))
    desk.open()
    return Guard(bare_app(desk), settings, desk.door)


def bare_app(desk: Desk) -> FastAPI:
    """The routes without the guard round them."""

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncIterator[None]:
        yield
        desk.close()

    app = FastAPI(
        title="Holdall",
        version=__version__,
        description=_ABOUT,
        openapi_url="/api/v1/openapi.json",
        docs_url=None,  # these pages load scripts from foreign hosts
        redoc_url=None,
        lifespan=life,
    )
    app.state.desk = desk
    errors.install(app, show_error)
    app.mount("/static", StaticFiles(directory=STATIC))
    for module in (*ROUTERS, *PAGES):
        app.include_router(module.router)
    return app
