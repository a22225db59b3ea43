"""Prints how long things take, against a floor measured in the same run.

    .venv/bin/python tests/benchmarks/measure.py

The floor of drawing is a bare script that draws the same number of pages with as many text lines; floor and thing are
measured in turn, and medians of five are printed. Ratios are what to rely on: absolute times differ between machines.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
ROUNDS = 5


def median_ms(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def process_ms(*command: str) -> float:
    return median_ms(lambda: subprocess.run(command, cwd=ROOT, capture_output=True, check=False))


def bare_pages(pages: int, lines: int) -> bytes:
    """The floor: as many pages, as many lines of text and rules, straight to the canvas."""
    from reportlab.pdfgen.canvas import Canvas

    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1)
    for _ in range(pages):
        for line in range(lines):
            y = 760 - line * (720 / max(lines, 1))
            canvas.drawString(40, y, f"{line} a row of text as long as a row of the sheet usually is")
            canvas.line(40, y - 2, 560, y - 2)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def page_shape(pdf: bytes) -> tuple[int, int]:
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    lines = [len(page.get_textpage().get_text_bounded().splitlines()) for page in document]
    return len(lines), max(1, round(sum(lines) / max(len(lines), 1)))


def row(name: str, milliseconds: float, floor: float | None = None, what: str = "") -> None:
    ratio = f"{milliseconds / floor:8.2f} × {what}" if floor else ""
    print(f"{name:<38}{milliseconds:9.1f} ms{ratio}")  # noqa: T201 - a script that reports


def main() -> None:
    sys.path.insert(0, str(ROOT))
    measure_commands()
    measure_evaluation()
    measure_documents()


def measure_commands() -> None:
    python = sys.executable
    bare = process_ms(python, "-c", "pass")
    row("bare interpreter", bare)
    row("permitgen --help", process_ms(python, "-m", "permitgen", "--help"), bare, "bare interpreter")
    imports = process_ms(python, "-c", "import click, yaml\nfrom pydantic import BaseModel\nclass M(BaseModel):\n    a: int")
    row("imports of check (floor)", imports)
    row("permitgen check demo_project", process_ms(python, "-m", "permitgen", "check", "demo_project"), imports, "its imports")


def measure_evaluation() -> None:
    from permitgen.code.codebook import CodeBook
    from permitgen.evaluation.evaluate import evaluate
    from permitgen.project.load import load_project

    load_project(DEMO)
    row("load (read, validate, build system)", median_ms(lambda: load_project(DEMO)))

    def judged() -> None:
        system = load_project(DEMO).system
        jurisdiction = system.jurisdiction
        started = time.perf_counter()
        evaluate(system, CodeBook(jurisdiction.edition, (), jurisdiction.fire_code))
        times.append((time.perf_counter() - started) * 1000)

    times: list[float] = []
    for _ in range(2 * ROUNDS + 1):
        judged()
    row("evaluate, with sizing, after import", statistics.median(times[1:]))


def measure_documents() -> None:
    from permitgen.package.build import build_package
    from permitgen.package.documents import DOCUMENTS
    from permitgen.package.opened_project import open_project

    opened = open_project(DEMO)
    files: dict[str, bytes] = {}
    for document in DOCUMENTS:
        drawn = dict(document.draw(opened, files))
        taken = median_ms(lambda d=document: d.draw(opened, files))
        files.update(drawn)
        pdfs = [content for name, content in drawn.items() if name.endswith(".pdf") and "/" not in name]
        if pdfs:
            shapes = [page_shape(pdf) for pdf in pdfs]
            floor = median_ms(lambda s=shapes: [bare_pages(pages, lines) for pages, lines in s])
            row(f"document {document.name}", taken, floor, f"bare script, {sum(p for p, _ in shapes)} pages")
        else:
            row(f"document {document.name}", taken)
    with tempfile.TemporaryDirectory() as folder:
        row("whole package, in process", median_ms(lambda: build_package(open_project(DEMO), Path(folder) / "package"), 3))
        row(
            "whole package, as a command",
            process_ms(sys.executable, "-m", "permitgen", "build", "demo_project", "--out", f"{folder}/command"),
        )


if __name__ == "__main__":
    main()
