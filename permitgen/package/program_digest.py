"""What this program is made of, as one digest: whatever was drawn by another one is drawn again."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from permitgen import __version__
from permitgen.documents.resources import shipped_folder

LIBRARIES = (
    "click",
    "docxtpl",
    "ezdxf",
    "jinja2",
    "openpyxl",
    "pillow",
    "pint",
    "pydantic",
    "pypdf",
    "pypdfium2",
    "pyyaml",
    "qrcode",
    "reportlab",
    "rich",
    "rl_accel",
)
"""Libraries on which the program depends, the extra ``dxf`` among them (``pyproject.toml``): their versions show in what they write."""


@cache
def program_digest() -> str:
    """Return the hex SHA-256 over the version, every file of the program and its templates, and the versions of its libraries.

    The version alone would not do: whoever changes a rule of an installed program wants the next build to follow it.
    """
    digest = hashlib.sha256(f"permitgen {__version__}\n".encode())
    for name in LIBRARIES:
        digest.update(f"{name} {_version(name)}\n".encode())
    for top in (Path(__file__).resolve().parents[1], shipped_folder("templates"), shipped_folder("label_specs")):
        for path in sorted(top.rglob("*")):
            if "__pycache__" not in path.parts and path.is_file():
                digest.update(f"{path.relative_to(top).as_posix()}\n".encode())
                digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "none"
