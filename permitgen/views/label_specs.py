"""The label specifications: one YAML file a label in ``label_specs/``, checked when read.

A project or a company puts files of the same name into a folder of its own to override them; the folder
``label_specs/README.md`` explains every key.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources
from pathlib import Path

from permitgen.reading.problems import Problem, ProblemsError
from permitgen.views.label_spec import LabelSpec
from permitgen.views.label_spec_file import read_entries
from permitgen.views.label_spec_reader import SharedWords, read_label_spec
from permitgen.views.rule_page import rule_names


def shipped_folder() -> Path:
    """Return the folder of the specifications that come with the program, installed or in a checkout."""
    installed = Path(str(resources.files("permitgen"))) / "_data" / "label_specs"
    return installed if installed.is_dir() else Path(__file__).parents[2] / "label_specs"


def load_label_specs(override_folders: Iterable[Path] = ()) -> dict[str, LabelSpec]:
    """Return all specifications by id, those of later folders in place of those of earlier ones.

    Raises ProblemsError with one message for each mistake in any file.
    """
    specs = dict(_shipped())
    problems: list[Problem] = []
    for folder in override_folders:
        own = _own_words(folder / "_materials.yaml")
        specs.update(_folder_specs(folder, SharedWords(known_facts(), {**shipped_materials(), **own}, rule_names()), problems))
    if problems:
        raise ProblemsError(problems)
    return specs


@cache
def known_facts() -> Mapping[str, str]:
    """Return the meaning of every fact that a specification may ask for, by name."""
    return _own_words(shipped_folder() / "_facts.yaml")


@cache
def shipped_materials() -> Mapping[str, str]:
    """Return the words of every material by its name."""
    return _own_words(shipped_folder() / "_materials.yaml")


@cache
def _shipped() -> Mapping[str, LabelSpec]:
    problems: list[Problem] = []
    specs = _folder_specs(shipped_folder(), SharedWords(known_facts(), shipped_materials(), rule_names()), problems)
    if problems:
        raise ProblemsError(problems)
    return specs


def _own_words(path: Path) -> Mapping[str, str]:
    """Return names with their words from a file, none when the file is not there."""
    if not path.is_file():
        return {}
    spec_file, top = read_entries(path)
    words = {name: spec_file.text(entry) for name, entry in spec_file.named(top).items()}
    if spec_file.problems:
        raise ProblemsError(spec_file.problems)
    return words


def _folder_specs(folder: Path, shared: SharedWords, problems: list[Problem]) -> dict[str, LabelSpec]:
    specs: dict[str, LabelSpec] = {}
    for path in sorted(folder.glob("*.yaml")):
        if path.name.startswith("_"):
            continue
        try:
            spec = read_label_spec(path, shared)
        except ProblemsError as mistakes:
            problems.extend(mistakes.problems)
        else:
            specs[spec.id] = spec
    return specs
