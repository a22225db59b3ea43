"""Loads a project file: read, put catalog entries in, validate, put places on the plan, check references, build the system."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from permitgen import __version__
from permitgen.project.copied_file import mapping
from permitgen.project.directories import Claim, read_directories
from permitgen.project.directory_claims import claim_problems
from permitgen.project.disputed_figures import DisputedFigure, disputed_figures, too_many, with_readings
from permitgen.project.fields import no_answers
from permitgen.project.hardware_files import with_hardware, with_sources
from permitgen.project.hardware_instead import with_entries_of
from permitgen.project.interlock_names import interlock_problems
from permitgen.project.messages import Location, problems_of
from permitgen.project.panel_contents import panel_problems
from permitgen.project.place_files import with_place
from permitgen.project.reference_check import Check
from permitgen.project.references import reference_problems
from permitgen.project.sections.project_file import FORMAT, ProjectFile
from permitgen.project.to_system import to_system
from permitgen.project.told_plan import in_coordinates
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import ReadFile, read_yaml_file
from permitgen.system.system import System

PROJECT_FILE_NAME = "project.yaml"


@dataclass(frozen=True, slots=True)
class LoadedProject:
    """A project file, its models, and the system it describes. ``folder`` is where further files are looked for.

    ``file`` has the devices of directories where they act; ``written`` is the file as a person wrote it, with what files that
    projects share say: hardware, jurisdiction, temperatures. ``shared`` are the bytes of those by the names that lead there.
    """

    file: ReadFile
    models: ProjectFile
    system: System
    folder: Path
    written: ReadFile
    shared: Mapping[str, bytes] = field(default_factory=dict)


def project_path(project: Path) -> Path:
    """Return the project file: ``project`` itself, or ``project.yaml`` in that folder."""
    return project / PROJECT_FILE_NAME if project.is_dir() else project


def load_project(project: Path, *, edition: str = "", hardware: ReadFile | None = None) -> LoadedProject:
    """Load a project file or the folder that holds ``project.yaml``; ``edition`` stands over the file's own.

    ``hardware`` is a hardware file whose entries stand over those of the same name and kind that the project has.

    Raises:
        ProblemsError: anything wrong with the file; every problem found, in file order.
    """
    path = project_path(project)
    return build_written(read_yaml_file(path), path.parent, edition=edition, hardware=hardware)


def build_written(file: ReadFile, folder: Path, *, edition: str = "", hardware: ReadFile | None = None) -> LoadedProject:
    """Build the project of a file as a person writes it, with what the files say that it shares with other projects.

    ``edition`` and ``hardware`` as for ``load_project``.

    Raises:
        ProblemsError: anything wrong with it or with them.
    """
    file, of_place = with_place(file, folder)
    file, own = with_hardware(file, folder)
    shared = of_place | {each.name: each.content for each in own}
    if hardware is not None:
        file = with_entries_of(file, hardware)
    return replace(build_project(file, folder, edition=edition), shared=shared)


def build_project(file: ReadFile, folder: Path, *, edition: str = "", claims: tuple[Claim, ...] = ()) -> LoadedProject:
    """Build the system of a file that was read already; ``claims`` are those of directories that were read before.

    Raises:
        ProblemsError: anything wrong with its content.
    """
    if problem := _of_another_format(file):
        raise ProblemsError([problem])
    unanswered = [file.problem(where, message) for where, message in no_answers(file.data)]
    if unanswered:
        raise ProblemsError(unanswered)
    written = file
    file, further, told_wrong = read_directories(file)
    merged, sources, problems = put_catalog_in(file)
    problems = [*told_wrong, *problems]
    if edition:
        merged["jurisdiction"] = {**mapping(merged.get("jurisdiction")), "edition": edition}
    try:
        models = ProjectFile.model_validate(merged)
    except ValidationError as error:
        without_catalog = {problem.where.split(".")[1] for problem in problems if problem.where.endswith(".catalog")}
        errors = [e for e in error.errors(include_url=False, include_input=False) if not _lacks_its_catalog(e["loc"], without_catalog)]
        problems += problems_of(errors, file, sources)
        raise ProblemsError(problems) from error
    models, untold = in_coordinates(Check(models, file, sources))
    problems = problems or untold or reference_problems(models, file, sources)
    if problems:
        raise ProblemsError(problems)
    system = to_system(models, file, sources)
    problems = [
        *interlock_problems(system, file, sources),
        *claim_problems(system, (*claims, *further), file),
        *panel_problems(system, file, sources),
    ]
    if problems:
        raise ProblemsError(problems)
    if figures := disputed_figures(models, sources):
        system = _of_every_source(system, figures, merged, file, sources)
    return LoadedProject(file, models, system, folder, written)


def _of_every_source(
    system: System, figures: tuple[DisputedFigure, ...], merged: dict[str, Any], file: ReadFile, sources: Sources
) -> System:
    """Return the system with the readings of its disputed figures; each has to be as sound as a file that states it alone."""
    if message := too_many(figures):
        raise ProblemsError([file.problem(figures[-1].written, message)])

    def build(data: dict[str, Any]) -> System:
        models, untold = in_coordinates(Check(ProjectFile.model_validate(data), file, sources))
        if problems := untold or reference_problems(models, file, sources):
            raise ProblemsError(problems)
        read = to_system(models, file, sources)
        if problems := panel_problems(read, file, sources):
            raise ProblemsError(problems)
        return read

    return with_readings(system, figures, merged, build)


def _of_another_format(file: ReadFile) -> Problem | None:
    """Return why a file of another form is not read; alone, since every other message would be about a form that it does not have."""
    given = mapping(file.data).get("format", FORMAT)
    if given == FORMAT:
        return None
    earlier = "; an earlier version reads it, CHANGELOG.md says what to change" if given == "1" else ""
    return file.problem(("format",), f"permitgen {__version__} reads format {FORMAT}, not {quoted(str(given))}{earlier}")


def _lacks_its_catalog(loc: tuple[int | str, ...], tags: set[str]) -> bool:
    """An equipment entry whose catalog entry was not found lacks facts for that reason, which was said already."""
    return len(loc) > 1 and loc[0] == "equipment" and loc[1] in tags


class Sources:
    """Maps a location in the merged data to the place where it was written: the equipment entry or its catalog entry."""

    def __init__(self, file: ReadFile, catalog_of: dict[str, str]) -> None:
        self._file = file
        self._catalog_of = catalog_of

    def __call__(self, location: Location) -> Location:
        """Return the place of ``location`` in the file."""
        if len(location) < 3 or location[0] != "equipment":
            return location
        tag, key = str(location[1]), location[2]
        own = mapping(mapping(self._file.data.get("equipment")).get(tag))
        if key in own or tag not in self._catalog_of:
            return location
        catalog = mapping(mapping(self._file.data.get("catalog")).get(self._catalog_of[tag]))
        return ("catalog", self._catalog_of[tag], *location[2:]) if key in catalog else location


def put_catalog_in(file: ReadFile) -> tuple[dict[str, Any], Sources, list[Problem]]:
    """Return the data with each equipment entry laid over its catalog entry, where everything was written, and problems."""
    data: dict[str, Any] = dict(file.data)
    catalog, problems = with_sources(file, "catalog")
    entries, further = with_sources(file, "equipment")
    problems += further
    if catalog:
        data["catalog"] = catalog
    catalog_of: dict[str, str] = {}
    merged: dict[str, Any] = {}
    for tag, entry in entries.items():
        merged[tag] = entry
        name = entry.get("catalog") if isinstance(entry, dict) else None
        if not isinstance(name, str):
            continue
        if name not in catalog:
            problems.append(file.problem(("equipment", tag, "catalog"), f'the catalog has no entry "{name}"{did_you_mean(name, catalog)}'))
            continue
        catalog_of[tag] = name
        merged[tag] = {**mapping(catalog[name]), **entry}
    if isinstance(data.get("equipment"), dict):
        data["equipment"] = merged
    return data, Sources(file, catalog_of), problems
