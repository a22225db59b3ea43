"""A house of the repository with facts taken out of its file, comments beside them, and what a phone sends home from its survey."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from permitgen.package.opened_project import open_project
from permitgen.package.survey_job import survey_of_project

HOUSE = Path(__file__).resolve().parent / "topologies" / "b14_generator_inlet.yaml"
# What is taken out: as it stands in the file, and what stands there instead.
OPENED = {
    "depth": (", clear_depth: 6 ft", ""),
    "height": (", clear_height: 8 ft", ", clear_height: unknown"),
    "space": (", dedicated_space: clear", ""),
    "handle": (", handle_height: 72 in", ""),
    "access": ("readily_accessible: yes, map: [60, 39]", "map: [60, 39]"),
    "enclosure": ("    status: existing\n    enclosure_type: 3R", "    status: existing"),
    "busbar": ("    busbar: 200 A\n", "    busbar: unknown  # open (nameplate): the label inside the door\n"),
    "end": ("    supply_end: top\n", "    supply_end: unknown # ask the owner to open it\n"),
    "run": (", ambient: 36 °C, bonding: threaded hubs}", ", ambient: 36 °C}  # seen from the walk only"),
}
# What somebody writes who measured, beside the examples of the form: lengths as tapes are read.
SEEN = {
    "clear_depth": ["36 in", "3 ft 6 in", "4 ft"],
    "clear_height": ["7 ft", "90 in"],
    "handle_height": ["60 in", "5 ft 6 in", "71 1/2 in"],
    "busbar": ["200 A", "225 A"],
    "place": ["outdoors"],
    "inside_building": ["no"],
}
ANSWERED_AT = "2026-05-11T10:{:02}:00Z"


def opened_house(folder: Path, *names: str) -> Path:
    """Write the house with these facts taken out into a folder, and return it."""
    text = HOUSE.read_text("utf-8")
    for name in names or OPENED:
        before, after = OPENED[name]
        assert before in text, name
        text = text.replace(before, after, 1)
    folder.mkdir(exist_ok=True)
    (folder / "project.yaml").write_text(text, "utf-8")
    return folder


def answer(line, value="", *, by="M. Tarn", at=0, **more):
    """Return one entry of a phone; without a value it could not be seen."""
    said = {"answer": "value", "value": value} if value else {"answer": "could not see"}
    id_ = hashlib.sha256(f"{line} {value} {by} {at}".encode()).hexdigest()[:32]
    return {"id": id_, "line": line, "by": by, "at": ANSWERED_AT.format(at % 60), **said, **more}


def results_of(folder: Path, entries, **changes):
    """Return a results file as JSON for the survey of a project."""
    view = survey_of_project(open_project(folder))
    head = {"project": view.project, "revision": view.revision, "fingerprint": view.fingerprint}
    return {"format": "permitgen field results", "version": "1.0", **head, "entries": list(entries), "photos": [], **changes}


def sent(folder: Path, entries, **changes) -> Path:
    """Write results beside a project and return the file."""
    file = folder.parent / f"{folder.name}-results.json"
    file.write_text(json.dumps(results_of(folder, entries, **changes)), "utf-8")
    return file


def plausible(line, chance) -> str:
    """Return an answer that somebody could give to a question."""
    if line.form.kind == "told":
        return chance.choice(["a wall of brick", "seen; none: # {x}", "2 in EMT, from the left"])
    return chance.choice(SEEN.get(line.path.rpartition(".")[2], line.form.choices or [line.form.example or "3R"]))


def comments_in(text: str) -> list[str]:
    """Return the comments of a file in their order."""
    return [found.group().strip() for found in re.finditer(r"(?:^|\s)#.*$", text, re.MULTILINE)]
