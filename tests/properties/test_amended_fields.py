"""An amendment to a field changes something that is judged, or it is refused with the fields that are read.

What counts as read is measured (``amended_fields.py``); each field has a case or a house that shows it, and an amendment file, written
and read as a user's, shows it again here.
"""

from __future__ import annotations

import pytest
import yaml

from permitgen.code.amendment import read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.code.data_files import read_fields
from permitgen.code.edition import FireCode
from permitgen.code.provision import ABSENT
from permitgen.package.opened_project import open_project
from permitgen.reading.problems import ProblemsError
from tests.properties.amended_fields import EDITIONS, ROOT, WITNESSES, every_field, place_called, told_before

SHOWN = yaml.load(WITNESSES.read_text("utf-8"), yaml.CSafeLoader)


def amended(book, provision, field, value):
    """Return the book with an ordinance in force that was written as a file."""
    cell = ABSENT if field == ABSENT else {field: value}
    written = {"ordinance": {"name": "Rule 1", "date": "2026-01-01"}, provision: {str(book.column_of(provision).value): cell}}
    return CodeBook(book.edition, [read_amendment(yaml.safe_dump(written).encode(), "rule.yaml")], book.fire_code.value)


def test_the_list_holds_what_was_shown():
    fields = {f"{provision}.{field}" for provision, fields in read_fields().items() for field in fields}
    assert fields == SHOWN.keys()
    assert fields <= {".".join(field) for field in every_field()}
    assert len(fields) > 600


@pytest.mark.sample(every=400)
@pytest.mark.parametrize("name", SHOWN)
def test_an_amendment_shows_where_it_was_shown(name):
    shown, (provision, field) = SHOWN[name], name.split(".")
    place = place_called(shown["where"], shown["edition"])
    changed = place.told(amended(place.book, provision, field, shown["to"]))
    assert changed.replace(" as amended by Rule 1", "") != told_before(shown["where"], shown["edition"])


@pytest.mark.nightly
@pytest.mark.parametrize("name", SHOWN)
def test_zero_is_judged_or_refused(name):
    shown, (provision, field) = SHOWN[name], name.split(".")
    place = place_called(shown["where"], shown["edition"])
    if isinstance(shown["to"], float):
        try:
            book = amended(place.book, provision, field, 0)
        except ProblemsError:
            return
        assert place.told(book)


def test_every_other_field_is_refused_with_those_that_are_read():
    refusals = {}
    for provision, field in sorted(every_field() - {tuple(name.split(".")) for name in SHOWN}):
        books = (CodeBook(edition, fire_code=fire.value) for edition in EDITIONS for fire in FireCode)
        book = next(b for b in books if b.provision(provision).is_in_force and (field == ABSENT or b.provision(provision).has(field)))
        now = ABSENT if field == ABSENT else book.provision(provision).fields[field]
        try:
            amended(book, provision, field, list(now) if isinstance(now, tuple) else now)
        except ProblemsError as error:
            refusals[f"{provision}.{field}"] = str(error)
        else:
            refusals[f"{provision}.{field}"] = "accepted"
    assert len(refusals) > 100
    assert not {name: why for name, why in refusals.items() if "cannot be struck" not in why and "no rule reads this field" not in why}


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            "emergency_disconnect: {2023: {letters_in: 1}}",
            "x.yaml:2:31: emergency_disconnect.2023.letters_in: no rule reads this field, so that no verdict would change; "
            "fields that are read: ",
        ),
        ("ess_siting_place: {IRC 2021: {not_in: [basement]}}", "no rule reads this field, so that no verdict would change"),
        ("service_minimum_rating: {}", "x.yaml:2:1: service_minimum_rating: expected the editions that are changed"),
        ("service_minimum_rating: {says: more}", "x.yaml:2:1: service_minimum_rating: expected the editions that are changed"),
        ("neutral_bond_test: {2023: absent}", "cannot be struck: no verdict would change"),
        ("feeder_tap_25_ft: {2023: {share_of_count: 0}}", "a number above zero was expected, as now: 3"),
    ],
)
def test_what_would_change_nothing_has_a_place(row, message):
    with pytest.raises(ProblemsError) as caught:
        CodeBook("2023", [read_amendment(f"ordinance: {{name: X, date: 2026-01-01}}\n{row}\n".encode(), "x.yaml")])
    assert message in str(caught.value)


def test_an_ordinance_of_other_editions_is_refused_with_the_project_and_not_when_another_is_asked_for(tmp_path):
    small = (ROOT / "tests/cli/small_house.yaml").read_text("utf-8")
    (tmp_path / "project.yaml").write_text(small.replace("edition: 2023}", "edition: 2023, amendments: rule.yaml}"), "utf-8")
    (tmp_path / "rule.yaml").write_text(
        "ordinance: {name: X, date: 2026-01-01}\nservice_minimum_rating: {2020: {one_family_a: 200}}\n", "utf-8"
    )
    with pytest.raises(ProblemsError, match="no row of it is for NEC 2023 or IRC 2021; it would change nothing"):
        open_project(tmp_path)
    assert open_project(tmp_path, edition="2020").code.provision("service_minimum_rating").amended_by == "X"
