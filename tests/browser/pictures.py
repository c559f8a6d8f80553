"""README's pictures made anew: ``python tests/browser/pictures.py``."""

import tempfile
from pathlib import Path

from conftest import NOTEBOOKS, chromium, served

import soilx
from soilx.handouts.write import write_handout

PICTURES = NOTEBOOKS / "pictures"


def main() -> None:
    """Open the lecture and a gardener's sheet, and keep what they look like."""
    PICTURES.mkdir(exist_ok=True)
    with served(NOTEBOOKS / "lecture.py") as address, chromium() as browser:
        page = browser.new_page(viewport={"width": 1024, "height": 768}, color_scheme="light")
        page.goto(f"{address}/?show=plain")
        page.locator(".soilx-figure[data-setting]").nth(1).wait_for(timeout=60_000)
        page.wait_for_timeout(1500)
        page.screenshot(path=PICTURES / "lecture.png")
        with tempfile.TemporaryDirectory() as folder:
            sheet = Path(folder) / "gardener.html"
            write_handout(soilx.demo_path("decision_block_c.toml"), sheet, reader="gardener")
            page.set_viewport_size({"width": 800, "height": 700})
            page.goto(sheet.as_uri())
            page.wait_for_timeout(1000)
            page.screenshot(path=PICTURES / "gardener.png")


if __name__ == "__main__":
    main()
