"""Makes the pictures of the README from the demo package.

    .venv/bin/python docs/make_pictures.py

Builds the package in a temporary folder and renders a page of each document to ``docs/pictures``.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import pypdfium2
from PIL import Image

from permitgen.package.build import build_package
from permitgen.package.opened_project import open_project

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"
# Picture: file of the package, number of the page, width in pixels.
WANTED = {
    "calculations": ("calculations.pdf", 1, 900),
    "calculations_inside": ("calculations.pdf", 6, 900),
    "one_line": ("plan_set.pdf", "E-601", 1400),
    "placard": ("placard.pdf", 1, 700),
    "labels": ("labels.pdf", 3, 700),
    "field_checklist": ("field_checklist.pdf", 1, 700),
}


def main() -> None:
    PICTURES.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        files = build_package(open_project(ROOT / "demo_project"), Path(folder) / "package")
    for name, (file, page, width) in WANTED.items():
        if file in files:
            picture = render(files[file], page, width)
            picture.quantize(64).save(PICTURES / f"{name}.png", optimize=True)


def render(pdf: bytes, page: int | str, width: int) -> Image.Image:
    """Return a page, by its number from 1 or by its label, ``width`` pixels wide."""
    document = pypdfium2.PdfDocument(pdf)
    index = page - 1 if isinstance(page, int) else next(i for i in range(len(document)) if document.get_page_label(i) == page)
    leaf = document[min(index, len(document) - 1)]
    return leaf.render(scale=width / leaf.get_width()).to_pil().convert("RGB")


if __name__ == "__main__":
    main()
