"""Makes the pictures of the README from the demo package.

    .venv/bin/python docs/make_pictures.py

Builds the package in a temporary folder and renders pages of it to ``docs/pictures``. The two pictures of pages for the
phone need the browser chromium; without it they are left as they are, and the script says so.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from PIL import Image

from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"
LARGEST_BYTES = 300_000
PHONE = {"width": 390, "height": 760}
COLORS = 64


@dataclass(frozen=True, slots=True)
class Wanted:
    """A page of the package: by the label it carries or by words that stand on no earlier page (neither: the first page)."""

    file: str
    width_px: int
    label: str = ""
    words: str = ""


WANTED = {
    "placard": Wanted("placard.pdf", 900),
    "one_line": Wanted("plan_set.pdf", 1800, label="E-601"),
    "site_plan": Wanted("plan_set.pdf", 1400, label="C-101"),
    "calculation": Wanted("calculations.pdf", 1000, words="opposite end, 120 percent"),
    "label_rapid_shutdown": Wanted("labels/rapid-shutdown-building.pdf", 800),
    "label_multiple_sources": Wanted("labels/multiple-source-equipment-MID.pdf", 500),
}
ON_THE_PHONE = {"record": "record/index.html", "checklist": "field_checklist.html"}


def main() -> None:
    """Write every picture."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        package = Path(folder) / "package"
        files = build_package(open_project(ROOT / "demo_project"), package).files
        for name, wanted in WANTED.items():
            save(rendered(files, wanted), name)
        chromium = shutil.which("chromium")
        if chromium is None:
            sys.stderr.write(f"chromium is not installed: {', '.join(ON_THE_PHONE)} are left as they are\n")
        else:
            for name, picture in photographed(package, chromium).items():
                save(picture, name)


def rendered(files: Mapping[str, bytes], wanted: Wanted) -> Image.Image:
    """Return the wanted page, ``width_px`` pixels wide.

    Raises:
        ValueError: the file has no such page.
    """
    document = pypdfium2.PdfDocument(files[wanted.file])
    for index in range(len(document)):
        page = document[index]
        if wanted.label and document.get_page_label(index) != wanted.label:
            continue
        if wanted.words and wanted.words not in page.get_textpage().get_text_range():
            continue
        picture: Image.Image = page.render(scale=wanted.width_px / page.get_width()).to_pil()
        return picture.convert("RGB")
    raise ValueError(f"{wanted.file} has no page {wanted.label or wanted.words}")


def photographed(package: Path, chromium: str) -> dict[str, Image.Image]:
    """Return what a phone shows of the pages, without a network."""
    from playwright.sync_api import sync_playwright

    found: dict[str, Image.Image] = {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        context = browser.new_context(viewport={"width": PHONE["width"], "height": PHONE["height"]}, device_scale_factor=2, offline=True)
        page = context.new_page()
        for name, file in ON_THE_PHONE.items():
            page.goto((package / file).as_uri())
            path = Path(folder) / f"{name}.png"
            page.screenshot(path=path)
            found[name] = Image.open(path).convert("RGB")
        browser.close()
    return found


def save(picture: Image.Image, name: str) -> None:
    """Write a picture with few colors, which drawings need no more of.

    Raises:
        ValueError: it is too large for a page that people open on the way.
    """
    path = PICTURES / f"{name}.png"
    picture.quantize(COLORS).save(path, optimize=True)
    if path.stat().st_size > LARGEST_BYTES:
        raise ValueError(f"{path.name} has {path.stat().st_size} bytes; at most {LARGEST_BYTES} are wanted")


if __name__ == "__main__":
    main()
