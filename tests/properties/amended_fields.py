"""Which fields of provisions matter: an amendment to each is tried on cases and houses until something that is judged changes.

That is a verdict, a size that was chosen, a label that is due or its words, or what a line of the field checklist asks for.

``python -m tests.properties.amended_fields`` writes what it finds: ``permitgen/code/read_fields.yaml``, by which amendments are
refused, and ``amended_fields.yaml`` beside this file, the case or house that shows it for each field, which a test repeats.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from permitgen.code.codebook import CodeBook
from permitgen.code.edition import FireCode
from permitgen.code.errors import CodeError
from permitgen.code.provision import ABSENT, FieldValue, Provision
from permitgen.evaluation.sizing import size_everything
from permitgen.package.field_and_record import checklist_of
from permitgen.package.opened_project import OpenedProject, open_project
from permitgen.rules.given import Given
from permitgen.views.label_set import label_set_of
from permitgen.views.placard import placards_of
from tests.rules import case_files

ROOT = Path(__file__).resolve().parents[2]
READ_FIELDS = ROOT / "permitgen/code/read_fields.yaml"
WITNESSES = Path(__file__).with_suffix(".yaml")
HOUSES = (
    "demo_project",
    *(f"tests/topologies/{name}.yaml" for name in ("b06a_generator_on_mid", "b09_hybrid_inverter", "b24_ground_mount")),
)
EDITIONS = ("2017", "2020", "2023")
_FACTORS = (0.5, 2.0, 0.1, 10.0, 0.9, 1.1, 1000.0, 0.01)
_SIZES = ("14", "4", "1/0", "500")
_TRADES = ("1/2", "1", "4")
_WORDS = ("none of these",)
_MOST_TRIED = 60
_HEAD = """\
# Fields of provisions that an amendment may change: one changed alone changes a verdict, a size, a label or what a line of the field
# checklist asks; absent where striking the provision does. Others are refused. Measured, not written by hand:
# python -m tests.properties.amended_fields writes this file, and tests/properties/test_amended_fields.py repeats what it found.
"""

Field = tuple[str, str]


@dataclass(frozen=True)
class Witness:
    """A case (``file: name``) or a house, an edition, and the value with which something is told otherwise there."""

    where: str
    edition: str
    value: Any


def others(name: str, now: FieldValue) -> Iterator[FieldValue]:
    """Yield values that an ordinance could put in the place of ``now``."""
    if isinstance(now, bool):
        yield not now
    elif isinstance(now, tuple):
        yield ("none of these",)
        yield from ((word,) for word in now if len(now) > 1)
    elif isinstance(now, str):
        words = _TRADES if name.endswith("trade_size") else _SIZES if name.endswith("_size") else _WORDS
        yield from (word for word in words if word != now)
    else:
        yield from (value for value in (*(round(now * factor, 6) for factor in _FACTORS), now + 1) if value != now)


class Amended(CodeBook):
    """A book of the same edition in which an ordinance changes one field, or strikes the provision; whether it may is not asked here."""

    def __init__(self, book: CodeBook, field: Field, value: FieldValue) -> None:
        super().__init__(book.edition, book.amendments, book.fire_code.value)
        now = book.provision(field[0])
        struck = replace(now, status=ABSENT, section="", fields={})
        self._provisions[field[0]] = struck if field[1] == ABSENT else now.amended("Rule 1", {field[1]: value})


class Case:
    """One case of the case files under one edition."""

    def __init__(self, case: case_files.Case, edition: str) -> None:
        self.case, self.edition = case, edition
        self.system = _system(case, edition)

    @property
    def book(self) -> CodeBook:
        return case_files.code_of(self.edition, self.system.jurisdiction.fire_code, case_files.ordinance_of(self.case))

    def told(self, book: CodeBook) -> str:
        """Return the verdict, those of its parts, and what was chosen, with ``book`` in force."""
        given, sizings = size_everything(Given(self.system, book))
        judgement = case_files.judgement_of(self.case, given)
        verdicts = [str(part.verdict) for part in judgement.nested()] if self.case.get("method") else [str(judgement.verdict)]
        return f"{verdicts}{[(sizing.tag, sizing.what, sizing.chosen) for sizing in sizings]}"


def _system(case: case_files.Case, edition: str) -> Any:
    return case_files.under(case_files.built(case.get("base"), case_files.changes_of(case), case.editions[0]), edition)


class House:
    """A whole project under one edition: every verdict, and what labels and the field checklist ask for."""

    def __init__(self, project: str, edition: str) -> None:
        self.opened = _opened(project, edition)

    @property
    def book(self) -> CodeBook:
        return self.opened.code

    def told(self, book: CodeBook) -> str:
        opened = replace(self.opened, code=book)
        evaluation = opened.evaluation
        verdicts = [(finding.id, str(finding.verdict)) for finding in evaluation.findings]
        words = (checklist_of(opened), label_set_of(evaluation), placards_of(evaluation))
        return f"{verdicts}{words}".replace(" as amended by Rule 1", "")


@cache
def _opened(project: str, edition: str) -> OpenedProject:
    return open_project(ROOT / project, edition=edition)


@contextmanager
def reads_noted() -> Iterator[set[Field]]:
    """Note every field of a provision that is read, and every provision as one that may be struck."""
    noted: set[Field] = set()
    field, provision = Provision._field, CodeBook.provision

    def noted_field(self: Provision, name: str) -> FieldValue:
        noted.add((self.id, name))
        return field(self, name)

    def noted_provision(self: CodeBook, provision_id: str) -> Provision:
        noted.add((provision_id, ABSENT))
        return provision(self, provision_id)

    Provision._field, CodeBook.provision = noted_field, noted_provision
    try:
        yield noted
    finally:
        Provision._field, CodeBook.provision = field, provision


def every_field() -> set[Field]:
    """Return every field that some edition or fire code has in force, and every provision as one that may be struck."""
    found = set()
    for book in (CodeBook(edition, fire_code=fire.value) for edition in EDITIONS for fire in FireCode):
        for provision in map(book.provision, book.provision_ids):
            if provision.is_in_force:
                found |= {(provision.id, name) for name in (*provision.fields, ABSENT)}
    return found


def _readers() -> dict[Field, list[tuple[str, str]]]:
    """Return, for each field that is read, the cases and houses that read it, each with an edition."""
    found: dict[Field, list[tuple[str, str]]] = {}
    places = [(str(each), edition) for each in case_files.cases() for edition in each.editions]
    places += [(house, edition) for house in HOUSES for edition in (EDITIONS if house == HOUSES[0] else EDITIONS[-1:])]
    for where, edition in places:
        with reads_noted() as noted:
            told_before(where, edition)
        for field in noted:
            found.setdefault(field, []).append((where, edition))
    return found


@cache
def told_before(where: str, edition: str) -> str:
    """Return what is told without an amendment, found once."""
    place = place_called(where, edition)
    return place.told(place.book)


@cache
def _cases() -> Mapping[str, case_files.Case]:
    return {str(each): each for each in case_files.cases()}


def place_called(where: str, edition: str) -> Case | House:
    """Return a case or a house under an edition."""
    return House(where, edition) if where in HOUSES else Case(_cases()[where], edition)


def _witness(field: Field, readers: list[tuple[str, str]]) -> Witness | None:
    """Return where an amendment of a field is seen, cases first; readers are spread over all that read it."""
    cases = [reader for reader in readers if reader[0] not in HOUSES]
    houses = [reader for reader in readers if reader[0] in HOUSES]
    step = max(1, len(cases) // _MOST_TRIED)
    for where, edition in (*cases[::step], *houses[:3]):
        place = place_called(where, edition)
        provision = place.book.provision(field[0])
        if not provision.is_in_force or (field[1] != ABSENT and field[1] not in provision.fields):
            continue
        tried = [True] if field[1] == ABSENT else list(others(field[1], provision.fields[field[1]]))
        for value in tried[: 4 if where in HOUSES else None]:
            if _shows(place, field, value, told_before(where, edition)):
                return Witness(where, edition, list(value) if isinstance(value, tuple) else value)
    return None


def _shows(place: Case | House, field: Field, value: FieldValue, before: str) -> bool:
    try:
        return place.told(Amended(place.book, field, value)) != before
    except (CodeError, ValueError, ArithmeticError, AssertionError) as error:
        print(f"{'.'.join(field)} as {value}: {error!r}")  # noqa: T201
        return False


def main() -> None:
    """Measure, and write both files."""
    readers = _readers()
    read: dict[str, list[str]] = {}
    shown: dict[str, dict[str, Any]] = {}
    for field in sorted(every_field()):
        witness = _witness(field, readers.get(field, []))
        if witness is not None:
            read.setdefault(field[0], []).append(field[1])
            shown[".".join(field)] = {"where": witness.where, "edition": witness.edition, "to": witness.value}
        elif field in readers:
            print(f"{'.'.join(field)}: read, but no amendment of it shows")  # noqa: T201
    READ_FIELDS.write_text(_HEAD + yaml.safe_dump(read, default_flow_style=None, width=140), encoding="utf-8")
    WITNESSES.write_text("".join(f"{name}: {json.dumps(each)}\n" for name, each in shown.items()), encoding="utf-8")


if __name__ == "__main__":
    main()
