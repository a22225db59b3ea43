"""A project that was read, with the code in force for it and its evaluation."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from permitgen import __version__
from permitgen.code.amendment import LARGEST_BYTES, Amendment, read_amendment
from permitgen.code.codebook import CodeBook
from permitgen.code.errors import UnknownEditionError
from permitgen.evaluation.approved_sizes import Approved, held_to
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.evaluation import Evaluation
from permitgen.package.approved_set import approved_papers, approved_sizes
from permitgen.package.attached_files import AttachedFile, attached_files, nobody_listens
from permitgen.package.form_files import MappedForm, mapped_forms
from permitgen.package.grant_names import copies_of_grants, grant_problems
from permitgen.package.label_names import label_problems
from permitgen.package.local_names import idle_factors, local_name_problems
from permitgen.package.ordinance_papers import copies_of_ordinances, unproven_relaxations
from permitgen.project.field_batches import FieldLog, read_field_log
from permitgen.project.field_facts import with_results
from permitgen.project.load import LoadedProject, build_written, load_project
from permitgen.project.place_files import beside
from permitgen.reading.folder_files import files_below
from permitgen.reading.problems import ProblemsError, quoted
from permitgen.reading.reader import read_yaml_file
from permitgen.reading.referenced_file import ReferencedFileError, content_inside, resolve_inside
from permitgen.reading.shared_files import shown_beside

if TYPE_CHECKING:
    from permitgen.reading.reader import ReadFile
    from permitgen.system.project_facts import Revision

NOTHING_ANSWERED = FieldLog()
OVERRIDE_FOLDERS = ("templates", "label_specs")
MOST_AMENDMENTS = 50


@dataclass(frozen=True, eq=False)
class OpenedProject:
    """A loaded project and what it is judged by. ``inputs`` are the bytes of every file the plans depend on, by name.

    ``field`` is what came from the field: the record depends on it, plans, labels and placard do not. ``before`` is the revision
    before the newest, None where its file was not kept. ``approved`` is what was approved, None where no revision was. ``not_made``
    are titles of documents that could not be made: the others say so. ``tell`` is told what takes long while it is being done.
    """

    loaded: LoadedProject
    code: CodeBook
    inputs: Mapping[str, bytes]
    attached: tuple[AttachedFile, ...] = ()
    forms: tuple[MappedForm, ...] = ()
    photos: tuple[AttachedFile, ...] = ()
    before: OpenedProject | None = None
    approved: Approved | None = None
    field: FieldLog = NOTHING_ANSWERED
    not_made: tuple[str, ...] = ()
    tell: Callable[[str], None] = nobody_listens

    @property
    def all_inputs(self) -> Mapping[str, bytes]:
        """The bytes of every file the package depends on, by name."""
        return {**self.inputs, **(self.field.inputs or {})}

    @cached_property
    def evaluation(self) -> Evaluation:
        """The permitted state, evaluated once; its open sizes are those that were approved, where a revision was."""
        held = held_to(self.loaded.system, self.approved, lambda system: evaluate(system, self.code))
        return replace(held, not_made=self.not_made)

    @cached_property
    def fingerprint(self) -> str:
        """Hex SHA-256 over program version, edition and every input of the plans: in manifest and findings, which bind the Document IDs."""
        digest = hashlib.sha256(f"permitgen {__version__} {self.code.edition.book}\n".encode())
        for name in sorted(self.inputs):
            digest.update(f"{name} {hashlib.sha256(self.inputs[name]).hexdigest()}\n".encode())
        return digest.hexdigest()


def open_project(project: Path, *, edition: str = "", trial: Amendment | None = None, hardware: ReadFile | None = None) -> OpenedProject:
    """Load a project and open the code book of its jurisdiction; ``edition`` stands over the file's own.

    ``trial`` is an ordinance that is tried beside those in force: it needs no papers, and may have no row for the project's books.
    ``hardware`` is a hardware file that is tried over the project's own entries of the same name and kind.

    Raises:
        ProblemsError: anything wrong with the project file, with an amendment or an attachment it names, with a label specification, or
            with a file of ``field/``.
    """
    loaded = load_project(project, edition=edition, hardware=hardware)
    inputs = _inputs(loaded)
    field = _field_log(loaded)
    loaded = with_results(loaded, field)
    if problems := label_problems(loaded):
        raise ProblemsError(problems)
    texts, amendments = _amendments(loaded)
    files = attached_files(loaded)
    attached, photos = (tuple(file for file in files if file.is_photo is is_photo) for is_photo in (False, True))
    forms = mapped_forms(loaded)
    papers = approved_papers(loaded)
    approved, frozen = approved_sizes(loaded, papers)
    before = _revision_before(loaded, approved)
    inputs |= texts | {file.file: file.data for file in files}
    if before is not None:
        inputs |= before.inputs
    inputs |= {name: content for form in forms for name, content in form.inputs.items()}
    inputs |= papers | frozen | copies_of_grants(loaded) | copies_of_ordinances(loaded, amendments)
    in_force = amendments if trial is None else [*amendments, trial]
    if problems := local_name_problems(in_force, loaded.folder / "label_specs"):
        raise ProblemsError(problems)
    code = _code(loaded, in_force)
    if not edition:
        _refuse_idle(loaded, amendments, code)
    opened = OpenedProject(loaded, code, inputs, attached, forms, photos, before, approved, field)
    of_ordinances = (*unproven_relaxations(opened, amendments), *idle_factors(opened, amendments))
    if problems := [*of_ordinances, *grant_problems(opened, is_own_edition=not edition)]:
        raise ProblemsError(problems)
    return opened


def _field_log(loaded: LoadedProject) -> FieldLog:
    return read_field_log(loaded.folder, loaded.system.project.key, shown_beside(loaded.file.file, ""))


def _revision_before(loaded: LoadedProject, approved: Approved | None) -> OpenedProject | None:
    """Open the project file of the revision before the newest, where it was kept; revisions before that one stay closed."""
    project = loaded.system.project
    earlier = project.revision_before
    if earlier is None or not earlier.file:
        return None
    return replace(open_revision(loaded, earlier), approved=approved if earlier is project.approved_revision else None)


def open_revision(loaded: LoadedProject, earlier: Revision) -> OpenedProject:
    """Open the project file of a revision whose ``file`` is named, as it then was: what it names lies where it lay, in the project folder.

    Raises:
        ProblemsError: it is missing, or something is wrong with it.
    """
    index = next(i for i, revision in enumerate(loaded.system.project.revisions) if revision is earlier)
    try:
        path = resolve_inside(loaded.folder, earlier.file)
    except ReferencedFileError as error:
        raise ProblemsError([loaded.file.problem(("project", "revisions", index, "file"), str(error))]) from error
    kept = build_written(read_yaml_file(path), loaded.folder)
    texts, amendments = _amendments(kept)
    return OpenedProject(kept, _code(kept, amendments), {earlier.file: kept.file.text.encode("utf-8"), **kept.shared, **texts})


def _code(loaded: LoadedProject, amendments: list[Amendment]) -> CodeBook:
    jurisdiction = loaded.system.jurisdiction
    try:
        book = CodeBook(jurisdiction.edition, amendments, jurisdiction.fire_code)
    except UnknownEditionError as error:
        raise ProblemsError([loaded.file.problem(("jurisdiction", "fire_code"), str(error))]) from error
    book.last_read  # noqa: B018 - amendments of the edition that stands in for an unread one are checked here, not while judging
    return book


def _refuse_idle(loaded: LoadedProject, amendments: list[Amendment], code: CodeBook) -> None:
    """Refuse an ordinance without a row for the books in force: it would be printed as in force, and change nothing."""
    books = code.last_read.edition.book, code.fire_code.book
    problems = [
        loaded.file.problem(("jurisdiction", "amendments", index), f"no row of it is for {' or '.join(books)}; it would change nothing")
        for index, amendment in enumerate(amendments)
        if not amendment.changes(code) and not amendment.changes(code.last_read)
    ]
    if problems:
        raise ProblemsError(problems)


def _amendments(loaded: LoadedProject) -> tuple[dict[str, bytes], list[Amendment]]:
    texts: dict[str, bytes] = {}
    amendments: list[Amendment] = []
    names = loaded.system.jurisdiction.amendments
    for index, name in enumerate(names):
        location = ("jurisdiction", "amendments", index)
        if name in names[:index] or index == MOST_AMENDMENTS:
            why = f"{quoted(name)} is named twice" if name in names[:index] else f"at most {MOST_AMENDMENTS} amendments are read"
            raise ProblemsError([loaded.file.problem(location, why)])
        try:
            base, up = beside(loaded.file, loaded.folder, location)
            shown = (up / name).as_posix()
            texts[shown] = content_inside(base, name, LARGEST_BYTES)
        except ReferencedFileError as error:
            raise ProblemsError([loaded.file.problem(location, str(error))]) from error
        amendments.append(read_amendment(texts[shown], shown))
    return texts, amendments


def _inputs(loaded: LoadedProject) -> dict[str, bytes]:
    name = Path(loaded.file.file).name
    found = {name: loaded.file.text.encode("utf-8"), **loaded.shared}
    for folder in OVERRIDE_FOLDERS:
        found |= files_below(loaded.folder, folder)
    return found
