"""Nothing private of the demo, nor of a house whose owner wrote names into every free text, stands in the public record."""

# ruff: noqa: E501  # one result of a project file is one line

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import record_alone, record_files_of
from permitgen.package.opened_project import open_project
from permitgen.project.field_batches import Batch, PhotoReference, batch_file
from permitgen.project.field_results import ResultEntry
from tests.record_pages import pages_of

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
TEXTS = (".html", ".json", ".txt")
BUILT = """
built:
  departures:
    - {path: circuits.C7.conductors.size, to: 6 AWG, reason: "Ida Wrenfield asked for it, call 555-0117", decided_by: M. Tarn, date: 2026-05-12, approved_by: Inspector Odalys Prune}
"""
ENTRIES = (
    {"line": "serial:ESS1", "tag": "ESS1", "answer": "value", "value": "SN-7734-XYZ", "by": "Bo Quill", "at": "2026-05-14T10:00:00Z"},
    {
        "line": "torque:C7@MID.PV:L1",
        "tag": "C7",
        "answer": "value",
        "value": "45",
        "by": "Bo Quill",
        "instrument": "TD-99",
        "note": "Ida watched",
        "at": "2026-05-14T10:05:00Z",
    },
    {"line": "signed:responsible", "answer": "value", "value": "Marten Tarn EC-20417", "at": "2026-05-14T10:06:00Z"},
    {"line": "neutral-open:HP", "answer": "could not test", "reason": "Mr Wrenfield needed power", "at": "2026-05-14T10:07:00Z"},
)
PHOTO = PhotoReference(f"{9:032x}", "torque:C7@MID.PV:L1", "torque-C7-0123456789ab.jpg", "ab" * 32)
SECRETS = (
    "Ida Wrenfield", "Wrenfield", "555-0117", "ida@wrenfield.example", "M. Tarn", "EC-20417", "555-0142", "18 Quillfern Lane", "Quillfern Lane",
    "SN-7734-XYZ", "Bo Quill", "TD-99", "Ida watched", "torque-C7-0123456789ab.jpg", "Odalys", "HouseNet", "hunter22", "192.168.7.7",
)  # fmt: skip


@pytest.fixture
def tmp_path(same_place):
    return same_place


def hostile_project(folder):
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("field"))
    file = folder / "project.yaml"
    text = file.read_text("utf-8")
    text = text.replace("settings:\n", "settings:\n  wifi_name: HouseNet\n  router_password: hunter22\n  monitor: http 192.168.7.7\n", 1)
    file.write_text(text.rstrip("\n") + "\n" + BUILT, "utf-8")
    entries = tuple(ResultEntry(id=f"{number:032x}", inputs={}, **entry) for number, entry in enumerate(ENTRIES, 1))
    name, content = batch_file(Batch("HB-0142", 1, "ab" * 32, entries, (PHOTO,)))
    (folder / "field").mkdir()
    (folder / "field" / name).write_bytes(content)
    return folder


@pytest.fixture
def project(tmp_path):
    return hostile_project(tmp_path / "project")


@pytest.fixture(scope="module")
def hostile_records(tmp_path_factory):
    """The public and the private record of the house whose owner wrote names into every free text."""
    return public_and_private(hostile_project(tmp_path_factory.mktemp("hostile") / "project"))


def public_and_private(project):
    return parted(record_files_of(open_project(project)))


def alone(project):
    """The records without their list of Document IDs, for which every other document has to be made."""
    opened = open_project(project)
    return parted(record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder))


def parted(files):
    public = {name: content.decode("utf-8") for name, content in files.items() if name.startswith("record/")}
    private = {
        name: content.decode("utf-8")
        for name, content in files.items()
        if name.startswith(("record_professional/", "record_owner/")) and name.endswith(TEXTS)
    }
    return public, private


def test_demo_people_and_address_are_not_public(demo):
    system = demo.loaded.system
    public, _ = parted(record_files_of(demo))
    secrets = [text for person in system.project.people for text in (person.name, person.phone, person.email, person.license) if text]
    secrets += [system.project.address, system.project.address.split(",")[0], "QUILLFERN LANE"]
    assert len(secrets) > 8
    for name, text in public.items():
        for secret in secrets:
            assert secret.casefold() not in text.casefold(), (name, secret)


@pytest.mark.parametrize("secret", SECRETS)
def test_no_secret_is_public_even_where_somebody_wrote_it_into_a_reason(hostile_records, secret):
    public, _ = hostile_records
    for name, text in public.items():
        assert secret.casefold() not in text.casefold(), name


@pytest.mark.parametrize(
    "secret",
    [
        "Ida Wrenfield",
        "555-0117",
        "SN-7734-XYZ",
        "Bo Quill",
        "TD-99",
        "Ida watched",
        "HouseNet",
        "18 Quillfern Lane",
        "Odalys",
        "torque-C7-0123456789ab.jpg",
    ],
)
def test_the_private_record_has_what_the_public_one_leaves_out(hostile_records, secret):
    _, private = hostile_records
    assert secret in pages_of(private, "record_professional")
    assert secret in private["record_professional/record.json"]
    assert secret in private["record_owner/record.json"]


def test_what_is_said_publicly_stays(hostile_records):
    """The company's emergency number is public by law; the difference and the measured torque are what the record is for."""
    public, _ = hostile_records
    page = re.sub(r"</?a\b[^>]*>", "", pages_of(public))  # numbers are links
    for kept in (
        "Vole and Tamarisk Electric, service desk, 555-0199",
        "asked for it",
        "6 AWG",
        "45 lbf·in",
        "record only",
    ):
        assert kept in page
    assert "[private] asked for it, call [private]" in page


def test_address_is_shown_only_where_the_owner_says_so(project):
    file = project / "project.yaml"
    file.write_text(file.read_text("utf-8").replace("address_public: no", "address_public: yes"), "utf-8")
    public, _ = alone(project)
    assert "18 Quillfern Lane" in public["record/index.html"]
    assert not re.search(r"<title>[^<]*Quillfern", public["record/index.html"])


def test_the_owner_may_keep_the_electricians_part(project):
    file = project / "project.yaml"
    text = file.read_text("utf-8").replace("  address_public: no", "  public: [emergency, owner]\n  address_public: no")
    file.write_text(text, "utf-8")
    public, private = alone(project)
    assert 'id="electrician"' not in public["record/index.html"]
    assert not [name for name in public if name.endswith(("electrician.html", "calculations.html"))]
    assert "45 lbf·in" not in public["record/record.json"]
    assert 'id="electrician"' in private["record_professional/index.html"]
    assert "45 lbf·in" in private["record_professional/electrician.html"]
    assert "Rapid shutdown switch" in public["record/index.html"]
