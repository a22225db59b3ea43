"""Mandated words, letter by letter, and the letter heights and colors that sections fix."""

import re
from pathlib import Path

import yaml

from permitgen.views.label_specs import known_facts, load_label_specs
from tests.every_case import every_case

HERE = Path(__file__).parent
MANDATED = yaml.load((HERE / "mandated_wording.yaml").read_text("utf-8"), yaml.CSafeLoader)
SPECS = load_label_specs()

# Least heights of capitals, inches: NEC 2017 690.56(C), 690.31(G)(4); 2020 690.56(C), 690.31(D)(2); 2023 690.12(D), 690.31(D)(2),
# 230.85(E)(2), 225.41(C)(2). First panel, then second.
BINDING = {
    ("rapid-shutdown-building", "2017"): (0.375, 0.1875),
    ("rapid-shutdown-building", "2020"): (0.375, 0.1875),
    ("rapid-shutdown-building", "2023"): (0.375, None),
    ("rapid-shutdown-switch", "2017"): (0.375,),
    ("rapid-shutdown-switch", "2020"): (0.375,),
    ("rapid-shutdown-switch", "2023"): (0.375,),
    ("pv-dc-raceway", "2017"): (0.375,),
    ("pv-dc-raceway", "2020"): (0.375,),
    ("pv-dc-raceway", "2023"): (0.375,),
    ("service-emergency-disconnect", "2023"): (0.5,),
    ("service-emergency-disconnect", "2020"): (None,),
    ("feeder-emergency-disconnect", "2023"): (0.5,),
}

# Colors that a section fixes, text on background by panel: NEC 2017 690.56(C)(1)(a), (b), (C)(3), 690.31(G)(4); 2020 690.56(C),
# 690.31(D)(2); 2023 690.12(D)(2), 690.31(D)(2), 230.85(E)(2), 225.41(C)(2).
FIXED_COLORS = {
    ("rapid-shutdown-building", "2017", "array_and_leaving_conductors"): [("black", "yellow"), ("black", "white")],
    ("rapid-shutdown-building", "2017", "leaving_conductors_only"): [("white", "red"), ("black", "white")],
    ("rapid-shutdown-building", "2020", "single"): [("black", "yellow"), ("black", "white")],
    ("rapid-shutdown-switch", "2017", ""): [("white", "red")],
    ("rapid-shutdown-switch", "2020", ""): [("white", "red")],
    ("rapid-shutdown-switch", "2023", ""): [("white", "red")],
    ("pv-dc-raceway", "2017", ""): [("white", "red")],
    ("pv-dc-raceway", "2020", "photovoltaic_power_source"): [("white", "red")],
    ("pv-dc-raceway", "2023", "solar_pv_dc_circuit"): [("white", "red")],
    ("service-emergency-disconnect", "2023", "service_disconnect"): [("white", "red")],
    ("service-emergency-disconnect", "2023", "meter_disconnect"): [("white", "red")],
    ("feeder-emergency-disconnect", "2023", ""): [("white", "red")],
}


def _letters(text):
    return re.sub(r"[.,:!]", "", " ".join(text.split()))


def _wordings(label, edition, variant=None):
    return [w for w in SPECS[label].wordings if edition in w.editions and variant in (None, w.variant)]


@every_case("row", MANDATED)
def test_mandated_words_letter_by_letter(row):
    for edition in row["editions"]:
        (wording,) = _wordings(row["label"], edition, row["variant"])
        # A panel of our own facts may follow; of the title group only the first panel is mandated where the code fixes but a title.
        assert _letters(wording.mandated_text) == _letters(row["words"])
        assert SPECS[row["label"]].section(edition).number.startswith(row["section"])


def test_every_label_with_mandated_words_is_in_the_table():
    named = {row["label"] for row in MANDATED}
    fixed = {spec.id for spec in SPECS.values() if spec.basis == "mandated"}
    assert fixed <= named


# Labels whose words a section fixes in a later edition only; before, they are our own: 706.7(D) of 2017 fixes the values, 705.10 of 2017
# asks for a directory, 445.18 of 2017 and 2020 for a device (texts of 2017 and 2020 read).
OWN_WORDS = {
    ("ess-disconnect", "2017"),
    ("power-source-directory", "2017"),
    ("generator-emergency-stop", "2017"),
    ("generator-emergency-stop", "2020"),
}


def test_fixed_words_are_typed_apart_for_every_edition_that_fixes_them():
    """A wording that an edition of 2017 to 2023 fixes is compared with that edition's own row, never with that of another."""
    typed = {(row["label"], edition, row["variant"]) for row in MANDATED for edition in row["editions"]}
    printed = {
        (spec.id, edition, wording.variant)
        for spec in SPECS.values()
        if spec.basis == "mandated"
        for wording in spec.wordings
        for edition in set(wording.editions) & {"2017", "2020", "2023"}
        if (spec.id, edition) not in OWN_WORDS
    }
    assert printed - typed == set()


def test_no_number_of_2023_is_printed_for_a_label_of_2026():
    """A number that was not seen has its edition; 230.70 for 230.85 and Article 130 for 750 are reported."""
    for spec in SPECS.values():
        section = spec.section("2026")
        if section is not None and not section.confirmed:
            assert spec.printed_section("2026").startswith("NEC 2023 ") or spec.printed_section("2026").endswith(
                (" (reported)", "not read")
            )
    assert SPECS["service-emergency-disconnect"].printed_section("2026") == "230.70 (reported)"
    assert SPECS["load-managed-panel"].printed_section("2026") == "Article 130, Part II (reported)"
    assert SPECS["generator-emergency-stop"].printed_section("2026") == "NEC 2023 445.19(C); NEC 2026 not read"


@every_case(("key", "heights"), BINDING.items())
def test_heights_that_sections_fix(key, heights):
    for wording in _wordings(*key):
        found = tuple(panel.lines[0].binding_height_in for panel in wording.panels if panel.role != "added")
        assert found == heights


@every_case(("key", "colors"), FIXED_COLORS.items())
def test_colors_that_sections_fix(key, colors):
    (wording,) = _wordings(*key)
    assert wording.colors_fixed
    panels = [panel for panel in wording.panels if panel.role != "added"]
    assert [(panel.text_color, panel.background) for panel in panels] == [(f"safety_{text}", f"safety_{ground}") for text, ground in colors]


def test_rapid_shutdown_colors_are_free_from_2023_on():
    """NEC 2023 690.12(D): legible and contrasting, no color named (three readings of digests)."""
    (wording,) = _wordings("rapid-shutdown-building", "2023")
    assert not wording.colors_fixed


def test_metric_figures_of_the_fire_code_are_met():
    """IFC 2018 1204.5.1: first two lines 10 mm, remaining lines 5 mm."""
    for wording in _wordings("rapid-shutdown-building", "IFC-2018"):
        assert [panel.lines[0].least_height_mm for panel in wording.panels[:2]] == [10, 5]


def test_labels_from_which_dwellings_are_exempt():
    """NEC 110.16, 110.24(A), 408.4(B) leave dwellings out (sections from memory and one reading)."""
    assert {spec.id for spec in SPECS.values() if spec.exempt == "dwelling"} == {"arc-flash", "available-fault-current", "panel-source"}


def test_requirements_that_an_edition_does_not_have():
    """690.54 was deleted in 2023; 230.85 and 225.41 began in 2020 and 2023 (trade press and full text of 225.41)."""
    assert SPECS["pv-ac-interconnection"].section("2020").number == "690.54"
    assert SPECS["pv-ac-interconnection"].section("2023") is None
    assert SPECS["service-emergency-disconnect"].section("2017") is None
    assert SPECS["feeder-emergency-disconnect"].section("2020") is None


def test_every_label_of_2026_says_what_was_not_seen():
    for spec in SPECS.values():
        for wording in spec.wordings:
            section = spec.section("2026")
            if "2026" in wording.editions and section is not None:
                assert not section.confirmed or "2026" in wording.unseen, spec.id


def test_every_known_fact_is_asked_for_and_no_other():
    assert {fact for spec in SPECS.values() for fact in spec.facts} == set(known_facts())


def test_number_of_labels():
    """The register of labels for one- and two-family dwellings with PV, storage, generator and backup holds 62;
    445.18(A) of 2023 (text read) asks for one more, at a generator's disconnect behind a cover."""
    assert len(SPECS) == 63
