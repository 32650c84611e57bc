"""Serves the pages and the API on this machine until Ctrl-C.

To let phones on the same network in, give --host, and either a token or accounts made beforehand
with --add-account; then nobody is let in without.
"""

from __future__ import annotations

import argparse
import getpass
import logging
import os
import sys
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from packer.cli.guard import halt
from packer.cli.talk import say
from packer.model.outcome import Outcome

if TYPE_CHECKING:
    from starlette.types import ASGIApp

    from api.settings import Settings

TOKEN_VARIABLE = "HOLDALL_TOKEN"
ROLES = ("look", "pack", "manage")
LEAST_TOKEN = 16


def arguments(parser: argparse.ArgumentParser) -> None:
    """Where to listen, where to keep things, whom to let in."""
    parser.add_argument(
        "--host", default="127.0.0.1", help="address to listen on (127.0.0.1: this machine only)"
    )
    parser.add_argument("--port", type=int, default=8750, help="port to listen on (8750)")
    parser.add_argument("--data", metavar="DIR", help="folder for trips and plans (your own)")
    parser.add_argument(
        "--database",
        metavar="URL",
        default=os.environ.get("HOLDALL_DATABASE", ""),
        help="a PostgreSQL database instead of one file; better given as HOLDALL_DATABASE",
    )
    parser.add_argument(
        "--token-file",
        metavar="FILE",
        help=f"holds a secret that lets its bearer manage; or give it as {TOKEN_VARIABLE}",
    )
    parser.add_argument("--cert", metavar="FILE", help="certificate, to serve over https")
    parser.add_argument("--key", metavar="FILE", help="private key of the certificate")
    parser.add_argument(
        "--solves-at-once", type=int, default=1, metavar="N", help="plans solved at once (1)"
    )
    parser.add_argument(
        "--add-account",
        metavar="NAME:ROLE",
        help=f"make an account ({', '.join(ROLES)}), ask for its password, and end",
    )


def run(args: argparse.Namespace) -> int:
    """Serve until interrupted, or make an account."""
    settings = _settings(args)
    if args.add_account:
        return _add_account(settings, args.add_account)
    _refuse_open_door(settings)
    _serve(_app(settings), settings, args)
    return Outcome.DONE


def _app(settings: Settings) -> ASGIApp:
    # By name, so that the core does not depend on the server that stands over it.
    claim = import_module("api.store.claim")
    try:
        app: ASGIApp = import_module("api.app").create_app(settings)
    except claim.AlreadyServedError as problem:
        raise halt("already-served", f"{problem}.", "End the other server first.") from problem
    return app


def _serve(app: ASGIApp, settings: Settings, args: argparse.Namespace) -> None:
    import uvicorn

    logging.basicConfig(format="%(asctime)s %(message)s", level=logging.INFO)
    scheme = "https" if settings.https else "http"
    say(f"Holdall is at {scheme}://{_for_url(settings.host)}:{settings.port}/ until Ctrl-C.")
    uvicorn.run(
        app,
        host=settings.host,
        port=settings.port,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=3,  # open streams would hold it up
        ssl_certfile=args.cert,
        ssl_keyfile=args.key,
    )


def _for_url(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _settings(args: argparse.Namespace) -> Settings:
    module = import_module("api.settings")
    data = Path(args.data) if args.data else module.default_data_folder()
    try:
        data.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        message = f"The folder {data} cannot be made: {problem.strerror}."
        raise halt("no-data-folder", message, "Give another with --data.") from problem
    if bool(args.cert) != bool(args.key):
        raise halt("half-https", "A certificate and its key go together.", "Give both.")
    settings: Settings = module.Settings(
        data, args.database, args.host, args.port, _token(args), bool(args.cert)
    )
    ceilings = replace(settings.ceilings, solves_at_once=max(1, args.solves_at_once))
    return replace(settings, ceilings=ceilings)


def _token(args: argparse.Namespace) -> str:
    token = os.environ.get(TOKEN_VARIABLE, "")
    if args.token_file:
        try:
            token = Path(args.token_file).read_text(encoding="utf-8")
        except OSError as problem:
            message = f"The token in {args.token_file} cannot be read: {problem.strerror}."
            raise halt("no-token", message) from problem
    token = token.strip()
    if token and len(token) < LEAST_TOKEN:
        message = f"The token is shorter than {LEAST_TOKEN} characters."
        raise halt("short-token", message, "Take a longer one that nobody can guess.")
    return token


def _refuse_open_door(settings: Settings) -> None:
    """Off this machine nobody is let in without a token or an account."""
    if settings.is_loopback or settings.token:
        return
    store = import_module("api.store").Store.open(settings.database_url)
    try:
        accounts = store.people.accounts()
    finally:
        store.close()
    if not any(account.role == "manage" for account in accounts):
        message = f"On {settings.host} others can reach the server, and nothing keeps them out."
        remedy = f"Make an account with --add-account NAME:manage, or set {TOKEN_VARIABLE}."
        raise halt("open-door", message, remedy)


def _add_account(settings: Settings, words: str) -> int:
    name, _, role = words.rpartition(":")
    if not name or role not in ROLES:
        message = f"{words!r} is not a name and a role."
        raise halt("no-account", message, f"Write NAME:ROLE with one of {', '.join(ROLES)}.")
    passwords = import_module("api.safety.passwords")
    password = _ask_password()
    if len(password) < passwords.LEAST_LENGTH:
        message = f"The password is shorter than {passwords.LEAST_LENGTH} characters."
        raise halt("short-password", message)
    store = import_module("api.store").Store.open(settings.database_url)
    try:
        store.people.set_account(name, role, passwords.hash_password(password))
    finally:
        store.close()
    say(f"{name} may now {role}.")
    return Outcome.DONE


def _ask_password() -> str:
    if sys.stdin.isatty():
        return getpass.getpass("Password: ")
    return sys.stdin.readline().rstrip("\r\n")
