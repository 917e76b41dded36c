"""Makes the pictures of the README, with Chromium: ``python -m tests.refresh_pictures``; look at them, then commit them."""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image

from pondwright.pond.file import demo_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.report.printable import printable

from .browser.chromium import Opened, browsing, started

FOLDER = Path(__file__).resolve().parents[1] / ".pictures"
LESSON = "06-pipes-and-pump.ipynb"
SHEET = {"width": 794, "height": 1123}  # A4 at 96 dots an inch


def of_lab(context, folder: Path) -> bytes:
    """Open a lesson as a student does, and take its lab."""
    with started(folder) as (address, token):
        opened = Opened(context, address, token, LESSON)
        opened.page.wait_for_timeout(1000)  # until the picture is decoded
        return opened.cell.query_selector(".pondwright-lab").screenshot()


def of_plan(context) -> bytes:
    """Print the demo pond's plan and take the first sheet."""
    planned = plan(demo_pond())
    page = context.new_page()
    page.emulate_media(media="print")
    page.set_viewport_size(SHEET)
    page.set_content(printable(planned, findings(planned), whose="the packaged demo pond, which is invented", pictures=()))
    page.add_style_tag(content="body { padding: 14mm !important; }")
    return page.screenshot(clip={"x": 0, "y": 0, **SHEET})


def small(png: bytes, path: Path) -> None:
    """Store a picture in few colours."""
    Image.open(io.BytesIO(png)).convert("RGB").quantize(64, dither=Image.Dither.NONE).save(path, optimize=True)
    print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    with browsing() as context, tempfile.TemporaryDirectory() as scratch:
        small(of_lab(context, Path(scratch) / "my-pond"), FOLDER / "lab.png")
        small(of_plan(context), FOLDER / "plan.png")
