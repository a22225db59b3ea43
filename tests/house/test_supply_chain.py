"""What permitgen needs is locked within its ranges, and listed with its license.

The lock is written by ``pip-compile --generate-hashes --no-emit-index-url --no-emit-trusted-host --no-emit-find-links --no-header
--extra sign --extra test --allow-unsafe --strip-extras -o .ci/locked.txt pyproject.toml``.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from docs.make_licenses import needed, table

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LOCKED = (ROOT / ".ci" / "locked.txt").read_text(encoding="utf-8")


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def locked() -> dict[str, str]:
    return {plain(name): version for name, version in re.findall(r"^([\w.-]+)==(\S+)", LOCKED, re.MULTILINE)}


def wanted() -> list[Requirement]:
    extras = PROJECT["optional-dependencies"]
    return [Requirement(text) for text in (*PROJECT["dependencies"], *extras["sign"], *extras["test"])]


@pytest.mark.parametrize("each", wanted(), ids=str)
def test_the_lock_holds_a_version_within_each_range(each):
    assert each.specifier.contains(locked()[plain(each.name)])


def test_every_locked_package_has_its_digests():
    entries = re.split(r"^(?=\S+==)", LOCKED, flags=re.MULTILINE)
    assert not [entry for entry in entries if "==" in entry and "sha256:" not in entry]


def test_what_an_installation_brings_is_locked():
    assert set(needed()) <= set(locked())


def test_every_package_is_listed_with_the_license_it_states():
    """Versions differ between machines and with them words of a license; what is needed, and that something is stated, does not."""
    listed = (ROOT / "docs" / "licenses.md").read_text(encoding="utf-8")
    assert {line.split("|")[1] for line in listed.splitlines()[7:]} == {line.split("|")[1] for line in table().splitlines()[7:]}
    assert "not stated" not in listed
