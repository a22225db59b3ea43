"""The book: what it prints, what it refuses, and what a local amendment changes."""

from __future__ import annotations

import re

import pytest

from permitgen.code.amendment import read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.code.errors import (
    DataError,
    NotInTableError,
    ProvisionNotInForceError,
    TableNotInForceError,
    UnknownEditionError,
    UnknownFieldError,
    UnknownProvisionError,
    UnknownTableError,
)
from permitgen.code.provision_reading import read_provision
from permitgen.code.table_reading import read_report, read_table
from permitgen.reading.problems import ProblemsError
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.origin import ProvisionField, TableCell

ORDINANCE = b"""
ordinance: {name: Fernhollow Ordinance 24-7, date: 2024-03-01}
service_minimum_rating:
  2020: {one_family_a: 200}
emergency_disconnect:
  2020: absent
ess_siting_energy:
  IRC 2021: {garage_kwh: 40}
supply_side_overcurrent_place:
  2020: {section: "705.11(C), local", longest_in_dwelling_ft: 5}
"""


def test_a_number_remembers_its_section():
    value = CodeBook("2020").provision("opposite_end_120_percent").value("busbar_factor")
    assert (value.number, value.unit) == (1.2, "factor")
    assert value.origin == ProvisionField("opposite_end_120_percent", "705.12(B)(3)(2)", "busbar_factor")


def test_a_cell_prints_like_the_book():
    value = CodeBook(2023).table("conductor_ampacity").at(ConductorSize("6"), "copper_75c")
    assert value.number == 65
    assert value.origin == TableCell("conductor_ampacity", "Table 310.16", "6 AWG", "copper 75 °C")
    assert str(value.origin) == "Table 310.16, 6 AWG, copper 75 °C"
    older = CodeBook("NEC 2017").table("conductor_ampacity").at("6", "copper_75c")
    assert str(older.origin) == "Table 310.15(B)(16), 6 AWG, copper 75 °C"
    assert (
        str(CodeBook(2023).table("raceway_dimensions").at(("EMT", "3/4"), "total_area").origin) == "Chapter 9 Table 4, EMT 3/4, total area"
    )


def test_a_band_prints_its_bounds_or_the_words_of_the_book():
    book = CodeBook(2023)
    labels = {name: [band.label for band in next(iter(book.table(name).bands.values()))] for name in ("conduit_fill", "ambient_correction")}
    assert labels["conduit_fill"] == ["1", "2", "3 and more"]
    assert labels["ambient_correction"][:2] == ["to 10 °C", "11 to 15 °C"]
    assert book.table("grounding_electrode_conductor").bands["copper"][0].label == "2 AWG or smaller"


def test_status_of_each_edition():
    provisions = {edition: CodeBook(edition).provision("emergency_disconnect") for edition in ("2017", "2020", "2026")}
    assert [provision.status for provision in provisions.values()] == ["absent", "in force", "reported"]
    assert provisions["2020"].citation == "NEC 2020 230.85"
    assert provisions["2017"].citation == "NEC 2017: no such requirement"
    for edition in ("2017", "2026"):
        with pytest.raises(ProvisionNotInForceError, match=f"NEC {edition}"):
            provisions[edition].value("letters_in")


def test_section_without_number_stands_alone():
    assert CodeBook("2020").provision("voltage_rise").citation == "common practice, no published source"
    assert CodeBook("2020", fire_code="IRC 2021").provision("ess_spacing").citation == "IRC 2021 R328.3.1"
    assert CodeBook("2020", fire_code="NFPA 855 2023").provision("ess_spacing").citation == "NFPA 855 2023 15.3"
    assert str(CodeBook("2020").provision("ess_spacing").value("between_units_ft").origin) == "IRC 2021 R328.3.1"
    assert CodeBook("2017").provision("conductor_ampacity").citation == "NEC 2017 Table 310.15(B)(16)"
    assert CodeBook("2023").provision("conduit_fill").citation == "NEC 2023 Chapter 9 Table 1"


def test_doubt_and_term_follow_the_edition():
    assert CodeBook("2017").provision("pv_circuit_current").doubt == ""
    assert "not confirmed" in CodeBook("2023").provision("pv_circuit_current").doubt
    assert CodeBook("2017").provision("rapid_shutdown_inside_array").term == "listed rapid shutdown PV array"
    assert CodeBook("2023").provision("rapid_shutdown_inside_array").term == "listed PV hazard control system"


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda book: book.provision("oposite_end_120_percent"), UnknownProvisionError, 'did you mean "opposite_end_120_percent"'),
        (lambda book: book.table("conductor_ampacities"), UnknownTableError, 'did you mean "conductor_ampacity"'),
        (lambda book: book.provision("next_size_up").value("largest_a"), UnknownFieldError, 'did you mean "largest_rating_a"'),
        (lambda book: book.provision("parallel_conductors").value("smallest_size"), UnknownFieldError, "not a number"),
        (lambda book: book.provision("next_size_up").text("largest_rating_a"), UnknownFieldError, "not text"),
        (lambda book: book.provision("next_size_up").words("largest_rating_a"), UnknownFieldError, "not a list"),
        (lambda book: book.provision("next_size_up").flag("largest_rating_a"), UnknownFieldError, "not yes or no"),
        (lambda book: book.table("conductor_ampacity").at("14", "aluminum_75c"), NotInTableError, "Table 310.16 has no value for 14 AWG"),
        (lambda book: book.table("conductor_ampacity").at("1250", "copper_75c"), NotInTableError, "no row 1250 kcmil"),
        (lambda book: book.table("conductor_ampacity").at("6", "copper_80c"), NotInTableError, "no column"),
        (lambda book: book.table("conductor_properties").at(("braided", "6"), "area"), NotInTableError, "no row braided 6 AWG"),
        (lambda book: book.table("bonding_jumper").band_text(10, "copper", "iron"), NotInTableError, "no group 'iron'"),
        (lambda book: book.table("ambient_correction").band_text(10, "rated_60c"), NotInTableError, "holds numbers"),
        (lambda book: book.table("equipment_grounding_conductor").band(15, "copper"), NotInTableError, "holds words"),
        (lambda _: CodeBook("2019"), UnknownEditionError, "known: 2017, 2020, 2023, 2026"),
        (lambda _: CodeBook("2020", fire_code="IRC 2012"), UnknownEditionError, "is not a fire code"),
        (lambda _: CodeBook("2026").table("conductor_ampacity"), TableNotInForceError, "not confirmed"),
    ],
)
def test_refusals_name_what_was_asked(nec_2023, call, error, message):
    with pytest.raises(error, match=message.replace("(", r"\(").replace(")", r"\)")):
        call(nec_2023)


def test_amendment_changes_fields_and_says_so():
    book = CodeBook("2020", [read_amendment(ORDINANCE, "fernhollow.yaml")])
    service = book.provision("service_minimum_rating")
    assert service.value("one_family_a").number == 200
    assert service.value("other_a").number == 60
    assert service.citation == "NEC 2020 230.79 as amended by Fernhollow Ordinance 24-7"
    assert str(service.value("one_family_a").origin) == "230.79 as amended by Fernhollow Ordinance 24-7"
    assert book.provision("emergency_disconnect").status == "absent"
    assert book.provision("ess_siting_energy").value("garage_kwh").number == 40
    assert book.provision("supply_side_overcurrent_place").section == "705.11(C), local as amended by Fernhollow Ordinance 24-7"
    assert book.provision("next_size_up").amended_by == ""


def test_amendment_leaves_other_editions_and_books_alone():
    amendment = read_amendment(ORDINANCE, "fernhollow.yaml")
    assert CodeBook("2023", [amendment]).provision("service_minimum_rating").value("one_family_a").number == 100
    assert CodeBook("2020", [amendment], fire_code="IRC 2024").provision("ess_siting_energy").value("garage_kwh").number == 80
    assert CodeBook("2020").provision("service_minimum_rating").value("one_family_a").number == 100


def test_later_amendments_build_on_earlier_ones():
    second = read_amendment(
        b"ordinance: {name: County Rule 3, date: 2025}\nservice_minimum_rating:\n  2020: {other_a: 100}\n", "county.yaml"
    )
    service = CodeBook("2020", [read_amendment(ORDINANCE, "a.yaml"), second]).provision("service_minimum_rating")
    assert (service.value("one_family_a").number, service.value("other_a").number) == (200, 100)
    assert service.section == "230.79 as amended by Fernhollow Ordinance 24-7 as amended by County Rule 3"


HEAD = b"ordinance: {name: X, date: 2024-01-01}\n"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (b"service_minimum_rating:\n  2020: {one_family_a: 200}\n", "x.yaml:1:1: an ordinance with its name and date was expected"),
        (b"ordinance: {name: X}\na: {2020: absent}\n", "x.yaml:1:12: ordinance: expected its date, one line"),
        (b"ordinance: X\n", "x.yaml:1:12: ordinance: an ordinance with its name"),
        (HEAD, "x.yaml:1:1: nothing is amended; a provision with its changed fields was expected"),
        (
            HEAD + b"servise_minimum_rating:\n  2020: {one_family_a: 200}\n",
            'x.yaml:2:1: servise_minimum_rating: no provision is called that; did you mean "service_minimum_rating"?',
        ),
        (HEAD + b"service_minimum_rating:\n  2021: {one_family_a: 200}\n", "x.yaml:3:3: service_minimum_rating.2021: not an edition"),
        (HEAD + b"service_minimum_rating:\n  2020: 200\n", "x.yaml:3:3: service_minimum_rating.2020: expected changed fields"),
        (HEAD + b"service_minimum_rating:\n  2020: {}\n", "x.yaml:3:3: service_minimum_rating.2020: expected changed fields"),
        (HEAD + b"service_minimum_rating: 200\n", "x.yaml:2:1: service_minimum_rating: expected the editions"),
        (
            HEAD + b"service_minimum_rating:\n  2020: {section: [1]}\n",
            "x.yaml:3:19: service_minimum_rating.2020.section: expected",
        ),
        (HEAD + b"a: [\n", "x.yaml:3:1: a value was expected here"),
        (HEAD + b"? [a]\n: b\n", "x.yaml:2:3: a key must be plain text"),
        (HEAD + b"? !!binary aGk=\n: b\n", 'x.yaml:2:3: aGk=: the tag "!!binary" is not read'),
        (HEAD + b"<<: {a: b}\n", 'x.yaml:2:1: merge keys ("<<") are not read'),
        (HEAD + b"a: &a [x]\nb: *a\n", 'x.yaml:3:4: b: "*a" refers to another part of the file'),
        (HEAD + b"a: " + b"[" * 3000, "x.yaml:2:"),
        (HEAD + b"a: 1\na: 2\n", 'x.yaml:3:1: a: the key "a" is given twice'),
        (HEAD + b"a: \0\n", "x.yaml:1:1: this is not a text file"),
        (HEAD + b"a: caf\xe9\n", "x.yaml:2:7: the byte 0xE9 is not UTF-8"),
        (b"[a]", "x.yaml:1:1: the file does not start with a key"),
        (b"", "x.yaml:1:1: the file is empty"),
    ],
)
def test_amendment_refusals_have_a_place(text, message):
    with pytest.raises(ProblemsError) as caught:
        read_amendment(text, "x.yaml")
    assert str(caught.value).startswith(message)


def test_a_section_needs_no_quotes():
    """Its closing zero stays: what is typed is text."""
    book = CodeBook("2020", [read_amendment(HEAD + b"service_minimum_rating:\n  2020: {section: 230.70, one_family_a: 200}\n", "x.yaml")])
    assert book.provision("service_minimum_rating").section == "230.70 as amended by X"


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            b"service_minimum_rating:\n  2020: {one_famly_a: 200}\n",
            "x.yaml:3:10: service_minimum_rating.2020.one_famly_a: "
            'service_minimum_rating has no field "one_famly_a"; did you mean "one_family_a"?',
        ),
        (
            b"emergency_disconnect:\n  2017: {letters_in: 1}\n",
            "x.yaml:3:3: emergency_disconnect.2017: cannot be amended; NEC 2017: no such requirement",
        ),
        (
            b"service_minimum_rating:\n  2020: {one_family_a: two}\n",
            'x.yaml:3:24: service_minimum_rating.2020.one_family_a: "two" is not a number; the unit is in the name',
        ),
        (b"service_minimum_rating:\n  2020: {one_family_a: .inf}\n", "x.yaml:3:24: "),
        (b"service_minimum_rating:\n  2020: {one_family_a: 1e999}\n", "x.yaml:3:24: "),
        (b"service_minimum_rating:\n  2020: {one_family_a: -5}\n", "x.yaml:3:24: "),
        (b"service_minimum_rating:\n  2020: {one_family_a: [1]}\n", "x.yaml:3:24: "),
        (b"service_minimum_rating:\n  2020: {one_family_a: }\n", "x.yaml:3:"),
    ],
)
def test_amendment_of_what_is_not_there_is_refused(row, message):
    edition = row.split(b"\n")[1].strip().split(b":")[0].decode()
    with pytest.raises(ProblemsError) as caught:
        CodeBook(edition, [read_amendment(HEAD + row, "x.yaml")])
    assert str(caught.value).startswith(message)


GOOD = {"says": "a row", "confidence": "high", 2020: {"section": "1.1", "limit_a": 5}}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({2020: {"section": 250.30}}, "is a number; quote it"),
        ({2020: {"section": "1.1", "limit": 5}}, "does not end in a unit"),
        ({2020: {"section": "1.1", "limit_a": None}}, "expected a number"),
        ({2020: {"limit_a": 5}}, "a section is missing"),
        ({2020: "maybe"}, "expected a section"),
        ({2020: "as 2014"}, "points to nothing"),
        ({"says": ""}, "says"),
        ({"confidence": "sure"}, "confidence"),
    ],
)
def test_careless_provision_rows_are_refused(change, message):
    assert read_provision("row", GOOD, "2020", "NEC 2020").value("limit_a").number == 5
    with pytest.raises(DataError, match=message):
        read_provision("row", {**GOOD, **change}, "2020", "NEC 2020")
    with pytest.raises(DataError, match="the column 2023 is missing"):
        read_provision("row", GOOD, "2023", "NEC 2023")


REPORT = {"as": 2023, "grade": "reported", "section": "1.2", "source": "a magazine", "reported": {"limit_a": 4}}
UNREAD = {"grade": "not read", "section": "1.2", "source": "a magazine", "reports": "moved"}


def test_what_is_reported_of_an_edition_that_was_not_read_is_kept_apart():
    row = {**GOOD, 2023: "as 2020", 2026: REPORT}
    report = read_provision("row", row, "2026", "NEC 2026")
    assert (report.status, report.grade, report.citation) == ("reported", "reported", "NEC 2026 1.2 (reported, text not confirmed)")
    with pytest.raises(ProvisionNotInForceError):
        report.value("limit_a")
    laid_over = read_provision("row", row, "2023", "NEC 2023").as_reported(report)
    assert (laid_over.value("limit_a").number, laid_over.citation) == (4, "NEC 2026 1.2")
    unread = read_provision("row", {**row, 2026: UNREAD}, "2026", "NEC 2026")
    assert (unread.status, unread.grade, unread.doubt) == ("unconfirmed", "not read", "moved")


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("as 2020", "grade and source"),
        ("absent", "grade and source"),
        ({"section": "1.2", "limit_a": 4}, "grade and source"),
        ({**REPORT, "grade": "sure"}, "grade: 'sure' is not 'reported' or 'not read'"),
        ({**REPORT, "source": ""}, "source: what is stated"),
        ({**REPORT, "section": ""}, "a section is missing"),
        ({**REPORT, "as": 2014}, "the column 2014 is missing"),
        ({**REPORT, "as": 2017}, "holds no requirement"),
        ({**REPORT, "reported": {"limt_a": 4}}, "no edition before has the field 'limt_a'; did you mean"),
        ({**REPORT, "reported": {"limit": 4}}, "does not end in a unit"),
        ({**REPORT, "relaxed": "much"}, "unknown relaxed"),
        ({**UNREAD, "reports": "", "section": ""}, "only its section"),
        ({**UNREAD, "as": 2023}, "only its section"),
    ],
)
def test_rows_of_an_edition_that_was_not_read_are_refused_without_grade_and_source(cell, message):
    row = {**GOOD, 2017: "absent", 2023: "as 2020", 2026: cell}
    with pytest.raises(DataError, match=re.escape(message)):
        read_provision("row", row, "2026", "NEC 2026")


@pytest.mark.parametrize("missing", ["number", "grade", "source"])
def test_reports_of_tables_are_refused_without_number_grade_and_source(missing):
    report = {"number": "Table 1", "grade": "reported", "source": "a magazine"}
    assert read_report("x", report).number == "Table 1"
    with pytest.raises(DataError, match="number, grade"):
        read_report("x", {**report, missing: ""})


TABLE = {"holds": "x", "key": "conductor_size", "columns": {"copper": "a", "note": "text"}, "rows": {"14": [15, "b"], "12": [20, None]}}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"rows": {14: [15, "b"]}}, "14 is not text; quote it"),
        ({"rows": {"14": [15]}}, r"expected 2 cells \(copper, note\)"),
        ({"rows": {"14": ["15", "b"]}}, "copper: '15' is not a number"),
        ({"rows": {"14": [15, 6]}}, "note: 6 is not text; quote it"),
        ({"rows": {"a": {"14": [15, "b"]}}}, "the key of the table is conductor_size"),
        ({"columns": {"copper": "amps", "note": "text"}}, "'amps' is not a unit"),
        ({"columns": None}, "columns"),
        ({"rows": None, "bands": [{"from": 1, "to": 2, "is": [1, "a"]}]}, "does not end in a unit"),
    ],
)
def test_careless_tables_are_refused(change, message):
    assert read_table("x", TABLE, "2020", "Table 1", "NEC 2020").at("14", "copper").number == 15
    with pytest.raises(DataError, match=message):
        read_table("x", {**TABLE, **change}, "2020", "Table 1", "NEC 2020")


CODE_SECTION = re.compile(r"R?\d|Article |Table |chapter ")


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_what_is_not_confirmed_says_so(edition):
    """A row of a code that is not of high confidence says in one of its editions what is not certain: that is printed with its findings."""
    silent = [
        name
        for name in CodeBook(edition).provision_ids
        if CODE_SECTION.match(CodeBook(edition).provision(name).section)
        and CodeBook(edition).provision(name).confidence != "high"
        and not any(CodeBook(each).provision(name).doubt for each in ("2017", "2020", "2023"))
    ]
    assert silent == []
