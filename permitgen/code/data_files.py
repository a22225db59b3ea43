"""The data files of this package: parsed once a process, each when first asked for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from permitgen.code.errors import DataError

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_TOP_LEVEL_KEY = re.compile(r"^([a-z][a-z0-9_]*):", re.MULTILINE)


@cache
def table_names() -> frozenset[str]:
    """Return the names of all tables."""
    return _names("tables")


@cache
def provision_files() -> frozenset[str]:
    """Return the names of all files of provisions."""
    return _names("provisions")


@cache
def table_data(name: str) -> Mapping[str, object]:
    """Return the parsed file of the table ``name``.

    Raises:
        DataError: the file is not a mapping.

    """
    parsed = yaml.load(_text("tables", name), Loader=_LOADER)  # noqa: S506  the C build of the safe loader
    if not isinstance(parsed, dict):
        raise DataError(f"tables/{name}.yaml: expected a mapping")
    return parsed


@cache
def provision_row(provision_id: str) -> Mapping[object, object]:
    """Return the parsed row of one provision; the other rows of its file are left alone, which keeps a run short.

    Raises:
        DataError: what stands under the id is not a row.

    """
    file, start, end = provision_index()[provision_id]
    parsed = yaml.load(_text("provisions", file)[start:end], Loader=_LOADER)  # noqa: S506  the C build of the safe loader
    row = parsed[provision_id]
    if not isinstance(row, dict):
        raise DataError(f"provisions/{file}.yaml: {provision_id}: expected a row")
    return row


@cache
def provision_index() -> Mapping[str, tuple[str, int, int]]:
    """Return the file of each provision, and where in its text the row starts and ends.

    Raises:
        DataError: two files hold the same id.

    """
    index: dict[str, tuple[str, int, int]] = {}
    for name in sorted(provision_files()):
        text = _text("provisions", name)
        starts = [(found[1], found.start()) for found in _TOP_LEVEL_KEY.finditer(text)]
        for (provision_id, start), end in zip(starts, [start for _, start in starts[1:]] + [len(text)], strict=True):
            if provision_id in index:
                raise DataError(f"provisions/{name}.yaml: {provision_id}: also in {index[provision_id][0]}.yaml")
            index[provision_id] = (name, start, end)
    return index


@cache
def read_fields() -> Mapping[str, frozenset[str]]:
    """Return, by provision, the fields whose amendment changes something; ``absent`` among them where striking it does."""
    text = files("permitgen.code").joinpath("read_fields.yaml").read_text(encoding="utf-8")
    return {name: frozenset(fields) for name, fields in yaml.load(text, Loader=_LOADER).items()}  # noqa: S506  the C build of the safe loader


def _names(folder: str) -> frozenset[str]:
    entries = files("permitgen.code").joinpath(folder).iterdir()
    return frozenset(entry.name.removesuffix(".yaml") for entry in entries if entry.name.endswith(".yaml"))


@cache
def _text(folder: str, name: str) -> str:
    return files("permitgen.code").joinpath(folder, f"{name}.yaml").read_text(encoding="utf-8")
