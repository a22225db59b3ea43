"""Whole houses: for each topology the findings and labels that were reasoned out by hand from the code sections.

``tests/topologies/<name>.yaml`` is a small but complete project; ``expected/<name>.yaml`` what a reviewer with the code book
expects of it, written before the program was asked. Violations, cautions and labels are compared as equal sets: one too many
fails like one too few. Keys of an expected file::

    violated, caution:                  # everything of that verdict, nothing else
      - {rule: busbar-sources, subject: MSP, editions: [2017], why: "…"}        # all three editions where left out
    not_judged:                         # what the file leaves open on purpose
      - {rule: contactor-rating, subject: MID, why: "…"}
    passes:                             # key passes, with both numbers where two are compared
      - {rule: busbar-sources, subject: MSP, method: sum of breakers, computed: 120 A, limit: 200 A, why: "…"}
    sized: {conductor C3: {is: 8 AWG, why: "…"}}
    does_not_apply: [{rule: busbar-sources, subject: HP, why: "…"}]
    labels: [{id: sum-rule, on: [PVC], count: 1, why: "…"}]                     # count: pieces of each, where more than one
    placards: {2017: [MSP, ESS1], 2020: [MSP], 2023: [MSP]}                     # equipment at whose place a directory is posted
    as_built_qr: [MSP]
    directory_not_asked: "…"            # why no label asks for the directory that is posted all the same
    remove: [{id: power-source-directory, on: [MSP], why: "…"}]                 # old labels that have become false
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.project.load import load_project
from permitgen.rules.judgement import Judgement
from permitgen.values.units import printed_unit
from permitgen.values.value import Value
from permitgen.views.label_set import LabelSet, label_set_of
from permitgen.views.placard import placards_of
from tests.every_case import every_case

HERE = Path(__file__).parent
NAMES = tuple(sorted(path.stem for path in HERE.glob("*.yaml")))
EDITIONS = ("2017", "2020", "2023")
EVERY = [(name, edition) for name in NAMES for edition in EDITIONS]
MOST_NOT_FORESEEN = 5
FILE_KEYS = {
    "directory_not_asked",
    "violated",
    "caution",
    "not_judged",
    "passes",
    "sized",
    "does_not_apply",
    "labels",
    "placards",
    "as_built_qr",
    "remove",
}
ENTRY_KEYS = {"rule", "subject", "editions", "why", "method", "computed", "limit", "id", "on", "count"}
NUMBER = re.compile(r"(-?[0-9]+(?:\.([0-9]+))?)(?: (.+))?")

topology = every_case(("name", "edition"), EVERY)


@lru_cache
def evaluated(name: str, edition: str) -> Evaluation:
    system = load_project(HERE / f"{name}.yaml", edition=edition).system
    return evaluate(system, CodeBook(edition, fire_code=system.jurisdiction.fire_code))


@lru_cache
def labels_of(name: str, edition: str) -> LabelSet:
    return label_set_of(evaluated(name, edition))


@lru_cache
def expected(name: str) -> dict[str, Any]:
    """Read an expected file; every scalar stays text."""
    data: dict[str, Any] = yaml.load((HERE / "expected" / f"{name}.yaml").read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)
    return data


def entries(name: str, key: str, edition: str) -> Iterator[dict[str, Any]]:
    return (entry for entry in expected(name).get(key, ()) if edition in entry.get("editions", EDITIONS))


def wanted_findings(name: str, key: str, edition: str) -> list[str]:
    return sorted(f"{entry['rule']}: {entry['subject']}" for entry in entries(name, key, edition))


def found_findings(name: str, verdict: str, edition: str) -> list[str]:
    return sorted(f"{f.rule}: {f.subject}" for f in evaluated(name, edition).findings if str(f.verdict) == verdict)


def wanted_labels(name: str, key: str, edition: str) -> list[str]:
    return sorted(f"{entry['id']}: {tag}" for entry in entries(name, key, edition) for tag in entry["on"])


@every_case("name", NAMES)
def test_an_expected_file_gives_a_reason_for_every_line(name: str) -> None:
    data = expected(name)
    assert set(data) <= FILE_KEYS, set(data) - FILE_KEYS
    assert {"violated", "caution", "not_judged", "passes", "labels", "placards"} <= set(data)
    lists = [data.get(key, []) for key in ("violated", "caution", "not_judged", "passes", "does_not_apply", "labels", "remove")]
    for entry in (entry for entries_ in lists for entry in entries_):
        assert set(entry) <= ENTRY_KEYS, set(entry) - ENTRY_KEYS
        assert entry["why"], entry
        assert ("computed" in entry) == ("limit" in entry), f"{entry}: give both numbers or none"
    assert all(sized["is"] and sized["why"] for sized in data.get("sized", {}).values())


@pytest.mark.sample(every=13)
@pytest.mark.parametrize(("name", "edition"), EVERY)
def test_the_command_checks_it(name: str, edition: str) -> None:
    done = CliRunner().invoke(cli, ["check", str(HERE / f"{name}.yaml"), "--edition", edition])
    assert done.exit_code == (1 if wanted_findings(name, "violated", edition) else 0), done.output


@pytest.mark.sample(every=13)
@pytest.mark.parametrize("name", NAMES)
def test_an_edition_that_is_not_confirmed_is_no_crash(name: str) -> None:
    """2026: most of its text is not confirmed, so most is not judged; labels are those whose facts do not rest on it."""
    assert CliRunner().invoke(cli, ["check", str(HERE / f"{name}.yaml"), "--edition", "2026"]).exit_code in (0, 1)
    assert labels_of(name, "2026").labels


@topology
@every_case("verdict", ["violated", "caution"])
def test_the_findings_are_those_reasoned_by_hand(name: str, edition: str, verdict: str) -> None:
    assert found_findings(name, verdict, edition) == wanted_findings(name, verdict, edition)


@topology
def test_what_cannot_be_judged_is_said_and_is_little(name: str, edition: str) -> None:
    """What the file leaves open on purpose is not judged. A new rule may ask for a fact that these files do not state yet: a few may."""
    found = set(found_findings(name, "not judged", edition))
    wanted = set(wanted_findings(name, "not_judged", edition))
    assert wanted <= found
    assert len({finding.partition(":")[0] for finding in found - wanted}) <= MOST_NOT_FORESEEN, found - wanted


@topology
def test_key_requirements_pass_with_the_numbers_reasoned_by_hand(name: str, edition: str) -> None:
    by_id = evaluated(name, edition).by_id
    for entry in entries(name, "passes", edition):
        finding = by_id[f"{entry['rule']}:{entry['subject']}"]
        judgement = finding.judgement
        assert str(finding.verdict) in ("passes", "caution"), f"{finding.id}: {judgement.message}"
        if "method" in entry:
            assert judgement.method == entry["method"], f"{finding.id}: {judgement.method}: {judgement.message}"
        if "computed" in entry:
            compared = [(p.computed, p.limit) for p in parts_of(judgement)]
            told = f"{finding.id}: {judgement.message}: {[(shown(a), shown(b)) for a, b in compared]}"
            assert any(agrees(a, entry["computed"]) and agrees(b, entry["limit"]) for a, b in compared), told


@topology
def test_what_is_left_open_is_sized_as_by_hand(name: str, edition: str) -> None:
    chosen = {f"{sizing.what} {sizing.tag}": sizing for sizing in evaluated(name, edition).sizings}
    for what, entry in expected(name).get("sized", {}).items():
        assert what in chosen, f"{what} is not among {', '.join(chosen)}"
        assert chosen[what].chosen == entry["is"], f"{what}: {chosen[what]}"


@topology
def test_rules_that_do_not_reach_it_say_so(name: str, edition: str) -> None:
    by_id = evaluated(name, edition).by_id
    for entry in entries(name, "does_not_apply", edition):
        finding = by_id[f"{entry['rule']}:{entry['subject']}"]
        assert str(finding.verdict) == "does not apply", f"{finding.id}: {finding.judgement.message}"


@topology
def test_the_labels_are_those_reasoned_by_hand(name: str, edition: str) -> None:
    found = labels_of(name, edition)
    assert sorted({f"{label.id}: {label.tag}" for label in found.labels}) == wanted_labels(name, "labels", edition)
    assert [f"{note.id}: {note.why}" for note in found.not_judged] == []
    assert found.left_out == ()


@topology
def test_a_label_is_due_as_often_as_reasoned_by_hand(name: str, edition: str) -> None:
    for entry in entries(name, "labels", edition):
        if "count" in entry:
            pieces = [label.quantity for label in labels_of(name, edition).labels if label.id == entry["id"]]
            assert sum(pieces) == int(entry["count"]), entry


@topology
def test_the_directory_is_posted_where_reasoned_by_hand(name: str, edition: str) -> None:
    system = evaluated(name, edition).system
    places = [system.equipment[tag].place for tag in expected(name)["placards"][edition]]
    posted = placards_of(evaluated(name, edition))
    assert [placard.place for placard in posted] == [place.description for place in places if place is not None]
    assert [placard.refusal for placard in posted] == [""] * len(places)


@topology
def test_the_placard_carries_what_two_labels_ask_for(name: str, edition: str) -> None:
    ids = {note.id for note in labels_of(name, edition).on_placard}
    data = expected(name)
    asked = {"power-source-directory"} if "directory_not_asked" not in data else set()
    assert ids == asked | ({"as-built-qr"} if "as_built_qr" in data else set())


@topology
def test_labels_that_became_false_are_removed(name: str, edition: str) -> None:
    found = sorted(f"{note.id}: {note.place}" for note in labels_of(name, edition).remove)
    equipment = evaluated(name, edition).system.equipment
    wanted = [(entry["id"], equipment[tag].place) for entry in entries(name, "remove", edition) for tag in entry["on"]]
    assert found == sorted(f"{id_}: {place.description if place is not None else ''}" for id_, place in wanted)


def test_the_inlet_says_which_plug_fits_it() -> None:
    """702.7(C) mandates the sentence; volts and amperes below it are those of the inlet in the file."""
    label = next(label for label in labels_of("b14_generator_inlet", "2023").labels if label.id == "generator-inlet")
    lines = [line.text for panel in label.panels for line in panel.lines]
    assert "120/240 V, 30 A" in lines
    assert "(FLOATING NEUTRAL) SYSTEM ONLY" in " ".join(lines)


def parts_of(judgement: Judgement) -> Iterator[Judgement]:
    yield judgement
    for part in judgement.parts:
        yield from parts_of(part)


def agrees(value: Value | None, text: str) -> bool:
    """Whether a value is the number written, within half a unit of its last digit, in the unit written."""
    found = NUMBER.fullmatch(text)
    assert found, f"{text!r} is not a number with its unit"
    if value is None or (found[3] or "") != printed_unit(value.unit):
        return False
    half = 0.5 * 10 ** -len(found[2] or "") if found[2] else 1e-9 * max(1.0, abs(float(found[1])))
    return abs(value.number - float(found[1])) <= half


def shown(value: Value | None) -> str:
    return f"{value.number:.10g} {printed_unit(value.unit)}" if value is not None else "-"
