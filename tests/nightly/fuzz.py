"""Runs mutated projects through reader, evaluation and findings, each within bounds of time and memory. Prints what fell over.

    .venv/bin/python tests/nightly/fuzz.py SEED FIRST COUNT

A case may end in findings or in a message. Anything else is a defect: another exception, more than two seconds of processor time, more
than 500 MB, a message of more than a line or without its place.
"""

from __future__ import annotations

import json
import random
import resource
import signal
import sys
import tempfile
import traceback
import zipfile
from collections import Counter
from functools import cache
from pathlib import Path

import yaml

sys.path.insert(0, str(Path(__file__).resolve().parent))
from mutations import damaged, mutated

from tests.reading_paper import put_reading
from tests.whole_project import whole_text

ROOT = Path(__file__).resolve().parents[2]
SECONDS = 2.0
MORE_BYTES = 500_000_000
AMENDMENT = {
    "ordinance": {"name": "Ordinance 24-7", "date": "2024-03-01", "number": "24-7", "copy": "a.yaml"},
    "service_minimum_rating": {"2023": {"one_family_a": "200"}},
    "emergency_disconnect": {"2023": "absent"},
    "opposite_end_120_percent": {"2023": {"busbar_factor": "1.1"}},
    "conduit_fill": {"2023": {"section": "Chapter 9"}},
}


class TooSlowError(BaseException):
    """Not an Exception, so that nothing on the way takes it for its own."""


@cache
def bases() -> list[Path]:
    return [ROOT / "demo_project" / "project.yaml", *sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))]


@cache
def text_of(path: Path) -> str:
    return whole_text(path)


@cache
def tree_of(path: Path) -> object:
    return yaml.load(text_of(path), Loader=yaml.CBaseLoader)


def dumped(tree: object) -> bytes:
    return yaml.dump(tree, Dumper=getattr(yaml, "CSafeDumper", yaml.SafeDumper), allow_unicode=True, sort_keys=False).encode(
        "utf-8", "replace"
    )


def project_case(folder: Path, chance: random.Random) -> None:
    base = chance.choice(bases())
    times = chance.choice((1, 1, 1, 1, 2, 2, 3, 5))
    damage = chance.random() < 0.1
    content = damaged(text_of(base).encode("utf-8"), chance) if damage else dumped(mutated(tree_of(base), chance, times))
    (folder / "project.yaml").write_bytes(content)
    if base.parent.name == "demo_project":
        for name in ("attachments", "forms", "revisions"):
            (folder / name).symlink_to(base.parent / name)  # leads out on purpose: refused, or the key is gone


def demo_case(folder: Path, chance: random.Random) -> None:
    """The demo without its papers, so that more than the refusal of its links is reached."""
    tree = {key: value for key, value in tree_of(bases()[0]).items() if key not in ("attachments", "forms")}
    tree["project"] = {**tree["project"], "revisions": [{"number": "0", "date": "2026-03-02", "reason": "x"}]}
    (folder / "project.yaml").write_bytes(dumped(mutated(tree, chance, chance.choice((1, 1, 1, 2, 3)))))


def amendment_case(folder: Path, chance: random.Random) -> None:
    tree = dict(tree_of(chance.choice(bases()[1:])))
    tree["jurisdiction"] = {**tree["jurisdiction"], "edition": "2023", "amendments": ["a.yaml"]}
    (folder / "project.yaml").write_bytes(dumped(tree))
    plain = dict(AMENDMENT)
    for name in chance.sample(provisions(), 3):
        plain[name] = {
            "2023": {field: chance.choice(("0", "1", "-1", "0.5", "99999", "yes", "12 AWG")) for field in fields(name)} or "absent"
        }
    content = dumped(mutated(plain, chance, chance.choice((0, 1, 2))))
    (folder / "a.yaml").write_bytes(damaged(content, chance) if chance.random() < 0.2 else content)


@cache
def provisions() -> list[str]:
    from permitgen.code.codebook import CodeBook

    return [name for name in CodeBook("2023").provision_ids if CodeBook("2023").provision(name).is_in_force]


@cache
def fields(name: str) -> tuple[str, ...]:
    """Return the fields that an amendment may change, so that more than the refusal of others is reached."""
    from permitgen.code.codebook import CodeBook
    from permitgen.code.data_files import read_fields

    return tuple(field for field in CodeBook("2023").provision(name).fields if field in read_fields().get(name, ()))


def label_case(folder: Path, chance: random.Random) -> None:
    put_reading(folder)
    (folder / "project.yaml").write_text(text_of(chance.choice(bases()[1:])), "utf-8")
    spec = chance.choice(sorted((ROOT / "label_specs").glob("*.yaml")))
    (folder / "label_specs").mkdir()
    content = dumped(mutated(tree_of(spec), chance, chance.choice((1, 2, 3))))
    (folder / "label_specs" / spec.name).write_bytes(damaged(text_of(spec).encode(), chance) if chance.random() < 0.3 else content)


def open_and_judge(folder: Path) -> None:
    from permitgen.documents.findings_text import findings_report
    from permitgen.package.opened_project import open_project
    from permitgen.views.findings import findings_of
    from permitgen.views.questions import questions_of
    from permitgen.views.title import title_of

    opened = open_project(folder / "project.yaml")
    findings = findings_of(opened.evaluation)
    questions = questions_of(findings, opened.evaluation.system)
    for everything in (False, True):
        findings_report(findings, questions, (), title_of(opened.evaluation), file="project.yaml", everything=everything)


def page_case(folder: Path, chance: random.Random) -> None:
    """A page of the program, damaged, as a project's own."""
    from permitgen.documents.html_page import page

    (folder / "templates").mkdir()
    name = chance.choice(("record.html", "checklist.html", "redirect.html"))
    content = (ROOT / "templates" / name).read_bytes()
    for _ in range(3):
        content = damaged(content, chance)
    (folder / "templates" / name).write_bytes(content)
    page(name, {"address": "x", "items": ["a"]}, styles="redirect.css", project_folder=folder)


def docx_case(folder: Path, chance: random.Random) -> None:
    """A DOCX template with a damaged part, or damaged as a whole."""
    from permitgen.documents.docx_template import DocxProperties, filled_docx

    path = folder / "review_reply.docx"
    shipped = ROOT / "templates" / path.name
    if chance.random() < 0.4:
        path.write_bytes(damaged(shipped.read_bytes(), chance))
    else:
        with zipfile.ZipFile(shipped) as source, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
            hit = chance.choice(source.namelist())
            for part in source.namelist():
                content = source.read(part)
                target.writestr(part, damaged(content, chance) if part == hit else content)
    filled_docx(path, {"title": {"project": "p", "facts": []}, "standing": "", "has_unanswered": "", "answers": []}, DocxProperties("t"))


def results_case(folder: Path, chance: random.Random) -> None:
    """Field results of the demo, mutated as JSON or as bytes."""
    from permitgen.project.field_results import read_field_results

    tree = json.loads(next((ROOT / "demo_project" / "field").glob("*.json")).read_text("utf-8")) | {"format": "permitgen field results"}
    content = json.dumps(mutated(tree, chance, chance.choice((1, 2, 5)))).encode()
    (folder / "r.json").write_bytes(damaged(content, chance) if chance.random() < 0.3 else content)
    read_field_results(folder / "r.json")


def attachment_case(folder: Path, chance: random.Random) -> None:
    from permitgen.package.attached_files import attached_files, page_counts
    from permitgen.project.load import load_project

    content = (ROOT / "demo_project" / "attachments" / "battery_unit.pdf").read_bytes()
    (folder / "a.pdf").write_bytes(damaged(content, chance))
    tree = {**tree_of(bases()[1]), "attachments": [{"title": "A", "file": "a.pdf"}]}
    (folder / "project.yaml").write_bytes(dumped(tree))
    loaded = load_project(folder)
    page_counts(loaded, attached_files(loaded))


OPENED = (project_case,) * 10 + (demo_case,) * 4 + (amendment_case,) * 2 + (label_case,) * 2
ALONE = (page_case, docx_case, results_case, attachment_case)


def run_case(seed: int, number: int) -> str | None:
    """Run one case; return what fell over, None where nothing did."""
    from permitgen.reading.problems import ProblemsError

    chance = random.Random(f"{seed}/{number}")
    case = chance.choice((*OPENED, *ALONE))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if case not in ALONE:
            case(folder, chance)
        signal.setitimer(signal.ITIMER_PROF, SECONDS)
        try:
            case(folder, chance) if case in ALONE else open_and_judge(folder)
        except ProblemsError as error:
            bad = [str(problem) for problem in error.problems if "\n" in str(problem) or problem.line < 1 or not problem.message]
            return f"{number} {case.__name__}: message {bad[0]!r}" if bad or not error.problems else None
        except (Exception, TooSlowError) as error:  # noqa: BLE001 - whatever comes through is what this looks for
            where = [
                frame
                for frame in traceback.extract_tb(error.__traceback__)
                if "permitgen" in frame.filename and "nightly" not in frame.filename
            ]
            last = f"{Path(where[-1].filename).name}:{where[-1].lineno}" if where else "?"
            return f"{number} {case.__name__}: {type(error).__name__} at {last}: {' '.join(str(error).split())[:160]}"
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
    return None


def _too_slow(*_: object) -> None:
    raise TooSlowError("more than two seconds of processor time")


def bounded() -> None:
    """Bound memory from here on, and make ready for the clock of each case."""
    signal.signal(signal.SIGPROF, _too_slow)
    used = int(Path("/proc/self/statm").read_text("ascii").split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (used + MORE_BYTES, resource.RLIM_INFINITY))


def main() -> None:
    seed, first, count = map(int, sys.argv[1:4])
    run_case(seed, -1)  # what is imported once counts for no case
    bounded()
    failures = [failed for number in range(first, first + count) if (failed := run_case(seed, number)) is not None]
    for failed in failures:
        sys.stdout.write(f"{failed}\n")
    sys.stdout.write(f"{count} cases, {len(failures)} fell over: {dict(Counter(f.split(': ')[1].split(' at ')[-1] for f in failures))}\n")
    sys.exit(1 if failures else 0)


if __name__ == "__main__":
    main()
