"""Every private value of generated projects, looked for in every byte of the public folder and of the paper on the panel door: none.

The values are made of letters and figures by seed, so that none can stand there by chance: people, address, serial numbers, who measured,
notes, reasons, network settings, who inspected, who was told, and all that the short forms of the record took in.
"""

from __future__ import annotations

import random
import re
import string
from pathlib import Path

import pypdfium2
import pytest
import yaml

from permitgen.documents.panel_door_pdf import panel_door_pdf
from permitgen.documents.record_folder import FOLDER, record_files
from permitgen.package.field_and_record import checklist_lines_of, panel_door_of_project, record_alone
from permitgen.package.opened_project import open_project
from permitgen.project.field_batches import FIELD_FOLDER, Batch, batch_file
from permitgen.project.field_results import ResultEntry
from tests.reading_paper import put_reading
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
HOUSES = sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))


class Secrets:
    """Makes values that stand nowhere else, and remembers them."""

    def __init__(self, seed):
        self.chance = random.Random(seed)
        self.made = []

    def word(self, length=9):
        value = "Zq" + "".join(self.chance.choices(string.ascii_lowercase, k=length))
        self.made.append(value)
        return value

    def phone(self):
        value = "".join(self.chance.choices(string.digits, k=10))
        value = f"{value[:3]}-555-{value[6:]}"
        self.made.append(value)
        return value


def project_of(path, folder, secrets):
    """A topology in whose every private place a value of its own stands; its entries from the field answer what its checklist asks."""
    data = yaml.load(whole_text(path), yaml.CBaseLoader)
    name = data["project"].get("number") or data["project"]["name"]
    data["project"]["people"] = [
        {
            "role": role,
            "name": f"{secrets.word()} {secrets.word()}",
            "phone": secrets.phone(),
            "email": f"{secrets.word()}@{secrets.word()}.example",
            "license": secrets.word(),
        }
        for role in ("owner", "electrical contractor")
    ]
    data["project"]["address"] = f"18 {secrets.word()} Lane, Town"
    data.setdefault("settings", {}).update(
        {"wifi_name": secrets.word(), "router_password": secrets.word(), "monitor": f"http://{secrets.word()}.example"}
    )
    data["built"] = {"told": [{"what": secrets.word(), "to": "owner", "date": "2026-05-20", "by": secrets.word()}]}
    data.pop("inspections", None)
    data.setdefault("record", {})["address_public"] = "no"
    folder.mkdir()
    put_reading(folder)
    (folder / "project.yaml").write_text(yaml.dump(data, allow_unicode=True, sort_keys=False), "utf-8")
    checklist = checklist_lines_of(open_project(folder))
    wanted = [line for line in checklist.answerable.values() if line.rule.kind == "text"]
    wanted += [line for line in checklist.answerable.values() if line.rule.kind == "done"][:40]
    entries = tuple(entry_of(number, line, secrets) for number, line in enumerate(wanted, 1))
    batch, content = batch_file(Batch(name, checklist.revision, "ab" * 32, entries, ()))
    (folder / FIELD_FOLDER).mkdir()
    (folder / FIELD_FOLDER / batch).write_bytes(content)
    return folder


def entry_of(number, line, secrets):
    """A text is private, and so is all that is typed beside a yes or a no."""
    said = {"answer": "value", "value": secrets.word()} if line.rule.kind == "text" else {"answer": "yes", "reason": secrets.word()}
    more = {"note": f"{secrets.word()} was there", "by": secrets.word(), "instrument": secrets.word()}
    return ResultEntry(id=f"{number:032x}", line=line.id, at="2026-06-01T10:00:00.000Z", inputs={}, **said, **more)


@pytest.mark.sample(every=12)
@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_no_private_value_is_in_any_byte_that_is_public(path, tmp_path, seed):
    secrets = Secrets(f"{seed} {path.stem}")
    folder = project_of(path, tmp_path / "house", secrets)
    opened = open_project(folder)
    files = record_files(record_alone(opened, listed=()), project_folder=folder)
    public = {name: content for name, content in files.items() if name.startswith(f"{FOLDER}/")}
    door = panel_door_pdf(panel_door_of_project(opened))
    public["panel_door.pdf"] = door + "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(door)).encode()
    assert len(secrets.made) > 100
    pattern = re.compile("|".join(map(re.escape, secrets.made)).encode(), re.IGNORECASE)
    assert {name: pattern.findall(content) for name, content in public.items() if pattern.search(content)} == {}
    # They were there to be found: the electrician's record has them.
    kept = b"".join(content for name, content in files.items() if name.startswith("record_professional/"))
    assert len(set(pattern.findall(kept))) > 100
