"""The server's log: one line a request, without anything that lets someone in.

Query strings and headers never reach the log, and the secret in a link's path is blotted out.
"""

from __future__ import annotations

import logging
import re

LOG = logging.getLogger("holdall.server")
_LINK = re.compile(r"^(/l/)[^/]+")


def safe_path(path: str) -> str:
    """A path as it may be logged: printable, short, no link's secret."""
    hidden = _LINK.sub(r"\1...", path)
    return "".join(c if c.isprintable() else "?" for c in hidden)[:200]
