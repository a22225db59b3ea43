"""What an inspection says decides: what did not pass is work to do, and *accepted* is never said while a safety test is due.

Expected behaviour is the project's own ("a record may not say accepted while a safety test is due"); no published source.
"""

from __future__ import annotations

import io
import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from permitgen.cli.main import cli
from permitgen.documents.inspector_card_pdf import inspector_card_pdf
from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import record_alone
from permitgen.package.opened_project import open_project
from permitgen.package.standing import inspector_card_of_project, is_violated, standing_of_project
from permitgen.project.field_batches import FIELD_FOLDER
from permitgen.reading.problems import ProblemsError

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
TOPOLOGIES = sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))
FOUND = "strap hides lower half"


@pytest.fixture
def tmp_path(same_place):
    return same_place


def house(folder, inspections, *, with_results=True, without_approval=False):
    """The demo with other inspections (YAML, one a line)."""
    shutil.copytree(DEMO, folder, ignore=None if with_results else shutil.ignore_patterns(FIELD_FOLDER))
    text = (folder / "project.yaml").read_text("utf-8")
    start, end = text.index("\ninspections:"), text.index("\nattachments:\n")
    said = "\ninspections:\n" + "".join(f"  - {each}\n" for each in inspections) if inspections else ""
    text = text[:start] + said + text[end:]
    if without_approval:
        start, end = text.index("      approved:  "), text.index("  people:\n")
        text = text[:start] + text[end:]
    (folder / "project.yaml").write_text(text, "utf-8")
    return folder


def failed(date, item="RSI", more=""):
    return f"{{date: {date}, by: Quorra Nim, result: failed, failed: [{{item: {item}, what: {FOUND}{more}}}]}}"


def passed(date):
    return f"{{date: {date}, by: Quorra Nim, result: passed}}"


RIGHT = ", corrected_on: 2026-06-03, how: strap moved"


@pytest.mark.sample(every=5)
@pytest.mark.parametrize(
    ("inspections", "accepted", "violated", "findings"),
    [
        ([passed("2026-06-01")], "2026-06-01", False, ()),
        ([failed("2026-06-01")], "", True, ("inspection-item:RSI",)),
        ([failed("2026-06-01", more=RIGHT)], "", False, ("inspection-item:RSI",)),
        ([passed("2026-06-05"), failed("2026-06-01")], "2026-06-05", False, ()),  # by day, not by place in the file
        ([passed("2026-06-01"), failed("2026-06-05")], "", True, ("inspection-item:RSI",)),
        ([], "", False, ()),
    ],
)
def test_what_stands_after_inspections(tmp_path, inspections, accepted, violated, findings):
    opened = open_project(house(tmp_path / "house", inspections))
    standing = standing_of_project(opened)
    assert (standing.accepted_on, is_violated(opened)) == (accepted, violated)
    assert tuple(finding.id for finding in standing.inspected) == findings
    assert standing.gate("energize").is_open != violated
    assert standing.gate("hang").is_open
    record = record_alone(opened, listed=())
    assert (record.public.identity.state == "accepted") == bool(accepted)


def test_nothing_is_accepted_while_a_safety_test_is_due(tmp_path):
    opened = open_project(house(tmp_path / "house", [passed("2026-06-01")], with_results=False))
    standing = standing_of_project(opened)
    assert standing.due
    assert standing.accepted_on == ""
    assert re.search(
        r"the inspection of 2026-06-01 passed; not accepted: \d+ safety tests are due", standing.inspected[0].judgement.message
    )
    assert not is_violated(opened)


def test_nothing_is_accepted_without_the_stamped_set(tmp_path):
    standing = standing_of_project(open_project(house(tmp_path / "house", [passed("2026-06-01")], without_approval=True)))
    assert standing.accepted_on == ""
    assert "the stamped set of this revision is not in the project" in standing.inspected[0].judgement.message


def test_what_the_inspector_wrote_is_work_on_the_card_and_never_public(tmp_path):
    opened = open_project(house(tmp_path / "house", [failed("2026-06-01")]))
    paper = PdfReader(io.BytesIO(inspector_card_pdf(inspector_card_of_project(opened)))).pages[0].extract_text()
    assert f"Did not pass 2026-06-01: {FOUND}" in " ".join(paper.split())
    assert "Quorra Nim" in paper
    files = record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)
    public = b"".join(content for name, content in files.items() if name.startswith("record/"))
    assert FOUND.encode() not in public
    assert b"Quorra" not in public
    assert b"did not pass the inspection of 2026-06-01" in public
    assert any(FOUND.encode() in content for name, content in files.items() if not name.startswith("record/"))
    done = CliRunner().invoke(cli, ["check", str(opened.loaded.folder)])
    assert (done.exit_code, "as inspected: RSI: did not pass the inspection of 2026-06-01" in done.stdout) == (1, True)


@pytest.mark.parametrize(
    ("inspection", "said"),
    [
        (failed("2026-06-01", item="RSJ"), 'the inspection card has no row "RSJ"'),
        ("{date: 2026-06-01, by: Q, result: failed}", "an inspection that failed says what did not pass"),
        ("{date: 2026-06-01, by: Q, result: passed, failed: [{item: RSI, what: x}]}", "an inspection that passed has no failed items"),
        (failed("2026-06-04", more=RIGHT), "put right on 2026-06-03, before the inspection of 2026-06-04"),
        ("{date: 2026-06-01, by: Q, result: passed, copy: card.pdf}", 'there is no file "card.pdf"'),
        ("{date: 2026-06-01, by: Q, result: approved}", "result"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path, inspection, said):
    folder = house(tmp_path / "house", [inspection])
    with pytest.raises(ProblemsError) as refused:
        standing_of_project(open_project(folder))
    assert said in str(refused.value)
    assert len(refused.value.problems) == 1


@pytest.mark.sample(every=21)
@pytest.mark.parametrize("path", [DEMO / "project.yaml", *TOPOLOGIES], ids=lambda path: path.stem)
def test_the_card_is_one_letter_page_whose_links_lead_somewhere(open_once, path):
    opened = open_once(path)
    card = inspector_card_of_project(opened)
    pages = PdfReader(io.BytesIO(inspector_card_pdf(card))).pages
    assert len(pages) == 1
    assert (round(float(pages[0].mediabox.width)), round(float(pages[0].mediabox.height))) == (612, 792)
    files = record_files(record_alone(opened, listed=()), project_folder=opened.loaded.folder)
    page = files["record/index.html"].decode()
    section = page[page.index('id="inspection"') : page.index('id="differences"')]
    leads = re.findall(r'href="([^"#]+)#([^"]+)"', section)
    assert leads
    assert all(f'id="{name}"' in files[f"record/{to}"].decode() for to, name in leads)
    assert json.loads(files["record/record.json"])["state"] != "accepted" or path.parent == DEMO
