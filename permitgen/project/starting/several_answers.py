"""Answers that tell several things of a kind at once: the modules of each roof plane, the places of all units but the first."""

from __future__ import annotations

import re

from permitgen.reading.problems import quoted

AS_LAYOUT = "2 x 10 portrait, 3 ft from left rake, 3 ft below ridge, 1 in gap"
BESIDE = "beside the first"
_ROWS = re.compile(r"(?P<rows>[0-9]{1,2}) ?[x×] ?(?P<columns>[0-9]{1,2}),? +(?P<modules>portrait|landscape)", re.IGNORECASE)
_FROM = re.compile(r"(?P<distance>.+?) from (?:the )?(?P<from>.+)", re.IGNORECASE)
_UP = re.compile(r"(?P<length>.+?) (?P<edge>above (?:the )?eave|below (?:the )?ridge)", re.IGNORECASE)
_GAP = re.compile(r"(?P<length>.+?) gap|gap (?P<after>.+)", re.IGNORECASE)


def parts_of(text: str) -> list[str]:
    """Return what stands between semicolons."""
    return [part.strip() for part in text.split(";") if part.strip()]


def layout_of(text: str) -> dict[str, str]:
    """Return the keys of a layout of modules that one line tells.

    Raises:
        ValueError: it tells less, or something else.
    """
    first, *rest = [part.strip() for part in re.sub(r"(?i)^([^,]*[0-9]),( *(?:portrait|landscape))", r"\1\2", text).split(",")]
    rows = _ROWS.fullmatch(first)
    told = {} if rows is None else {key: value.casefold() for key, value in rows.groupdict().items()}
    for part in rest:
        told |= _told(part)
    if rows is None or len(told) != len(rows.groupdict()) + 2 + 1 + 1:
        raise ValueError(f"{quoted(text)} is no layout of modules; write {AS_LAYOUT}")
    return told


def _told(part: str) -> dict[str, str]:
    if up := _UP.fullmatch(part):
        return {"above_eave" if "eave" in up["edge"].casefold() else "below_ridge": up["length"]}
    if gap := _GAP.fullmatch(part):
        return {"gap": gap["length"] or gap["after"]}
    if end := _FROM.fullmatch(part):
        return {"distance": end["distance"], "from": end["from"].casefold()}
    return {}
