"""The sizes of the approved set: a file of ``approved/`` beside the project file, written once on request and never again.

It holds a digest of what it says, and one of the stamped set that it belongs to: a change by hand of either is seen.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Sequence
from typing import Any, cast

from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import ReadFile, read_content
from permitgen.system.approval import SIZED_THINGS, ApprovedSize, ApprovedSizes, SizedThing
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.origin import ProjectLine
from permitgen.values.trade_size import TRADE_SIZES
from permitgen.values.value import Value

APPROVED_FOLDER = "approved"
FORMAT = "permitgen approved sizes 1"
LARGEST_BYTES = 2_000_000
_RATING = re.compile(r"([0-9]{1,5}(?:\.[0-9]{1,3})?) A")
_CONDUCTORS = {str(size): size for size in ALL_SIZES}
_TRADE = {f"{size} in": size for size in TRADE_SIZES}
_HEAD = ("format", "project", "revision", "edition", "program", "stamped")

_EXPLAINED = """\
# What revision {revision} was approved with: every size of the stamped set, the program's choices among them.
# permitgen freeze wrote it, on request and once. Later evaluations keep to it; a change by hand is seen and refused.
"""


def approved_file_name(revision: int) -> str:
    """Return the path of the file, from the project folder."""
    return f"{APPROVED_FOLDER}/{revision}.yaml"


def approved_file(project: str, revision: int, edition: str, program: str, stamped: bytes, sizes: Sequence[tuple[str, str, str]]) -> bytes:
    """Return the content of the file: ``sizes`` are (what, tag, size as printed), ``stamped`` the bytes of the stamped set."""
    head = {"format": FORMAT, "project": project, "revision": str(revision), "edition": edition, "program": program}
    head["stamped"] = hashlib.sha256(stamped).hexdigest()
    rows = [{"what": what, "tag": tag, "size": size} for what, tag, size in sorted(sizes)]
    lines = [f"{name}: {json.dumps(said, ensure_ascii=False)}" for name, said in head.items()]
    lines += ["sizes:", *(f"  - {json.dumps(row, ensure_ascii=False)}" for row in rows)]
    lines.append(f"digest: {_digest(head, rows)}")
    return (_EXPLAINED.format(revision=revision) + "\n".join(lines) + "\n").encode("utf-8")


def _digest(head: dict[str, Any], rows: Any) -> str:
    said = json.dumps({**head, "sizes": rows}, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(said.encode("utf-8")).hexdigest()


def read_approved_file(content: bytes, file: str, *, project: str, revision: int, stamped: bytes) -> ApprovedSizes:
    """Read the file; ``file`` names it in messages, ``stamped`` are the bytes of the stamped set as it is in the project now.

    Raises:
        ProblemsError: it is malformed, of another project or revision, or it or the stamped set was changed after it was written.
    """
    read = read_content(content, file)
    data = read.data
    head = {name: data.get(name) for name in _HEAD}
    rows = data.get("sizes")
    if head["format"] != FORMAT or not isinstance(rows, list):
        raise ProblemsError([read.problem(("format",), f'expected "{FORMAT}", as permitgen freeze writes it')])
    if data.get("digest") != _digest(head, rows):
        raise ProblemsError([read.problem(("digest",), "the file was changed after it was written; put it back as it was")])
    if (head["project"], head["revision"]) != (project, str(revision)):
        said = f"revision {head['revision']} of {head['project']} was approved with this; expected revision {revision} of {project}"
        raise ProblemsError([read.problem(("revision",), said)])
    if head["stamped"] != hashlib.sha256(stamped).hexdigest():
        raise ProblemsError([read.problem(("stamped",), "the stamped set is another file than the one whose sizes these are; put it back")])
    return ApprovedSizes(revision, tuple(_size(read, index, row) for index, row in enumerate(rows)))


def _size(read: ReadFile, index: int, row: object) -> ApprovedSize:
    if isinstance(row, dict) and row.keys() == {"what", "tag", "size"} and row["what"] in SIZED_THINGS:
        what, tag, text = cast("SizedThing", row["what"]), str(row["tag"]), str(row["size"])
        line, column = read.position(("sizes", index))
        at = ProjectLine(read.file, line, column, f"sizes[{index}]", text)
        size = _parsed(what, tag, text, at)
        if size is not None:
            return ApprovedSize(tag, what, text, size, at)
    raise ProblemsError([read.problem(("sizes", index), "is not a size as permitgen freeze writes it")])


def _parsed(what: SizedThing, tag: str, text: str, at: ProjectLine) -> ConductorSize | Value | str | None:
    if what == "raceway":
        return _TRADE.get(text)
    if what != "overcurrent device":
        return _CONDUCTORS.get(text)
    rating = _RATING.fullmatch(text)
    return Value(float(rating[1]), "a", at, "OCPD", f"overcurrent device {tag}, as approved") if rating is not None else None
