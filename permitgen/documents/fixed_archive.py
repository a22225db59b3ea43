"""Packs the parts of an office document so that the same parts give the same bytes."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

_DATE = (1980, 1, 1, 0, 0, 0)
_FIRST = "[Content_Types].xml"


def rezipped(content: bytes, replaced: Mapping[str, bytes] | None = None) -> bytes:
    """Return an archive packed again in fixed order, with a fixed date and fixed attributes; ``replaced`` are parts that change."""
    written = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as source, zipfile.ZipFile(written, "w") as target:
        for name in sorted(source.namelist(), key=lambda name: (name != _FIRST, name)):
            entry = zipfile.ZipInfo(name, _DATE)
            entry.compress_type, entry.create_system, entry.external_attr = zipfile.ZIP_DEFLATED, 3, 0o600 << 16
            target.writestr(entry, (replaced or {}).get(name) or source.read(name))
    return written.getvalue()
