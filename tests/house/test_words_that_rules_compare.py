"""A key whose words a rule compares has a vocabulary: a misspelled word is refused and never costs a verdict in silence.

The code of rules, system, evaluation and views is walked for comparisons of an attribute with words; every such attribute that is a
free text or a list of words of the project file is settled here: read by a vocabulary, checked as the name of something, or left open.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import PlainValidator

from permitgen.code.codebook import CodeBook
from permitgen.project.fields import Text, Words
from permitgen.project.schema import sections
from permitgen.project.word_fields import WordReader, WordsReader, known_word
from permitgen.rules.quantities.grounding_electrodes import KINDS
from permitgen.rules.quantities.load_scope import CATEGORIES
from permitgen.rules.service.service_equipment_marking import MARKS
from permitgen.system.known_words import CATEGORY, CHEMISTRY, ELECTRODES, FUNCTIONS, INSULATION, LISTED_AS, MODES, SPACE
from permitgen.system.operating_mode import OperatingMode

PACKAGE = Path(__file__).resolve().parents[2] / "permitgen"
WALKED = ("rules", "system", "evaluation", "views")
CHECKED_ELSEWHERE = {
    "at": "names a wall or a place, read by project/told_places.py",
    "building": "names a building: project/site_references.py",
    "from": "a terminal: project/references.py",
    "kind": "kinds of things that a plan draws are the office's own beside those of system/site/surroundings.py",
    "role": "project/choice_references.py",
    "name": "a thing of its own name",
    "source": "names equipment: project/references.py",
    "roof_planes": "project/site_references.py",
    "asks_for": "labels: package/label_names.py",
    "existing_labels": "labels: package/label_names.py",
    "description": "words that lead a stranger there; read for attic and crawl space where no space is stated",
    "section": "package/grant_names.py",
    "by": "words of a person",
    "file": "a path, opened when it is read",
    "path": "a key of this file: project/built_references.py",
    "of": "names things that are asked for: project/asked_demands.py",
    "to": "a terminal: project/references.py",
    "splice": "words of the office",
    "subject": "package/grant_names.py",
    "positions": "the marks of a switch, its own words",
    "number": "a figure of a value where it is compared",
    "attached_to": "names a building: project/site_references.py",
    "reason_for_increase": "compared with the only word that counts (voltage drop); any other is taken for another reason",
    "answer": "what is typed in the field, read by evaluation/field_verdict.py",
    "what": "words of a person",
    "rule": "id of a rule: package/grant_names.py",
    "id": "an identifier of the office",
    "names": "names of files that are handed in: project/choice_references.py",
    "crosses": "names a street: project/sections/streets.py",
    "label": "what is printed on a drawing",
}


def _readers(*kinds: type) -> Iterator[tuple[str, object]]:
    for model in sections():
        for name, field in model.model_fields.items():
            for each in field.metadata:
                if isinstance(each, PlainValidator) and isinstance(each.func, kinds):
                    yield field.alias or name, each.func


def _free_keys() -> frozenset[str]:
    free = [each.func for annotated in (Text, Words) for each in annotated.__metadata__ if isinstance(each, PlainValidator)]
    return frozenset(
        field.alias or name
        for model in sections()
        for name, field in model.model_fields.items()
        if any(isinstance(each, PlainValidator) and each.func in free for each in field.metadata)
    )


def _compared(tree: ast.AST) -> Iterator[str]:
    """Yield the attributes that are compared with words, or sought among words, or in which a word is sought."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
            if any(_are_words(side) for side in sides):
                yield from (name for side in sides for name in _attribute(side))
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.BitAnd):
            yield from (name for side in (node.left, node.right) for name in _attribute(side))
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in {"casefold", "lower"}:
            yield from _attribute(node.func.value)


def _are_words(node: ast.AST) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str) and bool(node.value)
    if isinstance(node, ast.Tuple | ast.List | ast.Set):
        return all(map(_are_words, node.elts))
    return isinstance(node, ast.Name) and node.id.lstrip("_").isupper()


def _attribute(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Attribute):
        yield node.attr
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in {"casefold", "lower", "split", "strip"}:
        yield from _attribute(node.func.value)


def test_every_free_text_that_is_compared_with_words_is_settled() -> None:
    free = _free_keys()
    found = {
        f"{name} ({path.relative_to(PACKAGE)})"
        for folder in WALKED
        for path in (PACKAGE / folder).rglob("*.py")
        for name in _compared(ast.parse(path.read_text("utf-8")))
        if name in free and name not in CHECKED_ELSEWHERE
    }
    assert found == set()


def test_the_vocabularies_are_read() -> None:
    read = {key for key, _ in _readers(WordReader, WordsReader)}
    assert {"insulation", "listed_as", "electrodes", "category", "functions", "materials", "closed_in", "space", "chemistry"} <= read


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_the_words_of_tables_and_provisions_are_among_them(edition: str) -> None:
    book = CodeBook(edition)
    insulations = {str(row) for name in ("insulation_temperature_rating", "insulation_dimension_group") for row in book.table(name).rows}
    assert {name.casefold() for name in insulations} <= {name.casefold() for name in INSULATION.names}
    assert set(book.provision("supply_side_equipment").words("by_listing")) | MARKS <= set(LISTED_AS.names)
    told = book.provision("ess_location")
    assert {*told.words("forms_hydrogen"), *told.words("forms_no_hydrogen")} <= set(CHEMISTRY.names)


def test_the_words_of_rules_are_among_them() -> None:
    assert set(KINDS) <= set(ELECTRODES.names)
    assert set(CATEGORY.names) == CATEGORIES
    assert set(MODES.names) == {str(mode) for mode in OperatingMode}
    assert set(FUNCTIONS.names) == {"interactive", "multimode"}


@pytest.mark.parametrize(
    ("vocabulary", "typed", "name"),
    [
        (INSULATION, "thwn2", "THWN-2"),
        (INSULATION, "THWN2", "THWN-2"),
        (INSULATION, "xhhw-2", "XHHW-2"),
        (INSULATION, "PV Wire", "PV wire"),
        (LISTED_AS, "Service Equipment", "service equipment"),
        (ELECTRODES, "Ufer", "concrete-encased"),
        (SPACE, "two-car Garage", "two-car Garage"),
        (SPACE, "wine cellar", "wine cellar"),
        (CHEMISTRY, "Lithium iron phosphate", "Lithium iron phosphate"),
    ],
)
def test_case_and_hyphens_count_for_nothing(vocabulary, typed, name) -> None:
    assert known_word(vocabulary, typed) == name


@pytest.mark.parametrize(
    ("vocabulary", "typed", "message"),
    [
        (INSULATION, "THWM-2", 'did you mean "THW-2" or "THWN-2"'),
        (INSULATION, "zip cord", "is no insulation type; known: PV wire"),
        (INSULATION, "THHN/THWN-2", "expected the one that is relied on: THHN or THWN-2"),
        (LISTED_AS, "yes", "says whether, and not what"),
        (LISTED_AS, "servce equipment", 'did you mean "service equipment"'),
        (SPACE, "garrage", 'did you mean "garage"'),
        (CHEMISTRY, "lithum iron phosphate", "is no chemistry of a battery"),
    ],
)
def test_a_misspelled_word_is_refused(vocabulary, typed, message) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011
        known_word(vocabulary, typed)
    assert message in str(caught.value)
