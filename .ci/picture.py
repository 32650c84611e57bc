"""Makes the README's picture from the papers of the demo: `python3 demo`, then this.

In: the PDFs in `demo/out`. Out: `demo/picture.png`, four pages side by side. Needs the packages of
the tests (the PDF reader and the browser driver) and a browser.
"""

from __future__ import annotations

import base64
import io
import sys
from pathlib import Path

import pypdfium2
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests"))

from support.programs import find_browser  # noqa: E402

OUT = ROOT / "demo" / "out"
# (file, what its page says first): the whole plan, a case, the customs list, a label
PAGES = (
    ("summary.pdf", ""),
    ("case-sheets.pdf", "CUBE"),
    ("customs-list.pdf", ""),
    ("labels-a6.pdf", "CUBE"),
)
WIDTH, HEIGHT = 1640, 600
STYLE = """
body { margin: 0; padding: 24px; background: #e9e4da; display: flex; gap: 20px;
       align-items: center; justify-content: center; }
img { height: 540px; background: white; box-shadow: 0 2px 8px rgb(0 0 0 / 35%); }
img.small { height: 236px; }
"""


def main() -> None:
    """Render the pages and take the picture."""
    images = "".join(_image(*page) for page in PAGES)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=find_browser(), args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
        page.set_content(f"<style>{STYLE}</style>{images}")
        page.screenshot(path=ROOT / "demo" / "picture.png")
        browser.close()


def _image(name: str, start: str) -> str:
    pages = pypdfium2.PdfDocument(OUT / name)
    wanted = next(p for p in pages if p.get_textpage().get_text_range().startswith(start))
    rendered = wanted.render(scale=1.6)
    held = io.BytesIO()
    rendered.to_pil().save(held, "PNG")
    data = base64.b64encode(held.getvalue()).decode()
    kind = "small" if name.startswith("labels") else ""
    return f'<img class="{kind}" src="data:image/png;base64,{data}">'


if __name__ == "__main__":
    main()
