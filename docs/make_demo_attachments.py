"""Makes the papers of the demo project: two PDFs that it attaches to its plan set, and the department's answer to a disputed reading.

    .venv/bin/python docs/make_demo_attachments.py

The letter and the battery sheet are invented like the house. Their figures are read from the project file as they stand
there, so that letter, sheet and calculation cannot differ.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from permitgen.documents.canvas.blocks import Block, Facts, Heading, Note, Paragraph, Space, Title
from permitgen.documents.canvas.flow import Format, Running, flow_pages
from permitgen.documents.canvas.page import Document
from permitgen.documents.canvas.to_pdf import pdf_bytes
from permitgen.documents.canvas.typography import Words
from permitgen.project.load import load_project

DEMO = Path(__file__).resolve().parents[1] / "demo_project"
INVENTED = "Invented for the demonstration; no such company, product or house exists."
BATTERY = "battery-13"

# Key of the catalog entry: its name on the sheet, in the order of the sheet.
BATTERY_FACTS: dict[str, str] = {
    "chemistry": "Cells",
    "energy": "Energy",
    "coupling": "Coupling",
    "ac_voltage": "Nominal output voltage",
    "output": "Largest continuous output current",
    "charge_current": "Largest charge current",
    "fault_current": "Contribution to a fault",
    "largest_device": "Largest overcurrent device",
    "disconnect": "Disconnect on the unit",
    "listed_system": "Listed as a system",
    "interactive_listed": "Listed as interactive",
    "listed_spacing": "Listed spacing between units",
    "enclosure_type": "Enclosure type",
    "width": "Width",
    "height": "Height",
    "depth": "Depth",
    "weight": "Weight",
}
TERMINAL_FACTS: dict[str, str] = {
    "wire": "Wire sizes",
    "materials": "Conductor material",
    "conductors": "Conductors in each terminal",
    "temperature": "Temperature rating",
    "torque": "Torque",
}
_AS_PRINTED = {"Cu": "copper", "Al": "aluminum", "ac": "AC"}


def main() -> None:
    """Write the files into ``demo_project/attachments``."""
    folder = DEMO / "attachments"
    folder.mkdir(exist_ok=True)
    for name, content in attachments().items():
        (folder / name).write_bytes(content)


def attachments() -> dict[str, bytes]:
    """Return the files by name; the same bytes each time."""
    project = load_project(DEMO).written.data
    return {"fault_current_letter.pdf": letter(project), "battery_unit.pdf": battery_sheet(project), "reading.pdf": answer(project)}


def letter(project: dict[str, Any]) -> bytes:
    """Return the letter of the utility on the available fault current at the service point."""
    service = project["equipment"]["UTIL"]
    date = service["fault_current_source"].rpartition(" ")[2]
    owner = next(person["name"] for person in project["project"]["people"] if person["role"] == "owner")
    voltage = project["catalog"][service["catalog"]]["voltage"]
    facts: tuple[tuple[Words, Words], ...] = (
        ("Date", date),
        ("Service address", project["project"]["address"]),
        ("Customer", owner),
        ("Service", f"{voltage}, single-phase, 3-wire, underground"),
        ("Available fault current", service["available_fault_current"]),
    )
    return _pdf(
        "Available fault current",
        (
            Title("Harrow Bend Electric Cooperative", "Distribution engineering, 2 Weir Street, Harrow Bend"),
            Space(6.0),
            Heading("Available fault current at the service point", 1),
            Facts(facts),
            Space(2.0),
            Paragraph(
                f"The largest fault current that our system can deliver at the service point of this address is "
                f"{service['available_fault_current']}, symmetrical, between the two ungrounded conductors. It allows for the largest "
                "transformer that we would set at this place and for the shortest secondary conductors."
            ),
            Paragraph(
                "The value holds on the date of this letter. We may change our system without notice; ask again before the service "
                "equipment is changed or replaced. The electrical contractor calculates the fault current at the equipment."
            ),
            Space(4.0),
            Paragraph("O. Sedgeley, distribution engineer"),
        ),
    )


def answer(project: dict[str, Any]) -> bytes:
    """Return the department's signed answer to the reading of the code that the project says was confirmed."""
    (confirmed,) = project["jurisdiction"]["confirmed"]
    facts: tuple[tuple[Words, Words], ...] = (
        ("Date", confirmed["date"]),
        ("Site", project["project"]["address"]),
        ("Question", "What the sources of an island have to carry: the full calculated load, or the largest load alone"),
        ("Answer", confirmed["answer"]),
    )
    return _pdf(
        "Answer to a reading of the code",
        (
            Title(f"{project['jurisdiction']['name']}, {confirmed['office']}", "Answer to a reading of the code"),
            Space(6.0),
            Facts(facts),
            Space(4.0),
            Paragraph(f"{confirmed['by']}, {confirmed['office']}"),
        ),
    )


def battery_sheet(project: dict[str, Any]) -> bytes:
    """Return the specification sheet of the battery unit: every fact of its catalog entry, no other."""
    entry = project["catalog"][BATTERY]
    facts: list[tuple[Words, Words]] = [(name, _printed(entry[key])) for key, name in BATTERY_FACTS.items()]
    terminal: list[tuple[Words, Words]] = [(name, _printed(entry["terminals"]["output"][key])) for key, name in TERMINAL_FACTS.items()]
    return _pdf(
        entry["name"],
        (
            Title(entry["name"], "Energy storage system, specification"),
            Facts(tuple(facts), name_width_mm=62.0),
            Heading("Output terminals", 1),
            Facts(tuple(terminal), name_width_mm=62.0),
            Space(2.0),
            Note("The unit holds energy with every switch off. Installation by qualified persons only.", "caution"),
        ),
    )


def _printed(value: Any) -> str:
    """Return a fact as the project file writes it, in words where that is an abbreviation."""
    parts = value if isinstance(value, list) else [value]
    return ", ".join(_AS_PRINTED.get(part, str(part)) for part in parts)


def _pdf(title: str, blocks: tuple[Block, ...]) -> bytes:
    page_format = Format(footer=lambda _number, _count: Running(left=INVENTED))
    return pdf_bytes(Document(flow_pages(blocks, page_format), title=title, subject=INVENTED))


if __name__ == "__main__":
    main()
