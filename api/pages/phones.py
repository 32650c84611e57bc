"""How phones get here: the address under which they reach this server, and a code to scan.

In: the request and how the server is set up. Out: an address, and an SVG of a QR code
(ISO/IEC 18004, by segno) that stands in the page itself, so that no foreign host is asked.
"""

from __future__ import annotations

import socket

import segno
from fastapi import Request

from api.settings import Settings, is_loopback

_ANYWHERE = ("0.0.0.0", "::", "")
_NOWHERE = ("192.0.2.1", 9)  # TEST-NET-1 (RFC 5737): nothing is sent there


def base_for_phones(request: Request, settings: Settings) -> str | None:
    """`http://192.168.1.20:8750`, as this request came or by this machine's own address.

    None when the server listens on this machine alone, so that no phone reaches it.
    """
    if settings.is_loopback:
        return None
    asked = request.url.hostname or ""
    if not is_loopback(asked):
        return str(request.base_url).rstrip("/")
    host = own_address() if settings.host in _ANYWHERE else settings.host
    if host is None:
        return None
    scheme = "https" if settings.https else "http"
    return f"{scheme}://{f'[{host}]' if ':' in host else host}:{settings.port}"


def own_address() -> str | None:
    """This machine's address on the network that it would send by; None without one.

    A UDP socket that is connected sends nothing, and tells which address it would send from.
    """
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(_NOWHERE)
            return str(probe.getsockname()[0])
    except OSError:
        return None


def code_for(address: str) -> str:
    """A QR code as SVG to stand in a page: dark on light in every light, with its quiet zone."""
    code = segno.make(address, error="m", micro=False)
    svg: str = code.svg_inline(
        scale=6, border=4, light="#ffffff", dark="#000000", omitsize=True, svgclass="code",
        title="Code to scan with the phone's camera",
    )  # fmt: skip
    return svg
