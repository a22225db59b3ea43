"""The sheet for the day of adoption as plain text: one page for a terminal or a printer."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.views.adoption import AdoptionLine, AdoptionSheet

_WIDTH = 132


def adoption_report(sheet: AdoptionSheet) -> str:
    """Return the sheet: what changes, what may be relaxed, what to look up, what moves, what was not read; the sources at its end."""
    sources: dict[str, int] = {}
    head = f"{sheet.before}  →  {sheet.after}   {sheet.project}"
    lines = [head, f"The text of {sheet.after} was not read for this program. Each line says how it is known; [1] names who reports it."]
    lines += [part for count in sheet.counts for part in textwrap.wrap(count, _WIDTH)]
    for title, rows in (
        ("Another verdict or figure", sheet.results),
        ("Another size", sheet.sizes),
        ("Reported as changed", sheet.changed),
        ("Reported as permitted, not relied on", sheet.relaxed),
        ("Reported, not computed here: look it up", sheet.by_hand),
        ("Other section numbers", sheet.moved),
        ("Labels", sheet.labels),
        (f"Not met or not known under {sheet.before}, and not read since", sheet.open_before),
    ):
        lines += _part(title, rows, sources)
    unread = "; ".join(f"{line.about}: {line.says}" for line in sheet.unread)
    lines += ["", f"Not read: the results under {sheet.before}, by article", *_wrapped(unread or "nothing")]
    lines += ["", "Sources", *_wrapped("  ".join(f"[{number}] {source}" for source, number in sources.items()) or "none")]
    return "\n".join([*lines, "", f"{sheet.new_violations} new FAILS"])


def _part(title: str, rows: Sequence[AdoptionLine], sources: dict[str, int]) -> list[str]:
    shown = [line for row in rows for line in _wrapped(_words(row, sources))]
    return ["", title, *(shown or ["  none"])]


def _words(row: AdoptionLine, sources: dict[str, int]) -> str:
    named = [sources.setdefault(source, len(sources) + 1) for source in dict.fromkeys(row.source.split("; ")) if source]
    marks = "".join(f"[{number}]" for number in named)
    says = f": {row.says}" if row.says else ""
    return f"{row.about}{says} · {row.grade} {marks}".rstrip()


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent="  ", subsequent_indent="    ", break_long_words=False, break_on_hyphens=False)
