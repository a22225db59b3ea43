"""What ``permitgen batch`` tries on every project: an edition, an ordinance, a hardware file.

Each is read once, so that what is wrong with it is one message and not one for each project.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT

if TYPE_CHECKING:
    from permitgen.package.shelf_job import TriedFile

_FILE = click.Path(path_type=Path)
_OPTIONS = (
    click.option("--edition", default="", metavar="YEAR", help="Say what this edition changes for each project; write no documents."),
    click.option(
        "--amendments",
        type=_FILE,
        metavar="FILE",
        help="Say what this ordinance changes for each project beside those it has; write no documents.",
    ),
    click.option(
        "--hardware",
        type=_FILE,
        metavar="FILE",
        help="Say what changes for each project where this hardware file describes an entry that it uses, of the same name and kind.",
    ),
)


@dataclass(frozen=True, slots=True)
class Tried:
    """What is tried on every project beside its own; nothing where each is built or checked as it is."""

    edition: str = ""
    ordinance: TriedFile | None = None
    hardware: TriedFile | None = None

    @property
    def own(self) -> tuple[str, ...]:
        """What of its own each project was permitted under, of that which is tried."""
        of_books = ("edition",) if self.edition or self.ordinance is not None else ()
        return (*of_books, *(("hardware",) if self.hardware is not None else ()))

    @property
    def asked(self) -> str:
        """What is asked, in words; empty where nothing is tried."""
        tried = [f"NEC {self.edition}"] if self.edition else []
        tried += [Path(each.file).name for each in (self.ordinance, self.hardware) if each is not None]
        own = " and ".join("edition and ordinances" if each == "edition" else each for each in self.own)
        return f"Each project under its own {own}, compared with {' and '.join(tried)}" if tried else ""


def tried_options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of what is tried; it gets them read, as ``tried``."""

    @wraps(command)
    def with_tried(*args: Any, edition: str, amendments: Path | None, hardware: Path | None, **others: Any) -> None:
        _require_edition(edition)
        command(*args, tried=Tried(edition, _ordinance(amendments), _hardware(hardware)), **others)

    for option in reversed(_OPTIONS):
        with_tried = option(with_tried)
    return with_tried


def _require_edition(edition: str) -> None:
    from permitgen.code.edition import Edition
    from permitgen.code.errors import UnknownEditionError

    try:
        if edition:
            Edition.of(edition)
    except UnknownEditionError as error:
        end(f"--edition: {error}", BAD_INPUT)


def _ordinance(path: Path | None) -> TriedFile | None:
    from permitgen.code.amendment import LARGEST_BYTES, read_amendment
    from permitgen.package.shelf_job import TriedFile
    from permitgen.reading.problems import ProblemsError
    from permitgen.reading.reader import file_content

    if path is None:
        return None
    try:
        content = file_content(path, LARGEST_BYTES)
        read_amendment(content, path.as_posix())
    except ProblemsError as error:
        refuse(error)
    return TriedFile(path.as_posix(), content)


def _hardware(path: Path | None) -> TriedFile | None:
    from permitgen.package.shelf_job import TriedFile
    from permitgen.project.hardware_files import read_hardware
    from permitgen.project.hardware_models import entry_problems
    from permitgen.reading.problems import ProblemsError
    from permitgen.reading.reader import LARGEST_BYTES, file_content

    if path is None:
        return None
    try:
        content = file_content(path, LARGEST_BYTES)
        problems = entry_problems(read_hardware(content, path.as_posix()))
    except ProblemsError as error:
        refuse(error)
    if problems:
        refuse(ProblemsError(problems))
    return TriedFile(path.as_posix(), content)
