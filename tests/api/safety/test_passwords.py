"""Passwords, throttling and what may stand in a log."""

from __future__ import annotations

import base64
import hashlib

from api.pages.door import own_path
from api.safety.logs import safe_path
from api.safety.passwords import hash_password, mark_of, new_secret, password_matches
from api.safety.throttle import Throttle


def test_scrypt_gives_the_published_values() -> None:
    """The second test vector of RFC 7914, section 12, by the function we use."""
    derived = hashlib.scrypt(
        b"password", salt=b"NaCl", n=1024, r=8, p=16, maxmem=64 * 1024 * 1024, dklen=64
    )
    assert derived.hex().startswith("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830")


def test_a_password_matches_its_own_hash_alone() -> None:
    """Each hash has a salt of its own, and holds no password."""
    one, other = hash_password("three tired roadies"), hash_password("three tired roadies")
    assert one != other
    assert password_matches("three tired roadies", one)
    assert not password_matches("three tired roadiez", one)
    assert len(base64.b64decode(one.split("$")[2])) == 16


def test_secrets_are_long_and_never_the_same() -> None:
    """A hundred secrets of 256 bits, and what is kept of them does not show them."""
    made = {new_secret() for _ in range(100)}
    assert len(made) == 100
    assert all(len(base64.urlsafe_b64decode(secret + "=")) == 32 for secret in made)
    assert all(secret not in mark_of(secret) for secret in made)


def test_the_throttle_forgets_in_time() -> None:
    """Two failures in ten seconds, then a wait that runs down and ends."""
    now = [0.0]
    throttle = Throttle(2, 10, clock=lambda: now[0])
    throttle.failed("a")
    assert throttle.wait("a") == 0
    throttle.failed("a")
    assert (throttle.wait("a"), throttle.wait("b")) == (11, 0)
    now[0] = 10.5
    assert throttle.wait("a") == 0


def test_success_clears_the_failures() -> None:
    """Who gets it right at last starts afresh."""
    throttle = Throttle(1, 10)
    throttle.failed("a")
    throttle.succeeded("a")
    assert throttle.wait("a") == 0


def test_a_link_s_secret_is_blotted_out() -> None:
    """What is logged of a path lets nobody in and cannot forge a line."""
    assert safe_path("/l/abcdef123") == "/l/..."
    assert safe_path("/trips/x\nGET /forged") == "/trips/x?GET /forged"


def test_nobody_is_sent_elsewhere_after_logging_in() -> None:
    """Only paths on this server are followed."""
    assert own_path("/trips/abc") == "/trips/abc"
    for path in ("https://elsewhere.example", "//elsewhere.example", "/\\elsewhere", "", "/a\nb"):
        assert own_path(path) == "/"
