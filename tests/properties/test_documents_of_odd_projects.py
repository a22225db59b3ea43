"""Whatever a well-formed project leaves out or exaggerates, its documents are drawn: findings are violated or not judged, never a crash.

Facts of the topology files are taken out or made absurd, always the same ones; a file that is then refused (with its messages) is
changed again. No published source: the house's own rule for bad and odd input.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from permitgen.package.documents import DOCUMENTS
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.reading.problems import ProblemsError
from tests.reading_paper import put_reading

TOPOLOGIES = sorted((Path(__file__).resolve().parents[1] / "topologies").glob("b*.yaml"))
ABSURD = ("0", "1", "0.01", "9999")
SLOW = ("derivations", "derivations_paper")


def scalars(data: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from scalars(value, (*path, key))
    else:
        yield path


def change(data: Any, path: tuple[str | int, ...], chance: random.Random) -> None:
    """Take a fact out, call it unknown, or put another number in front of its unit."""
    *above, last = path
    for key in above:
        data = data[key]
    kind = chance.random()
    if kind < 0.4 and isinstance(data, dict):
        del data[last]
    elif kind < 0.5:
        data[last] = "unknown"
    else:
        _, _, unit = str(data[last]).partition(" ")
        data[last] = f"{chance.choice(ABSURD)} {unit}".strip()


def odd_project(file: Path, seed: int, folder: Path) -> OpenedProject:
    """Return the project of ``file`` with three facts changed; changed again as often as it is refused."""
    chance = random.Random(seed)
    put_reading(folder)
    for _ in range(60):
        data = yaml.load(file.read_text("utf-8"), yaml.CBaseLoader)
        paths = list(scalars(data))
        for path in chance.sample(paths, 3):
            change(data, path, chance)
        written = folder / "project.yaml"
        written.write_text(yaml.safe_dump(data, sort_keys=False, allow_unicode=True), "utf-8")
        try:
            return open_project(written)
        except ProblemsError:
            continue
    pytest.fail(f"{file.name}: refused sixty times over")


FIXED = list(enumerate(TOPOLOGIES[::2]))


@pytest.mark.sample(every=40)
@pytest.mark.parametrize(("number", "file"), FIXED, ids=[file.stem for _, file in FIXED])
def test_every_document_is_drawn(number: int, file: Path, tmp_path: Path) -> None:
    draw_all(odd_project(file, number, tmp_path))


@pytest.mark.nightly
@pytest.mark.parametrize("file", TOPOLOGIES, ids=lambda file: file.stem)
def test_every_document_is_drawn_of_what_was_never_changed_so_before(seed: int, file: Path, tmp_path: Path) -> None:
    draw_all(odd_project(file, seed, tmp_path))


def draw_all(opened: OpenedProject) -> None:
    drawn: dict[str, bytes] = {}
    for document in DOCUMENTS:
        if document.name not in SLOW:
            drawn.update(document.draw(opened, drawn))
    assert "plan_set.pdf" in drawn
    assert all(drawn.values())


def test_a_fuse_in_a_circuit_is_named_by_its_circuit(tmp_path: Path) -> None:
    """A battery circuit with its fuse and no other disconnect: the step of the checklist names the circuit."""
    data = yaml.load((TOPOLOGIES[0].parent / "b09_hybrid_inverter.yaml").read_text("utf-8"), yaml.CBaseLoader)
    del data["equipment"]["INV1"]["place"]["handle_height"]
    data["circuits"]["C1"]["conductors"]["insulation"] = "MTW"
    (tmp_path / "project.yaml").write_text(yaml.safe_dump(data, sort_keys=False, allow_unicode=True), "utf-8")
    put_reading(tmp_path)
    opened = open_project(tmp_path)
    (checklist,) = (document for document in DOCUMENTS if document.name == "field_checklist")
    assert b"Fuses of B1 at ESS1" in checklist.draw(opened, {})["field_checklist.html"]
