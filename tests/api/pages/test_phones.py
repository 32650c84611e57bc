"""How phones get here: the address they are told, and the code they scan."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from fastapi import Request
from support.browsing import browser, why_no_browser

from api.pages import phones
from api.settings import Settings


def request(host: str) -> Request:
    """A request that came under a host."""
    headers = [(b"host", host.encode())]
    return Request({
        "type": "http", "scheme": "http", "path": "/", "query_string": b"", "headers": headers,
        "server": (host, 8750), "root_path": "", "method": "GET",
    })  # fmt: skip


@pytest.mark.parametrize(
    ("bound", "asked", "told"),
    [
        ("127.0.0.1", "127.0.0.1:8750", None),  # nobody but this machine
        ("0.0.0.0", "192.168.1.20:8750", "http://192.168.1.20:8750"),  # as it was asked for
        ("0.0.0.0", "127.0.0.1:8750", "http://10.1.2.3:8750"),  # by this machine's own address
        ("10.9.9.9", "localhost:8750", "http://10.9.9.9:8750"),  # by the one it listens on
    ],
)
def test_phones_are_told_an_address_that_they_reach(
    monkeypatch: pytest.MonkeyPatch, bound: str, asked: str, told: str | None
) -> None:
    """Never the address by which a machine only speaks to itself."""
    monkeypatch.setattr(phones, "own_address", lambda: "10.1.2.3")
    settings = Settings(Path("nowhere"), host=bound)
    assert phones.base_for_phones(request(asked), settings) == told


@pytest.mark.skipif(bool(why_no_browser()), reason=why_no_browser() or "there is one")
def test_the_code_says_the_address() -> None:
    """Drawn by a browser and read by a reader of codes that is not ours (zxing-cpp)."""
    reader = pytest.importorskip("zxingcpp")
    from PIL import Image

    address = "http://192.168.1.20:8750/l/an-invented-secret-of-good-length"
    with browser() as chromium:
        page = chromium.new_page(viewport={"width": 400, "height": 400})
        page.set_content(phones.code_for(address))
        picture = Image.open(io.BytesIO(page.screenshot()))
    assert [found.text for found in reader.read_barcodes(picture)] == [address]
