"""Label specification files: mistakes are named with file and line, nothing is guessed, a company can override."""

import pytest

from permitgen.reading.problems import ProblemsError
from permitgen.views.label import LabelUse, LabelValueError, condition_holds, label_view, wording_for
from permitgen.views.label_specs import load_label_specs

GOOD = """\
id: my-sign
name: My sign
basis: practice
trigger: is_panelboard
one_per: panelboard
sections:
  2023: none
variables:
  tag: tag of the panel
  extra: "optional: more words"
wording:
  - editions: [2023]
    panels:
      - role: title
        own_in: 0.2
        lines: ["PANEL {tag}"]
      - role: added
        own_in: 0.2
        items: ["{extra}"]
material: indoor_film
location: on the panel
"""


def _load(tmp_path, text, name="my-sign"):
    (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
    return load_label_specs([tmp_path])


def test_a_company_adds_a_label(tmp_path):
    spec = _load(tmp_path, GOOD)["my-sign"]
    assert spec.name == "My sign"
    assert spec.object_kind("2023") == "panelboard"
    assert spec.section("2023") is None


def test_a_company_overrides_a_label(tmp_path):
    text = GOOD.replace("my-sign", "pv-disconnect")
    specs = _load(tmp_path, text, "pv-disconnect")
    assert specs["pv-disconnect"].name == "My sign"
    assert load_label_specs()["pv-disconnect"].name == "PV system disconnect"


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("basis: practice", "basis: practise"), 'my-sign.yaml:3:8: basis: "practise" is not known here; expected one of mandated'),
        (("basis: practice", "basis: practise"), 'did you mean "practice"?'),
        (
            ("location: on the panel", "location: on the panel\ndenied_by: {single-neutral-bnd: PANEL}"),
            'my-sign.yaml:22:33: denied_by.single-neutral-bnd: no rule is called "single-neutral-bnd"; did you mean "single-neutral-bond"?',
        ),
        (
            ("location: on the panel", "location: on the panel\ndenied_by: {single-neutral-bond: NEUTRAL}"),
            'my-sign.yaml:22:34: denied_by.single-neutral-bond: no line of this label has the words "NEUTRAL"',
        ),
        (
            ("trigger: is_panelboard", "trigger: is_panelbord"),
            'my-sign.yaml:4:10: trigger: "is_panelbord" is not a known fact (see _facts.yaml); did you mean "is_panelboard"?',
        ),
        (("one_per: panelboard", "one_pr: panelboard"), 'unknown key "one_pr"'),
        (("one_per: panelboard", "one_pr: panelboard"), 'the key "one_per" is missing'),
        (("PANEL {tag}", "PANEL {tg}"), "wording[1].panels[1]: {tg} is printed but not listed under variables"),
        (("own_in: 0.2\n        lines", "own_in: 20\n        lines"), '"20" is not a number from 0.05 to 4'),
        (("own_in: 0.2\n        lines", "own_in: nan\n        lines"), '"nan" is not a number from 0.05 to 4'),
        (("        own_in: 0.2\n        lines", "        lines"), "a letter height is missing"),
        (("role: title", "role: heading"), 'wording[1].panels[1].role: "heading" is not known here'),
        (("[2023]\n    panels", "[2022]\n    panels"), '"2022" is not known here; expected one of 2017'),
        (("material: indoor_film", "material: paper"), '"paper" is not known here'),
        (("  2023: none", "  2023: none\n  2023: none"), 'the key "2023" is given twice'),
        (("id: my-sign", "id: my-sign\n? [a]\n: b"), "a key must be plain text"),
        (("id: my-sign", "id: my-sign\n<<: {a: b}"), 'merge keys ("<<") are not read'),
        (("name: My sign", "name: My\0sign"), "this is not a text file"),
        (("id: my-sign", "id: other"), '"other" differs from the name of the file, "my-sign"'),
        (("name: My sign", "name: !!python/object:os.system x"), "is not read"),
        (("name: My sign", "name: [My, sign]"), "is not a text"),
        (("name: My sign", "name: 'My sign"), "this quotation mark is never closed"),
        (("sections:", "sections: &a\n  2020: *a"), "refers to another part of the file"),
    ],
)
def test_mistakes_are_named(tmp_path, change, message):
    assert change[0] in GOOD
    with pytest.raises(ProblemsError) as caught:
        _load(tmp_path, GOOD.replace(*change))
    assert message in str(caught.value)
    assert all(problem.file == f"{tmp_path.name}/my-sign.yaml" for problem in caught.value.problems)


def test_all_mistakes_are_told_at_once(tmp_path):
    with pytest.raises(ProblemsError) as caught:
        _load(tmp_path, GOOD.replace("basis: practice", "basis: x").replace("role: added", "role: y"))
    assert len(caught.value.problems) == 2


def test_an_empty_file_and_bytes_that_are_no_text(tmp_path):
    for data, message in (
        (b"", "the file is empty"),
        (b"\xff\xfe\x00", "saved as UTF-16"),
        (b"a: [" * 3000, "nested too deeply"),
        (b"- x", "the file does not start with a key"),
        (b"# " * 200_000, "larger than 200 kB"),
        (
            b"\n".join([b"a0: &a0 [x, x]", *(b"a%d: &a%d [*a%d, *a%d]" % (n, n, n - 1, n - 1) for n in range(1, 40))]),
            "refers to another part",
        ),
    ):
        (tmp_path / "my-sign.yaml").write_bytes(data)
        with pytest.raises(ProblemsError, match=message):
            load_label_specs([tmp_path])


def test_values_are_filled_in_once(tmp_path):
    """Braces in a value are text, also when they spell another variable."""
    spec = _load(tmp_path, GOOD)["my-sign"]
    wording = wording_for(spec, "2023", lambda _fact: True)
    view = label_view(spec, wording, LabelUse("2023", {"tag": "{extra} {{ 7*7 }}"}))
    assert view.panels[0].lines[0].text == "PANEL {extra} {{ 7*7 }}"
    assert len(view.panels) == 1, "the panel whose optional value is absent is left out"


def test_several_values_make_several_lines(tmp_path):
    spec = _load(tmp_path, GOOD)["my-sign"]
    view = label_view(spec, spec.wordings[0], LabelUse("2023", {"tag": "A", "extra": ("ONE", "TWO")}))
    assert [line.text for line in view.panels[1].lines] == ["ONE", "TWO"]


def test_missing_and_unknown_values(tmp_path):
    spec = _load(tmp_path, GOOD)["my-sign"]
    with pytest.raises(LabelValueError, match=r"label my-sign: no value for \{tag\}"):
        label_view(spec, spec.wordings[0], LabelUse("2023", {}))
    with pytest.raises(LabelValueError, match='unknown value "tga"'):
        label_view(spec, spec.wordings[0], LabelUse("2023", {"tag": "A", "tga": "B"}))


def test_variant_is_picked_by_fact_and_an_unknown_fact_picks_none():
    inlet = load_label_specs()["generator-inlet"]
    for switched, variant in ((True, "neutral_switched"), (False, "neutral_not_switched")):
        assert wording_for(inlet, "2023", {"transfer_equipment_switches_neutral": switched}.get).variant == variant
    assert wording_for(inlet, "2023", lambda _fact: None) is None
    assert condition_holds("not x", lambda _fact: None) is None


def test_variant_by_name():
    raceway = load_label_specs()["pv-dc-raceway"]
    assert wording_for(raceway, "2023", lambda _fact: True).variant == "photovoltaic_power_source"
    assert wording_for(raceway, "2023", lambda _fact: True, "solar_pv_dc_circuit").mandated_text == "SOLAR PV DC CIRCUIT"
    with pytest.raises(LabelValueError, match="no wording"):
        wording_for(raceway, "2023", lambda _fact: True, "short")
