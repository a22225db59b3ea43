"""The data of the code is whole: every edition answered, sections quoted, units named, sources and proofs given."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest
import yaml

import permitgen.code
from permitgen.code.codebook import FIRE_CODE_FILE, CodeBook
from permitgen.code.data_files import provision_index, provision_row, table_data, table_names
from permitgen.code.edition import Edition, FireCode
from permitgen.code.errors import ProvisionNotInForceError, TableNotInForceError
from permitgen.code.grade import Grade
from permitgen.code.provision import ABSENT, IN_FORCE, REPORTED, UNCONFIRMED
from permitgen.code.provision_reading import columns_of
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.trade_size import trade_size_in
from tests.every_case import every_case

ROOT = Path(permitgen.code.__file__).parent
REPOSITORY = ROOT.parent.parent
PROVISIONS = sorted(provision_index())
TABLES = sorted(table_names())
NEC_EDITIONS = [edition.value for edition in Edition]
FIRE_CODES = [book.value for book in FireCode]


def in_every_edition(provision_id):
    if provision_index()[provision_id][0] == FIRE_CODE_FILE:
        return [CodeBook("2023", fire_code=name).provision(provision_id) for name in FIRE_CODES]
    return [CodeBook(edition).provision(provision_id) for edition in NEC_EDITIONS]


@every_case("provision_id", PROVISIONS)
def test_provision_answers_for_every_edition(provision_id):
    editions = FIRE_CODES if provision_index()[provision_id][0] == FIRE_CODE_FILE else NEC_EDITIONS
    assert list(columns_of(provision_row(provision_id))) == editions
    provisions = in_every_edition(provision_id)
    assert {provision.status for provision in provisions} <= {IN_FORCE, ABSENT, UNCONFIRMED, REPORTED}
    assert any(provision.is_in_force for provision in provisions) or provision_id == "fractions_in_pv_calculations"
    for provision in provisions:
        assert "\n" not in provision.says
        assert not provision.says.endswith(".")
        assert provision.citation.strip()
        if provision.is_in_force:
            assert provision.section


def test_less_than_high_confidence_is_explained_or_medium():
    low = [found for id_ in PROVISIONS for found in in_every_edition(id_) if found.is_in_force and found.confidence == "low"]
    assert not [f"{provision.id}: {provision.citation}" for provision in low if not provision.doubt]


OF_THE_CODE = [name for name in PROVISIONS if provision_index()[name][0] not in {FIRE_CODE_FILE, "standards_and_practice"}]


def test_2026_is_never_computed_with():
    """No text of 2026 was read: only product standards and practice hold under it, and what is reported is a value of no provision."""
    for provision_id in OF_THE_CODE:
        provision = CodeBook("2026").provision(provision_id)
        assert provision.status in {UNCONFIRMED, REPORTED}, provision_id
        for name in provision.fields:
            with pytest.raises(ProvisionNotInForceError):
                provision.value(name)


def test_what_is_said_of_2026_has_its_grade_and_its_source():
    """What a row says of 2026 is reported by somebody who is named; a row that says nothing is *not read*."""
    for provision_id in OF_THE_CODE:
        provision = CodeBook("2026").provision(provision_id)
        assert provision.grade is (Grade.REPORTED if provision.status == REPORTED else Grade.NOT_READ), provision_id
        assert provision.source or not (provision.section or provision.is_reported), provision_id


MOVED_IN_2026 = re.compile(r"220\.|750\.|230\.85|300\.\d")


def test_no_number_of_2023_stands_as_one_of_2026():
    """Articles 220 and 750 became 120 and 130, 230.85 went into 230.70, and the low numbers of Article 300 were shuffled, so that only
    what was seen (300.6) may stand: Electrical License Renewal, change pages 1841, 1847, 1878; Independent Electrical Contractors,
    changes to chapter three (2026)."""
    sections = {name: CodeBook("2026").provision(name).section for name in OF_THE_CODE}
    assert {name for name, section in sections.items() if MOVED_IN_2026.match(section)} == {"physical_protection"}
    assert sections["physical_protection"] == "300.6"


def test_what_was_read_in_the_text_says_so():
    """A source that names the text of an edition is of that edition only: 230.42 was read in 2023, 690.8 in 2017 and 2020."""
    grades = {
        (name, edition): CodeBook(edition).provision(name).grade
        for name in ("service_conductor_size", "pv_circuit_current", "voltage_rise")
        for edition in ("2017", "2020", "2023")
    }
    assert [grades["service_conductor_size", e] for e in ("2017", "2023")] == [Grade.NOT_RECORDED, Grade.TEXT_READ]
    assert [grades["pv_circuit_current", e] for e in ("2017", "2020", "2023")] == [Grade.TEXT_READ, Grade.TEXT_READ, Grade.NOT_RECORDED]
    assert grades["voltage_rise", "2023"] is Grade.PRACTICE


def test_practice_is_called_practice():
    for provision_id in PROVISIONS:
        if provision_index()[provision_id][0] == "standards_and_practice":
            sections = {provision.section for provision in in_every_edition(provision_id)}
            assert len(sections) == 1
            (section,) = sections
            # A local requirement is a town's own: the file that adds it cites the ordinance.
            local = section == "the ordinance that asks for it"
            assert local or section == "common practice, no published source" or re.match(r"([A-Z]{2,}|International) ", section), (
                provision_id
            )


@every_case("path", sorted((ROOT / "provisions").glob("*.yaml")))
def test_file_is_one_mapping_and_sections_are_quoted(path):
    text = path.read_text(encoding="utf-8")
    data = yaml.load(text, yaml.CSafeLoader)
    assert set(data) == {name for name, (file, _, _) in provision_index().items() if file == path.stem}
    assert not re.search(r"section: *[0-9]", text)
    for row in data.values():
        for cell in row.values():
            if isinstance(cell, dict) and "section" in cell:
                assert isinstance(cell["section"], str)


def test_no_provision_stands_twice():
    texts = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "provisions").glob("*.yaml"))]
    names = [name for text in texts for name in re.findall(r"^([a-z][a-z0-9_]*):", text, re.MULTILINE)]
    assert len(names) == len(set(names)) == len(PROVISIONS)


@every_case("name", TABLES)
def test_table_names_its_source_and_its_proof(name):
    data = table_data(name)
    assert data["source"]
    assert data["holds"]
    assert data["confidence"] in {"high", "medium", "low"}
    proof = REPOSITORY / data["proved_by"]
    assert proof.is_file()
    assert f'"{name}"' in proof.read_text(encoding="utf-8"), f"{proof.name} does not look at {name}"
    if data["confidence"] != "high":
        assert data.get("doubt") or "practice" in data["source"]


@every_case("name", TABLES)
def test_table_answers_for_every_edition(name):
    numbers = table_data(name)["number"]
    if not isinstance(numbers, str):
        assert [str(edition) for edition in numbers][:3] == ["2017", "2020", "2023"]
        assert set(map(str, numbers)) <= {"2017", "2020", "2023", "2026"}
        assert "2026" not in map(str, numbers) or CodeBook("2026").table_report(name) is not None
    opened = 0
    for edition in NEC_EDITIONS:
        try:
            table = CodeBook(edition).table(name)
        except TableNotInForceError:
            continue
        opened += 1
        assert table.cells or table.bands
        assert edition != "2026" or isinstance(numbers, str)
    assert opened >= 1


@every_case("name", TABLES)
def test_keys_and_words_are_names_the_program_knows(name):
    table = CodeBook("2017" if name == "pv_circuit_ambient_correction" else "2023").table(name)
    for key in table.rows:
        for kind, word in zip(table.key, key if isinstance(key, tuple) else (key,), strict=True):
            if kind == "conductor_size":
                ConductorSize(word)
            if kind == "trade_size":
                trade_size_in(word)
    lines = [*table.cells.values(), *(band.cells for bands in table.bands.values() for band in bands)]
    for line in lines:
        for column, cell in line.items():
            if table.columns[column] == "conductor_size" and cell is not None:
                ConductorSize(cell)


@every_case("name", TABLES)
def test_bands_touch_and_rows_named_by_a_number_hold_it(name):
    table = CodeBook("2017" if name == "pv_circuit_ambient_correction" else "2023").table(name)
    for bands in table.bands.values():
        for before, after in itertools.pairwise(bands):
            assert 0 <= abs(after.lower - before.upper) <= 1, after.label
    if table.key[-1] == "rating" and "rating" in table.columns:
        assert all(float(row[-1]) == table.cells[row]["rating"] for row in table.rows)
