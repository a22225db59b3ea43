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
    """Return the parsed file of the table ``name``."""
    return _parsed("tables", name)


@cache
def provision_data(name: str) -> Mapping[str, object]:
    """Return the parsed file of provisions ``name``."""
    return _parsed("provisions", name)


@cache
def provision_index() -> Mapping[str, str]:
    """Return the file in which each provision stands, without parsing the files.

    Raises:
        DataError: two files hold the same id.

    """
    index: dict[str, str] = {}
    for name in sorted(provision_files()):
        for found in _TOP_LEVEL_KEY.findall(_text("provisions", name)):
            if found in index:
                raise DataError(f"provisions/{name}.yaml: {found}: also in {index[found]}.yaml")
            index[found] = name
    return index


def _names(folder: str) -> frozenset[str]:
    entries = files("permitgen.code").joinpath(folder).iterdir()
    return frozenset(entry.name.removesuffix(".yaml") for entry in entries if entry.name.endswith(".yaml"))


def _text(folder: str, name: str) -> str:
    return files("permitgen.code").joinpath(folder, f"{name}.yaml").read_text(encoding="utf-8")


def _parsed(folder: str, name: str) -> Mapping[str, object]:
    parsed = yaml.load(_text(folder, name), Loader=_LOADER)  # noqa: S506  the C build of the safe loader
    if not isinstance(parsed, dict):
        raise DataError(f"{folder}/{name}.yaml: expected a mapping")
    return parsed
