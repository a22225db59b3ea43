"""Switches, generators and transfer switches take a directory as panels do; a whole directory may be built otherwise than permitted.

What a line says stands in the words of a panel door (common practice, no published source).
"""

from pathlib import Path
from typing import get_args

import pytest
import yaml

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.departures import as_built
from permitgen.project.load import load_project
from permitgen.project.sections.equipment import EquipmentEntry
from permitgen.reading.problems import ProblemsError
from permitgen.system.equipment.kinds import KINDS
from tests.topologies.test_whole_directory import told

HERE = Path(__file__).parent


def data_of(name):
    return yaml.load((HERE / f"{name}.yaml").read_text("utf-8"), yaml.CBaseLoader)


def loaded(data, folder):
    file = folder / "project.yaml"
    file.write_text(yaml.dump(data, Dumper=yaml.CDumper, sort_keys=False, allow_unicode=True), "utf-8")
    return load_project(file)


def verdicts(system):
    book = CodeBook(system.jurisdiction.edition, fire_code=system.jurisdiction.fire_code)
    found = evaluate(system, book, with_suggestions=False).findings
    return {finding.id: (str(finding.verdict), finding.judgement.message) for finding in found}


def test_every_kind_with_a_directory_takes_the_key_and_no_other():
    models = {model.model_fields["kind"].annotation: model for model in get_args(get_args(EquipmentEntry)[0])}
    takes = {get_args(kind)[0] for kind, model in models.items() if "directory" in model.model_fields}
    assert takes == {name for name, kind in KINDS.items() if kind.directory_names is not None}
    assert {"disconnect", "generator", "transfer_switch"} <= takes


def with_fuses(*lines):
    data = data_of("b02_pv_supply_side")
    entry = data["equipment"]["PVD"]
    del data.get("catalog", {}).get(entry.get("catalog"), entry)["device"]
    entry["directory"] = "\n".join(lines) + "\n"
    return data


def test_fuses_of_a_switch_are_judged_where_a_line_tells_them(tmp_path):
    """15 A of fuses behind 1.25 x 32 A of an inverter are too small (705.30(B)); 40 A pass."""
    inverter = loaded(with_fuses("fuses 40A 2P 100kA 240V"), tmp_path).system
    assert inverter.equipment["PVD"].device.kind == "fuse"
    fine, small = verdicts(inverter), verdicts(loaded(with_fuses("fuses 15A 2P 100kA 240V"), tmp_path).system)
    worse = {key for key, (verdict, _) in small.items() if verdict == "violated" and fine[key][0] != "violated"}
    assert worse == {"overcurrent-rating:PVD"}


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ('1 40A 2P "ARRAY"', r"PVD has no spaces; expected one of its places \(fuses, breaker\)"),
        ("fuse 40A 2P", 'PVD has no place "fuse"; did you mean "fuses"'),
        ("fuses blank", "only spaces are blank"),
        ("fuses 40A 2P C99", '"C99" says nothing here'),
        ("fuses 40A 2P\nbreaker 40A 2P", "described in the hardware already"),
    ],
)
def test_what_a_switch_has_not_is_refused(line, message, tmp_path):
    with pytest.raises(ProblemsError, match=message):
        loaded(with_fuses(*line.split("\n")), tmp_path)


def test_a_circuit_that_lands_elsewhere_is_not_served_by_these_fuses(tmp_path):
    data = with_fuses("fuses 40A 2P 100kA 240V")
    here = [tag for tag, circuit in data["circuits"].items() if "PVD." in circuit["from"] + circuit["to"]]
    other = next(tag for tag in data["circuits"] if tag not in here)
    for tag in here:
        loaded(with_fuses(f"fuses 40A 2P 100kA 240V {tag}"), tmp_path)
    with pytest.raises(ProblemsError, match=f"{other} does not land on PVD.line or PVD.load"):
        loaded(with_fuses(f"fuses 40A 2P 100kA 240V {other}"), tmp_path)


def test_the_breaker_of_a_generator_and_of_a_transfer_switch(tmp_path):
    data = data_of("b06b_transfer_switch")
    generator = data["equipment"]["GEN"]
    hardware = data.get("catalog", {}).get(generator.get("catalog"), generator)
    hardware.pop("breaker", None)
    generator["directory"] = 'breaker 60A 2P 10kA "GENERATOR BREAKER" new\n'
    found = loaded(data, tmp_path).system.equipment["GEN"].device
    assert (found.rating_a.number, found.poles, found.name, found.kind) == (60, 2, "GENERATOR BREAKER", "circuit breaker")
    switch = data["equipment"]["ATS"]
    data.get("catalog", {}).get(switch.get("catalog"), switch).pop("device", None)
    switch["directory"] = "main 200A 2P 22kA utility\n"
    assert loaded(data, tmp_path).system.equipment["ATS"].device.rating_a.number == 200


def with_departures(departures, folder):
    (folder / "project.yaml").write_text(told(), "utf-8")
    data = yaml.load((folder / "project.yaml").read_text("utf-8"), yaml.CBaseLoader)
    return loaded(data | {"built": {"departures": departures}}, folder)


def lines_of_panel_a():
    return yaml.load(told(), yaml.CBaseLoader)["equipment"]["MSPA"]["directory"]


def test_a_whole_directory_is_built_otherwise(tmp_path):
    """The PV breaker was built as 60 A, and a further one with 22 kA: one departure each; the permitted directory stands as it was."""
    lines = lines_of_panel_a()
    built_lines = lines.replace("40A 2P 10kA  C1", "60A 2P 10kA  C1").replace('"LIGHTING, BACK"', '"WORKSHOP"')
    assert lines.count("C1") == built_lines.count("60A 2P 10kA  C1") == 1
    departures = [
        {"path": "circuits.C1.overcurrent.to_end.interrupting_rating", "to": "22 kA"},
        {"path": "equipment.MSPA.directory", "to": built_lines, "reason": "breakers as found"},
    ]
    permitted = with_departures(departures, tmp_path)
    built = as_built(permitted)
    before, after = (each.system.circuits["C1"].finish_device for each in (permitted, built))
    assert (before.rating_a.number, before.interrupting_rating_ka.number) == (40, 10)
    assert (after.rating_a.number, after.interrupting_rating_ka.number) == (60, 22)
    names = {each.device.name for each in built.system.equipment["MSPA"].directory.further if each.device is not None}
    assert "WORKSHOP" in names
    assert "LIGHTING, BACK" not in names
    assert {d.path: d.permitted for d in built.system.built.departures}["equipment.MSPA.directory"] == "as permitted"


def test_a_directory_that_was_built_is_read_as_strictly(tmp_path):
    with pytest.raises(ProblemsError, match="says nothing here"):
        as_built(with_departures([{"path": "equipment.MSPA.directory", "to": "21,23 40A 2P C98\nrest blank\n"}], tmp_path))
    wrong = lines_of_panel_a().replace("1,3    40A 2P 10kA  K1                        existing", "1,3 40A 2P 10kA K1 back-fed")
    with pytest.raises(ProblemsError, match="nothing that feeds lies behind"):
        as_built(with_departures([{"path": "equipment.MSPA.directory", "to": wrong}], tmp_path))
