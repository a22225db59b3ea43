"""A new project like a finished one: the same layout, hardware and department; nothing that was read, measured or drawn at the other house.

What carries over is what was planned (equipment, circuits, sizes, settings) and what holds in the place (jurisdiction, climate). Names,
papers, revisions, grants, field results and the built state stay behind, and so does every fact of the other site: where things stand, how
long runs are, its fault current, its loads, its plan. Of these nothing is assumed here: they are unknown until somebody reads them.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from copy import deepcopy
from pathlib import Path, PurePosixPath
from typing import Any

import yaml

from permitgen.project.copied_file import mapping
from permitgen.project.fields import UNKNOWN, read_words
from permitgen.project.load import PROJECT_FILE_NAME, build_written, load_project, project_path
from permitgen.project.place_files import with_place
from permitgen.project.sections.project_file import FORMAT
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.reader import LARGEST_BYTES, ReadFile, read_content, read_text, read_yaml_file
from permitgen.reading.referenced_file import ReferencedFileError, content_inside

_SECTIONS = ("jurisdiction", "hardware", "catalog", "equipment", "raceways", "circuits", "control", "loads", "power_control", "interlocks")
_SECTIONS_BEHIND = ("settings", "labels")
_LARGEST_PAPER = 20_000_000
_OF_ONE_HOUSE = ("granted", "confirmed")
# By section, the keys of an entry that were read at the other house: left out, or unknown where leaving out would have a size chosen.
_OF_THE_GROUND = ("electrodes", "second_rod", "gas_bonded_by", "gas_piping_bonded", "water_piping_bonded", "water_bonding_conductor")
_OF_A_PANEL = ("existing_labels", "all_breakers_in_file", "factory_bonding_jumper", "intersystem_terminals", "fault_current_source")
_LEFT_OUT = {
    "equipment": ("place", "roof_planes", "framing", *_OF_THE_GROUND, *_OF_A_PANEL),
    "raceways": ("route", "location", "building", "ways", "spaced", "above_roof"),
    "circuits": ("existing", "tap_length"),
    "control": ("route",),
    "loads": ("locked_rotor_current", "new", "moved", "added_length", "new_outlets", "simultaneous"),
}
_UNKNOWN = {
    "equipment": ("available_fault_current", "spaces_used", "all_breakers_but_main", "poles_in_use"),
    "raceways": ("length",),
    "circuits": (),
    "control": ("length",),
    "loads": ("power", "current"),
}


class _Dumper(yaml.SafeDumper):
    """Writes texts of several lines, as directories are, line by line."""


def _text(dumper: yaml.SafeDumper, text: str) -> yaml.ScalarNode:
    return dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)


_Dumper.add_representer(str, _text)


def project_like(project: Path, new_folder: Path, name: str, address: str) -> tuple[str, dict[str, bytes]]:
    """Return the text of a project file like another, which builds, and the ordinances that have to lie beside it, by name.

    Raises:
        ProblemsError: the other cannot be read; or the copy lacks something without which it does not build, at its place in the copy.
    """
    path = project_path(project)
    load_project(path)  # of an unsound project no copy is made
    file, folder = read_yaml_file(path), path.parent
    called = {"name": name} | ({"address": address} if address else {})
    data: dict[str, Any] = {"format": file.data.get("format", FORMAT), "project": called}
    data |= {section: deepcopy(file.data[section]) for section in _SECTIONS if section in file.data}
    if climate := _climate(file, folder):
        data["site"] = {"climate": climate}
    data |= {section: deepcopy(file.data[section]) for section in _SECTIONS_BEHIND if section in file.data}
    for key in _OF_ONE_HOUSE:
        mapping(data.get("jurisdiction")).pop(key, None)
    for section, keys in _LEFT_OUT.items():
        for entry in mapping(data.get(section)).values():
            _forget(mapping(entry), keys, _UNKNOWN[section])
    copies = _copies(file, folder, data)
    _point(data, folder, new_folder)
    written = yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=120)
    text = f"{_HEAD.format(like=_called(file))}{written}"
    build_written(read_text(text, PROJECT_FILE_NAME), new_folder)
    return text, copies


def _climate(file: ReadFile, folder: Path) -> dict[str, Any]:
    """Return what the project itself says of the climate; of a table that it names, what stands there."""
    own = mapping(mapping(file.data.get("site")).get("climate"))
    if "table" not in own:
        return deepcopy(own)
    laid = mapping(mapping(with_place(file, folder)[0].data.get("site")).get("climate"))
    return {key: value for key, value in laid.items() if key not in ("table", "station")}


_HEAD = """\
# Like {like}: its layout, hardware, sizes and department. What was read at that house is not here: places, lengths, fault current,
# loads and plan. "permitgen check" lists what is open and who knows it. Directories, roles and settings are those that were planned
# there: look whether they are so here.
"""


def _called(file: ReadFile) -> str:
    project = mapping(file.data.get("project"))
    return str(project.get("number") or "another project").replace("\n", " ")


def _forget(entry: dict[str, Any], keys: tuple[str, ...], unknown: tuple[str, ...]) -> None:
    for key in keys:
        entry.pop(key, None)
    for key in unknown:
        if key in entry:
            entry[key] = UNKNOWN


def _copies(file: ReadFile, folder: Path, data: Mapping[str, Any]) -> dict[str, bytes]:
    """Return the bytes of the ordinances and of their papers, which the new project names inside its own folder."""
    amendments = mapping(data.get("jurisdiction")).get("amendments")
    found: dict[str, bytes] = {}
    problems: list[Problem] = []
    for name in read_words(amendments) if amendments is not None else ():
        try:
            found[name] = content_inside(folder, name, LARGEST_BYTES)
            paper = mapping(read_content(found[name], name).data.get("ordinance")).get("copy")
            if isinstance(paper, str) and paper:
                found[paper] = content_inside(folder, paper, _LARGEST_PAPER)
        except ReferencedFileError as error:
            problems.append(file.problem(("jurisdiction", "amendments"), str(error)))
    if problems:
        raise ProblemsError(problems)
    return found


def _point(data: dict[str, Any], folder: Path, new_folder: Path) -> None:
    """Let the new project name the same shared files from where it stands."""
    if "hardware" in data:
        data["hardware"] = [_from(new_folder, folder / name) for name in read_words(data["hardware"])]
    place = mapping(data.get("jurisdiction"))
    if isinstance(place.get("file"), str):
        place["file"] = _from(new_folder, folder / place["file"])


def _from(new_folder: Path, path: Path) -> str:
    return PurePosixPath(os.path.relpath(path.resolve(), new_folder.resolve())).as_posix()
