"""Files that several projects share: in the project folder, or in a folder above it that holds the company's own files.

A file above the project folder is read only where its first line says what it is, so that a project file that somebody sent cannot have
another file of the machine read out in messages.
"""

from __future__ import annotations

from codecs import BOM_UTF8
from dataclasses import dataclass
from pathlib import Path

from permitgen.reading.folder_files import files_below
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem, ProblemsError, quoted
from permitgen.reading.reader import LARGEST_BYTES, ReadFile, read_content
from permitgen.reading.referenced_file import ReferencedFileError, content_inside, is_folder_inside

ENDING = ".yaml"
UP = "../"
MOST_UP = 3
"""How many folders above the project folder a name may lead."""


@dataclass(frozen=True, slots=True)
class Form:
    """A kind of shared file: its first line is ``format: NAME 1``; ``keys`` are those of its top."""

    name: str
    keys: tuple[str, ...]

    @property
    def first_line(self) -> str:
        """The line by which a file says what it is."""
        return f"format: {self.name} 1"


def shared_contents(folder: Path, text: str) -> dict[str, bytes]:
    """Return the bytes of the file, or of every YAML file of the folder, that ``text`` names, by the name that leads there.

    Raises:
        ReferencedFileError: it names nothing that may be read.
        ProblemsError: a file of the folder cannot be read.
    """
    up, rest = _climbed(text)
    if rest.startswith(UP):
        raise ReferencedFileError(f"{quoted(text)} leads more than {MOST_UP} folders up from the project folder")
    base = folder.resolve()
    for _ in range(up):
        base = base.parent
    if not rest:
        raise ReferencedFileError(f"{quoted(text)}: name a file or a folder of files, for example {UP}hardware")
    if is_folder_inside(base, rest):
        found = files_below(base, rest, ENDING)
        if not found:
            raise ReferencedFileError(f"the folder {quoted(text)} holds no file that ends in {ENDING}")
    elif not rest.endswith(ENDING):
        raise ReferencedFileError(f"{quoted(text)} is neither a folder nor a file that ends in {ENDING}")
    else:
        found = {rest: content_inside(base, rest, LARGEST_BYTES)}
    return {UP * up + name: content for name, content in found.items()}


def shown_beside(file: str, name: str) -> str:
    """Return how messages name what lies beside a file that they call ``file``, as ``name`` leads there from it."""
    folder = Path(file).parent.as_posix()
    return name if folder == "." else f"{folder}/{name}"


def inside_name(name: str) -> str:
    """Return where a copy of a shared file lies beside a copy of the project file."""
    return _climbed(name)[1]


def _climbed(text: str) -> tuple[int, str]:
    up, rest = 0, text.removesuffix("/")
    while rest.startswith(UP) and up < MOST_UP:
        up, rest = up + 1, rest.removeprefix(UP)
    return up, rest


def read_shared(content: bytes, shown: str, form: Form) -> ReadFile:
    """Read a shared file of a form; ``shown`` names it in messages.

    Raises:
        ProblemsError: its first line is another, it is no YAML, or it has another key.
    """
    if first_line(content) != form.first_line:
        why = f'this is no {form.name} file; its first line that is no comment has to be "{form.first_line}"'
        raise ProblemsError([Problem(shown, 1, 1, "", why)])
    file = read_content(content, shown)
    unknown = [
        file.problem((key,), f'unknown key "{key}"{did_you_mean(key, form.keys)}', at_key=True)
        for key in file.data
        if key not in ("format", *form.keys)
    ]
    if unknown:
        raise ProblemsError(unknown)
    return file


def first_line(content: bytes) -> str:
    """Return the first line of a file that is no comment, as one would write it; empty where there is none."""
    for line in content.removeprefix(BOM_UTF8).splitlines():
        written = line.partition(b"#")[0].strip()
        if written:
            return " ".join(written.decode("ascii", "replace").split())
    return ""
