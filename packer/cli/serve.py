"""Serves the pages and the API on this machine until Ctrl-C. To let phones on the same network
in, give --host and either a token or accounts made beforehand."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import halt
from packer.cli.talk import say
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from api.settings import Settings

TOKEN_VARIABLE = "HOLDALL_TOKEN"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Where to listen, where to keep things, whom to let in."""
    parser.add_argument(
        "--host", default="127.0.0.1", help="address to listen on (127.0.0.1: this machine only)"
    )
    parser.add_argument("--port", type=int, default=8750, help="port to listen on (8750)")
    parser.add_argument("--data", metavar="DIR", help="folder for trips and plans (your own)")
    parser.add_argument(
        "--database", metavar="URL", default="", help="a PostgreSQL database instead of one file"
    )
    parser.add_argument(
        "--token",
        default=os.environ.get(TOKEN_VARIABLE, ""),
        help=f"lets in whoever has it; better given as {TOKEN_VARIABLE}, where nobody sees it",
    )
    parser.add_argument(
        "--https", action="store_true", help="the pages are reached over https (by a proxy)"
    )


def run(args: argparse.Namespace) -> int:
    """Serve until interrupted."""
    import uvicorn

    from api.app import create_app
    from api.store.claim import AlreadyServedError

    settings = _settings(args)
    _refuse_open_door(settings)
    try:
        app = create_app(settings)
    except AlreadyServedError as problem:
        raise halt("already-served", f"{problem}.", "End the other server first.") from problem
    say(f"Holdall is at http://{settings.host}:{settings.port}/ until Ctrl-C.")
    uvicorn.run(app, host=settings.host, port=settings.port, log_level="warning", access_log=False)
    return Outcome.DONE


def _settings(args: argparse.Namespace) -> Settings:
    from api.settings import Settings, default_data_folder

    data = Path(args.data) if args.data else default_data_folder()
    data.mkdir(parents=True, exist_ok=True)
    return Settings(data, args.database, args.host, args.port, args.token, args.https)


def _refuse_open_door(settings: Settings) -> None:
    """Off this machine nobody is let in without a token or an account."""
    if settings.is_loopback or settings.token:
        return
    from api.store import Store

    store = Store.open(settings.database_url)
    try:
        if not store.people.accounts():
            message = f"On {settings.host} others can reach the server, and nothing keeps them out."
            raise halt("open-door", message, f"Set {TOKEN_VARIABLE} to a long secret, or --token.")
    finally:
        store.close()
