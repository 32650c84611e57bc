"""Who is let in, and what is refused: roles, tokens, links, other sites, guessing, the log."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from support.serving import ROOT, Caller, Served, free_port, served

TOKEN = "an invented token of good length"
PASSWORD = "three tired roadies"


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server that others could reach, with a token and nothing else at first."""
    data = tmp_path_factory.mktemp("guarded")
    environment = {"HOLDALL_TOKEN": TOKEN}
    with served(data, "--host", "0.0.0.0", environment=environment) as server:
        yield server


@pytest.fixture(scope="module")
def manager(guarded: Served) -> Caller:
    """Whoever has the token."""
    return guarded.caller(headers={"Authorization": f"Bearer {TOKEN}"})


@pytest.fixture(scope="module")
def trip(manager: Caller, tour: bytes) -> str:
    """A trip at the guarded server."""
    return manager.send_trip(tour)


def as_account(guarded: Served, manager: Caller, name: str, role: str) -> Caller:
    """Someone logged in with a role, as a browser does it: by cookie."""
    manager.json("PUT", f"/accounts/{name}", json={"role": role, "password": PASSWORD})
    caller = guarded.caller(headers={"Sec-Fetch-Site": "same-origin"})
    caller.json("POST", "/sessions", 201, json={"name": name, "password": PASSWORD})
    return caller


def test_strangers_see_nothing(guarded: Served, trip: str) -> None:
    """Every path but health, the log-in and the looks of pages wants a log-in."""
    stranger = guarded.caller()
    for path in ("/trips", f"/trips/{trip}", "/rules", "/accounts", f"/trips/{trip}/plans"):
        assert stranger.json("GET", path, 401)["name"] == "log-in-first"
    page = stranger.client.get(f"/trips/{trip}")
    assert (page.status_code, page.headers["location"][:8]) == (303, "/log-in?")
    assert stranger.client.get("/api/v1/health").status_code == 200


def test_a_wrong_token_is_refused(guarded: Served) -> None:
    """One letter less is a stranger."""
    wrong = guarded.caller(headers={"Authorization": f"Bearer {TOKEN[:-1]}"})
    wrong.json("GET", "/trips", 401)


def test_each_role_may_what_it_may(
    guarded: Served, manager: Caller, trip: str, tour: bytes
) -> None:
    """Look: no ticks. Pack: ticks, no solving. Manage: all."""
    plan = manager.planned(trip)
    looker = as_account(guarded, manager, "lou", "look")
    packer = as_account(guarded, manager, "pat", "pack")
    batch = {"json": {"entries": []}}
    looker.json("GET", f"/plans/{plan}/cases")
    looker.json("POST", f"/plans/{plan}/packing", 403, **batch)
    packer.json("POST", f"/plans/{plan}/packing", **batch)
    packer.json("POST", f"/trips/{trip}/plans", 403, json={})
    packer.json("POST", "/trips", 403, files={"workbook": ("t.xlsx", tour)})
    packer.json("GET", "/accounts", 403)
    study = manager.json("POST", f"/plans/{plan}/studies", 202, json={"kind": "margins"})["id"]
    packer.json("GET", f"/studies/{study}")
    packer.json("POST", f"/studies/{study}/stop", 403)
    packer.json("POST", f"/plans/{plan}/studies", 403, json={"kind": "margins"})
    manager.json("POST", f"/studies/{study}/stop", 202)
    packer.json("PUT", f"/trips/{trip}/away", 403, json={"away": True})
    packer.json("DELETE", f"/trips/{trip}?name=x", 403)
    assert packer.json("GET", "/sessions/mine")["role"] == "pack"
    packer.json("DELETE", "/sessions/mine", 204)
    packer.json("GET", "/trips", 401)


def test_passwords_are_never_kept_or_told(guarded: Served, manager: Caller) -> None:
    """Neither the database, nor the log, nor an answer holds a password or the token."""
    as_account(guarded, manager, "secretive", "look")
    told = manager.client.get("/api/v1/accounts").text
    data = guarded.log.parent
    kept = b"".join(path.read_bytes() for path in data.iterdir() if path.is_file())
    for secret in (PASSWORD, TOKEN):
        assert secret not in told
        assert secret.encode() not in kept


def test_a_link_opens_one_trip_until_it_is_taken_back(
    guarded: Served, manager: Caller, trip: str, tour: bytes
) -> None:
    """Whoever comes by it sees this trip alone; its secret is not in the log."""
    other = manager.send_trip(tour)
    link = manager.json("POST", f"/trips/{trip}/links", 201, json={"role": "pack", "hours": 1})
    guest = guarded.caller(headers={"Sec-Fetch-Site": "same-origin"})
    assert guest.client.get(link["path"]).headers["location"] == f"/trips/{trip}/cases"
    assert [one["id"] for one in guest.json("GET", "/trips")["trips"]] == [trip]
    guest.json("GET", f"/trips/{other}", 404)
    guest.json("POST", f"/trips/{trip}/plans", 403, json={})
    assert link["path"].removeprefix("/l/") not in guarded.log.read_text()
    manager.json("DELETE", f"/trips/{trip}/links/{link['id']}", 204)
    guest.json("GET", f"/trips/{trip}", 401)
    assert guest.client.get(link["path"]).status_code == 404


def test_other_sites_cannot_act_through_a_browser(
    guarded: Served, manager: Caller, trip: str
) -> None:
    """A session's cookie does nothing for a request that another site makes (Fetch Metadata)."""
    looker = as_account(guarded, manager, "mia", "manage")
    for headers in (
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "same-origin", "Origin": "https://elsewhere.example"},
    ):
        refused = looker.json("PUT", f"/trips/{trip}/locks/AMP", 403, headers=headers, json={})
        assert refused["name"] == "other-site"
    cookie = dict(looker.client.cookies)
    bare = httpx.put(
        f"{guarded.url}/api/v1/trips/{trip}/locks/AMP", json={"lock": ""}, cookies=cookie
    )
    assert bare.status_code == 403


def test_the_cookie_is_not_for_scripts_or_other_sites(guarded: Served, manager: Caller) -> None:
    """HttpOnly and SameSite=Strict (RFC 6265bis)."""
    manager.json("PUT", "/accounts/cook", json={"role": "look", "password": PASSWORD})
    log_in = {"json": {"name": "cook", "password": PASSWORD}}
    answer = httpx.post(f"{guarded.url}/api/v1/sessions", **log_in)
    words = answer.headers["set-cookie"].lower()
    assert "httponly" in words
    assert "samesite=strict" in words


def test_every_answer_carries_the_policy(guarded: Served) -> None:
    """No foreign host, no inline script, no framing, no sniffing; also on refusals."""
    for path in ("/log-in", "/api/v1/trips", "/static/pages.js", "/no/such"):
        headers = guarded.caller().client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert "http:" not in policy
        assert headers["x-content-type-options"] == "nosniff"


def test_guessing_is_slowed_down(tmp_path: Path) -> None:
    """The sixth wrong password from one caller has to wait, and says how long."""
    with served(tmp_path, environment={"HOLDALL_TOKEN": TOKEN}) as server:
        caller = server.caller()
        wrong = {"json": {"name": "anna", "password": "wrong password"}}
        for _ in range(5):
            caller.json("POST", "/sessions", 401, **wrong)
        answer = caller.client.post("/api/v1/sessions", **wrong)
        assert answer.status_code == 429
        assert 0 < int(answer.headers["retry-after"]) <= 301


def test_a_foreign_name_for_this_machine_is_refused(caller: Caller) -> None:
    """On loopback a Host header of another name is a page that wants to be us."""
    answer = caller.client.get("/api/v1/trips", headers={"Host": "elsewhere.example"})
    assert (answer.status_code, answer.json()["name"]) == (403, "wrong-host")


def test_an_upload_above_the_ceiling_is_refused_whole(caller: Caller) -> None:
    """26 MB is refused by its stated length, and streamed without one as well."""
    big = b"0" * (26 * 1024 * 1024)
    caller.json("POST", "/trips", 413, files={"workbook": ("x.xlsx", big)})
    boundary = "----x"
    head = (
        f"--{boundary}\r\nContent-Disposition: form-data; "
        'name="workbook"; filename="x.xlsx"\r\n\r\n'
    )

    def stream() -> Iterator[bytes]:
        yield head.encode()
        for _ in range(27):
            yield b"0" * 1024 * 1024

    kind = {"Content-Type": f"multipart/form-data; boundary={boundary}"}
    answer = caller.client.post("/api/v1/trips", content=stream(), headers=kind)
    assert (answer.status_code, answer.json()["name"]) == (413, "too-large")


def test_off_this_machine_somebody_must_be_named(tmp_path: Path) -> None:
    """Without a token or an account the server does not start; with an account it does."""
    base = [sys.executable, "-m", "packer", "serve", "--data", str(tmp_path)]
    open_door = [*base, "--host", "0.0.0.0", "--port", str(free_port())]
    done = subprocess.run(open_door, cwd=ROOT, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert "nothing keeps them out" in done.stdout + done.stderr
    account = [*base, "--add-account", "anna:manage"]
    subprocess.run(account, cwd=ROOT, input=PASSWORD + "\n", text=True, check=True, timeout=60)
    with served(tmp_path, "--host", "0.0.0.0") as server:
        log_in = {"name": "anna", "password": PASSWORD}
        assert server.caller().json("POST", "/sessions", 201, json=log_in)["role"] == "manage"


def test_the_last_manager_cannot_be_removed(tmp_path: Path) -> None:
    """Nobody locks everybody out by mistake."""
    with served(tmp_path) as server:
        caller = server.caller()
        account = {"role": "manage", "password": PASSWORD}
        caller.json("PUT", "/accounts/anna", json=account)
        caller.json("GET", "/trips", 401)  # the door is shut from now on, on loopback as well
        session = caller.json("POST", "/sessions", 201, json={"name": "anna", "password": PASSWORD})
        signed = server.caller(headers={"Authorization": f"Bearer {session['secret']}"})
        less = {"role": "look", "password": PASSWORD}
        assert signed.json("PUT", "/accounts/anna", 409, json=less)["name"] == "last-manager"
