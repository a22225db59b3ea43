"""What was approved stays: no later program, edition or edit chooses another size for it, and *approved* is said with the stamped set only.

Expected behaviour is the project's own ("a permitted evaluation is frozen with its revision"); no published source.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from permitgen.cli.main import cli
from permitgen.evaluation.approved_sizes import Approved, held_to, sizes_of
from permitgen.evaluation.evaluate import evaluate
from permitgen.package.field_and_record import record_alone
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import plan_set_of
from permitgen.package.standing import findings_of_states, is_violated
from permitgen.project.approved_file import approved_file, read_approved_file
from permitgen.reading.problems import ProblemsError
from permitgen.rules.judgement import Verdict
from permitgen.system.approval import SIZED_THINGS
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.trade_size import TRADE_SIZES
from tests.reading_paper import put_reading

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
TOPOLOGIES = ROOT / "tests" / "topologies"
FILE = "approved/1.yaml"
OWNER = "  people:\n    - {role: owner"
NEWER = (OWNER, f"    - {{number: 2, date: 2026-04-09, reason: Larger conduit}}\n{OWNER}")


@pytest.fixture
def tmp_path(same_place):
    return same_place


def house(folder, *changes, sizes=None):
    """A copy of the demo with changes of its text; ``sizes`` replace those that were approved, the file made anew."""
    shutil.copytree(DEMO, folder)
    text = (folder / "project.yaml").read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (folder / "project.yaml").write_text(text, "utf-8")
    if sizes is not None:
        kept = open_project(DEMO).approved.sizes.sizes
        rows = [(size.what, size.tag, sizes.get((size.what, size.tag), size.text)) for size in kept]
        stamped = (folder / "approved" / "1-stamped.pdf").read_bytes()
        (folder / FILE).write_bytes(approved_file("HB-0142", 1, "NEC 2023", "an earlier program", stamped, rows))
    return folder


def approval(opened):
    return {finding.id: (finding.verdict, finding.judgement.message) for finding in opened.evaluation.approval}


def test_what_the_demo_was_approved_with_is_what_it_says_today(demo):
    assert demo.evaluation.approval == ()
    assert len(demo.approved.sizes.sizes) > 50


@pytest.mark.sample(every=2)
@pytest.mark.parametrize("approved_as", ["8 AWG", "12 AWG"])
def test_an_earlier_choice_is_kept_larger_or_smaller(tmp_path, approved_as):
    """The program chooses 10 AWG for C8 today: what was approved is kept, judged as it is, and the difference is said."""
    ground = "8 AWG" if approved_as == "8 AWG" else "10 AWG"  # grows with the conductors, 250.122(B)
    sizes = {("conductor", "C8"): approved_as, ("equipment grounding conductor", "C8"): ground}
    opened = open_project(house(tmp_path / "house", sizes=sizes))
    assert str(opened.evaluation.system.circuits["C8"].conductors.size) == approved_as
    verdict, said = approval(opened)["approved-size:C8@conductor"]
    assert verdict is Verdict.CAUTION
    assert f"approved as {approved_as}, today 10 AWG would be chosen" in said
    violated = {finding.id for finding in opened.evaluation.findings if finding.is_open}
    assert ("conductor-ampacity:C8" in violated) == (approved_as == "12 AWG")
    assert bool(violated) == (approved_as == "12 AWG")
    cover = plan_set_of(opened).cover
    assert cover.revisions[-1][2].endswith("(approved 2026-03-30)")
    assert any(f"approved as {approved_as}" in line for line in cover.approval)
    assert any(sizing.reason == "as approved in revision 1" for sizing in opened.evaluation.sizings)


@pytest.mark.nightly
def test_a_later_edition_chooses_nothing_anew(tmp_path):
    folder = house(tmp_path / "house", sizes={("raceway", "R10"): "1 in"})
    for edition in ("2017", "2020", "2026"):
        evaluation = open_project(folder, edition=edition).evaluation
        assert evaluation.system.raceways["R10"].trade_size == "1", edition


def test_an_edit_behind_the_stamp_is_violated_and_a_later_revision_is_a_caution(tmp_path):
    text = (DEMO / "project.yaml").read_text("utf-8")
    line = next(line for line in text.splitlines() if line.strip().startswith("R10:"))
    edit = (line, line.replace("{", "{trade_size: 1 in, ", 1))
    opened = open_project(house(tmp_path / "same", edit))
    verdict, said = approval(opened)["approved-size:R10@raceway"]
    assert (verdict, "approved as 3/4 in, the file says 1 in" in said) == (Verdict.VIOLATED, True)
    assert is_violated(opened)
    assert "approved-size:R10@raceway" in {finding.id for finding in findings_of_states(opened)}
    opened = open_project(house(tmp_path / "later", edit, NEWER))
    found = approval(opened)
    assert found["approved-size:R10@raceway"][0] is Verdict.CAUTION
    assert found["approved-revision:2"][0] is Verdict.CAUTION
    assert not record_alone(opened, listed=()).public.identity.is_approved


def test_the_same_sizes_change_no_word_and_others_are_kept(tmp_path):
    """A house of which breaker, conductors, ground, conduit and electrode conductor are left to the program."""
    text = (TOPOLOGIES / "b01_pv_load_side.yaml").read_text("utf-8")
    for stated in ("to_end: {rating: 40 A, ", "    conductor: 4 AWG\n", "trade_size: 3/4 in, length: 12 ft"):
        assert text.count(stated) == 1, stated
        text = text.replace(stated, {"to": "to_end: {", "tr": "length: 12 ft"}.get(stated[:2], ""))
    # Of electrodes that are there already nothing is chosen.
    old = "name: Grounding electrode system\n    status: existing"
    assert old in text
    text = text.replace(old, old.replace("existing", "new"))
    (tmp_path / "house.yaml").write_text(text, "utf-8")
    put_reading(tmp_path)
    opened = open_project(tmp_path / "house.yaml")
    stated, before = opened.loaded.system, opened.evaluation
    today = sizes_of(before.system)
    left_open = today.keys() - sizes_of(stated).keys()
    assert {what for what, _ in left_open} == set(SIZED_THINGS)

    def held(sizes):
        content = approved_file("X", 0, "NEC 2023", "p", b"", [(*key, size) for key, size in sizes.items()])
        read = read_approved_file(content, "approved/0.yaml", project="X", revision=0, stamped=b"")
        return held_to(stated, Approved(read), lambda system: evaluate(system, opened.code))

    same = held(today)
    assert [(f.id, f.judgement.message) for f in same.findings] == [(f.id, f.judgement.message) for f in before.findings]
    assert same.sizings == before.sizings
    other = {key: _larger(*key, today[key]) for key in left_open}
    assert sizes_of(held(today | other).system).items() >= other.items()


def _larger(what, _tag, text):
    if what == "raceway":
        return f"{TRADE_SIZES[TRADE_SIZES.index(text.removesuffix(' in')) + 1]} in"
    if what == "overcurrent device":
        return f"{float(text.removesuffix(' A')) + 5:g} A"
    return str(ConductorSize(text.split()[0]).larger())


def _changed(folder, name, change):
    path = folder / name
    path.write_bytes(change(path.read_bytes()))
    return folder


def test_a_change_by_hand_is_refused(tmp_path):
    changed = _changed(house(tmp_path / "a"), FILE, lambda content: content.replace(b'"12 AWG"', b'"14 AWG"', 1))
    with pytest.raises(ProblemsError, match="the file was changed after it was written"):
        open_project(changed)
    changed = _changed(house(tmp_path / "b"), "approved/1-stamped.pdf", lambda content: content + b"%")
    with pytest.raises(ProblemsError, match="the stamped set is another file"):
        open_project(changed)
    changed = _changed(house(tmp_path / "c"), "approved/1-stamped.pdf", lambda _: b"scan")
    with pytest.raises(ProblemsError, match="is not a PDF; expected a copy of the stamped set"):
        open_project(changed)
    changed = _changed(house(tmp_path / "d"), FILE, lambda _: b"sizes: 3\n")
    with pytest.raises(ProblemsError, match="as permitgen freeze writes it"):
        open_project(changed)


def test_approved_is_said_with_the_stamped_set_only(tmp_path):
    folder = house(tmp_path / "house")
    (folder / "approved" / "1-stamped.pdf").unlink()
    done = CliRunner().invoke(cli, ["check", str(folder)])
    assert done.exit_code == 2
    assert 'there is no file "approved/1-stamped.pdf"' in done.stderr
    text = (folder / "project.yaml").read_text("utf-8")
    start, end = text.index("      approved:  "), text.index("  people:\n")
    (folder / "project.yaml").write_text(text[:start] + text[end:], "utf-8")
    opened = open_project(folder)
    public = record_alone(opened, listed=()).public
    assert (public.approved, public.identity.plans, opened.evaluation.approval) == ("", "permit plans", ())
    cover = plan_set_of(opened).cover
    assert "approved" not in f"{cover.revisions}{cover.approval}"


def test_freeze_writes_once_and_on_request_only(tmp_path):
    folder = house(tmp_path / "house")
    kept = (folder / FILE).read_bytes()
    refused = CliRunner().invoke(cli, ["freeze", str(folder)])
    assert (refused.exit_code, "is there already" in refused.stderr) == (2, True)
    assert (folder / FILE).read_bytes() == kept
    (folder / FILE).unlink()
    opened = open_project(folder)
    assert approval(opened)["approved-sizes-kept:1"][0] is Verdict.NOT_JUDGED
    assert not (folder / FILE).exists()
    done = CliRunner().invoke(cli, ["freeze", str(folder)])
    assert (done.exit_code, "written: approved/1.yaml" in done.stdout) == (0, True)
    assert (folder / FILE).read_bytes() == kept
    none = CliRunner().invoke(cli, ["freeze", str(TOPOLOGIES / "b01_pv_load_side.yaml")])
    assert (none.exit_code, "no revision is approved" in none.stderr) == (2, True)


def test_an_approved_revision_of_which_no_file_was_kept_is_not_frozen_from_a_newer_one(tmp_path):
    folder = house(tmp_path / "house", NEWER)
    (folder / FILE).unlink()
    done = CliRunner().invoke(cli, ["freeze", str(folder)])
    assert (done.exit_code, "name the project file as it then was with file:" in done.stderr) == (2, True)


def test_the_approved_set_is_kept_word_for_word(demo):
    """Approving changes no word of what was stamped: sheets and labels keep their Document IDs."""
    plain = replace(demo, approved=None)
    assert [(s.tag, s.what, s.chosen, s.reason) for s in plain.evaluation.sizings] == [
        (s.tag, s.what, s.chosen, s.reason) for s in demo.evaluation.sizings
    ]
