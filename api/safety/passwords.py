"""Passwords as slow hashes, and secrets that a person carries: made, marked and compared.

scrypt with N = 2^15, r = 8, p = 3 takes 32 MiB and about a tenth of a second a guess; these are
among the settings that the OWASP password storage cheat sheet lists (from memory).
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
import threading

_N, _R, _P = 2**15, 8, 3
_MEMORY = 128 * _N * _R * 2
# Two at a time: a crowd of log-ins must not take all memory and both cores.
_AT_ONCE = threading.BoundedSemaphore(2)
LEAST_LENGTH = 10


def hash_password(password: str) -> str:
    """The slow hash of a password, with its settings and a fresh salt."""
    salt = secrets.token_bytes(16)
    return "$".join(("scrypt", f"{_N}.{_R}.{_P}", _text(salt), _text(_derive(password, salt))))


def password_matches(password: str, stored: str) -> bool:
    """True when the password gives the stored hash; takes equally long either way."""
    _, _, salt, expected = stored.split("$")
    return hmac.compare_digest(_derive(password, _bytes(salt)), _bytes(expected))


def new_secret() -> str:
    """A secret of 256 bits for a session or a link."""
    return secrets.token_urlsafe(32)


def mark_of(secret: str) -> str:
    """What is kept of a secret: its SHA-256; enough for 256 random bits, not for a password."""
    return hashlib.sha256(secret.encode()).hexdigest()


def same_secret(left: str, right: str) -> bool:
    """Compare two secrets without telling by the time taken how much of them agrees."""
    return hmac.compare_digest(left.encode(), right.encode())


def _derive(password: str, salt: bytes) -> bytes:
    with _AT_ONCE:
        return hashlib.scrypt(
            password.encode(), salt=salt, n=_N, r=_R, p=_P, maxmem=_MEMORY, dklen=32
        )


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _bytes(data: str) -> bytes:
    return base64.b64decode(data)
