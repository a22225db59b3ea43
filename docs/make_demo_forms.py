"""Makes the two invented forms of the demo project. Town, utility, offices and every word on them are made up.

Run it from the root of the repository: ``.venv/bin/python docs/make_demo_forms.py``. Same words, same bytes.
"""

from __future__ import annotations

import io
from pathlib import Path

from reportlab import rl_config
from reportlab.lib.colors import black, white
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

FOLDER = Path(__file__).resolve().parents[1] / "demo_project" / "forms"
INCH = 72.0
rl_config.useA85 = 0


def at(canvas: Canvas, left: float, top: float, words: str, size: float = 9, face: str = "Helvetica") -> None:
    """Write words, inches from the left and the top edge."""
    canvas.setFont(face, size)
    canvas.drawString(left * INCH, letter[1] - top * INCH, words)


STYLE = {"borderWidth": 0.75, "borderColor": black, "fillColor": white, "textColor": black, "fontSize": 10, "forceBorder": True}
# Name, words above, left and bottom in inches, width, height, what else.
TEXT_FIELDS = (
    ("permit_no", "Permit number, one sign to a cell", 0.75, 1.95, 2.7, 0.26, {"maxlen": 9, "fieldFlags": "comb"}),
    ("edition", "Electrical code", 3.7, 1.95, 1.6, 0.26, {}),
    ("site_address", "Address of the work", 0.75, 2.65, 7.0, 0.26, {}),
    ("owner_name", "Owner", 0.75, 3.35, 3.4, 0.26, {}),
    ("owner_phone", "Telephone of the owner", 4.35, 3.35, 3.4, 0.26, {}),
    ("contractor", "Contractor", 0.75, 4.05, 3.4, 0.26, {}),
    ("license", "License", 4.35, 4.05, 1.6, 0.26, {}),
    ("contractor_phone", "Telephone", 6.1, 4.05, 1.65, 0.26, {}),
    ("work", "The work, in the applicant's words", 0.75, 5.2, 7.0, 0.7, {"maxlen": 400, "fieldFlags": "multiline"}),
    ("solar_size", "Solar, dc", 0.75, 7.35, 1.5, 0.26, {}),
    ("battery_size", "Batteries, rated energy", 2.4, 7.35, 1.5, 0.26, {}),
    ("signature", "Signature of the applicant (by hand)", 0.75, 8.4, 4.0, 0.4, {}),
    ("signed_on", "Date", 5.0, 8.4, 1.6, 0.4, {}),
    ("office_only", "For the office: received by", 0.75, 9.4, 4.0, 0.26, {}),
)
STANDINGS = (("first", "a first one", 0.75), ("revised", "a revised one", 2.2))
SOURCES = (
    ("solar", "solar modules", 0.75),
    ("battery", "batteries", 2.4),
    ("generator", "a generator", 3.8),
    ("vehicle", "a vehicle that feeds the house", 5.2),
)
DWELLINGS = ["(pick one)", "Single family", "Two family", "Other"]


def application() -> bytes:
    """Return the application of the department: a PDF with fields."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=letter, invariant=1)
    canvas.setTitle("Application for an electrical permit")
    at(canvas, 0.75, 0.9, "TOWN OF HARROW BEND", 14, "Helvetica-Bold")
    at(canvas, 0.75, 1.15, "Building Department. Application for a permit: sources of power at a home", 11)
    canvas.line(0.75 * INCH, letter[1] - 1.3 * INCH, 7.75 * INCH, letter[1] - 1.3 * INCH)
    form = canvas.acroForm
    for name, words, left, bottom, width, height, more in TEXT_FIELDS:
        at(canvas, left, bottom - height - 0.06, words, 8)
        box = {"x": left * INCH, "y": letter[1] - bottom * INCH, "width": width * INCH, "height": height * INCH}
        form.textfield(name=name, tooltip=words, **box, **STYLE, **more)
    at(canvas, 0.75, 5.55, "This application is (pick one)", 8)
    for value, words, left in STANDINGS:
        place = {"x": left * INCH, "y": letter[1] - 5.88 * INCH, "size": 13}
        form.radio(name="standing", value=value, selected=False, buttonStyle="circle", shape="circle", **place)
        at(canvas, left + 0.28, 5.83, words)
    at(canvas, 0.75, 6.25, "On this property there will be (tick each)", 8)
    for name, words, left in SOURCES:
        form.checkbox(name=name, x=left * INCH, y=letter[1] - 6.58 * INCH, size=13, checked=False, buttonStyle="check")
        at(canvas, left + 0.28, 6.53, words)
    at(canvas, 4.05, 7.03, "Dwelling", 8)
    box = {"x": 4.05 * INCH, "y": letter[1] - 7.35 * INCH, "width": 1.9 * INCH, "height": 0.26 * INCH}
    form.choice(name="dwelling", value=DWELLINGS[0], options=DWELLINGS, **box, **STYLE)
    at(canvas, 0.75, 10.3, "Every name and word on this form is invented.", 8)
    canvas.save()
    return buffer.getvalue()


def cover() -> bytes:
    """Return the cover of the utility's papers: a PDF of lines to write on, without fields."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=letter, invariant=1)
    canvas.setTitle("Cover sheet, request to connect")
    at(canvas, 1.0, 1.1, "WITHYCOMBE RIVER POWER", 14, "Helvetica-Bold")
    at(canvas, 1.0, 1.35, "Cover sheet of a request to connect sources to our lines", 11)
    lines = (
        "Customer",
        "Service address",
        "Installer",
        "Telephone",
        "Voltage at the service",
        "Fault current you were told",
        "Battery output breaker",
    )
    for number, words in enumerate(lines):
        top = 2.2 + 0.55 * number
        at(canvas, 1.0, top, words)
        canvas.line(3.1 * INCH, letter[1] - (top + 0.05) * INCH, 7.4 * INCH, letter[1] - (top + 0.05) * INCH)
    at(canvas, 1.0, 6.3, "Tick what will run in parallel with us:")
    for number, words in enumerate(("solar", "storage", "generator")):
        left = 1.0 + 1.6 * number
        canvas.rect(left * INCH, letter[1] - 6.7 * INCH, 0.16 * INCH, 0.16 * INCH)
        at(canvas, left + 0.26, 6.68, words)
    at(canvas, 1.0, 7.6, "Signature")
    canvas.line(3.1 * INCH, letter[1] - 7.65 * INCH, 7.4 * INCH, letter[1] - 7.65 * INCH)
    at(canvas, 1.0, 10.0, "Every name and word on this form is invented.", 8)
    canvas.save()
    return buffer.getvalue()


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "permit_application.pdf").write_bytes(application())
    (FOLDER / "interconnection_cover.pdf").write_bytes(cover())
