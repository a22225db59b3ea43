"""Writes docs/licenses.md: what permitgen needs to run, at the versions of ``.ci/locked.txt``, each under which license.

Run in an environment that holds what the lock names. A package states its license in its metadata (core metadata ``License-Expression``,
else its classifiers, else ``License``); nothing is guessed: one that states none is listed so.
"""

from __future__ import annotations

import re
import tomllib
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
HEAD = """# Licenses of what permitgen needs

Written by `docs/make_licenses.py` from what the packages state of themselves. Fonts and their licenses: beside the files, in
`permitgen/documents`. What only tests need is not shipped and not listed.

| package | license |
|---|---|
"""


def needed() -> list[str]:
    """Return the packages that an installation with ``sign`` brings along, by name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    waiting = [Requirement(text) for text in (*project["dependencies"], *project["optional-dependencies"]["sign"])]
    found = set()
    while waiting:
        wanted = waiting.pop()
        key = re.sub(r"[-_.]+", "-", wanted.name).lower()
        if key in found:
            continue
        found.add(key)
        further = [Requirement(text) for text in metadata.requires(wanted.name) or ()]
        extras = ("", *wanted.extras)
        waiting += [each for each in further if each.marker is None or any(each.marker.evaluate({"extra": name}) for name in extras)]
    return sorted(found)


def license_of(name: str) -> str:
    """Return the license that a package states, in its own words, one line."""
    stated = metadata.metadata(name)
    classifiers = [text.rpartition(" :: ")[2] for text in stated.get_all("Classifier") or () if text.startswith("License :: ")]
    plain = (stated.get("License") or "").strip().splitlines()
    return stated.get("License-Expression") or ", ".join(classifiers) or (plain[0] if plain else "not stated")


def table() -> str:
    """Return the whole file."""
    return HEAD + "".join(f"| {name} | {license_of(name)} |\n" for name in needed())


if __name__ == "__main__":
    (ROOT / "docs" / "licenses.md").write_text(table(), encoding="utf-8")
