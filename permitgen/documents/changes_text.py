"""A comparison as plain text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.changes import Comparison

_HEADINGS = {"verdict": "Verdicts", "number": "Numbers", "circuit": "Circuits", "label": "Labels", "section": "Section numbers"}


def changes_report(comparison: Comparison) -> str:
    """Return what changes, grouped by where it shows."""
    lines = [f"{comparison.before}  →  {comparison.after}"]
    if not comparison.changes:
        return "\n".join([*lines, "nothing changes"])
    for part, heading in _HEADINGS.items():
        found = [change for change in comparison.changes if change.part == part]
        if not found:
            continue
        lines += ["", f"{heading}: {len(found)}"]
        for change in found:
            lines += [f"  {change.subject}  {change.what}", f"    was  {change.before}", f"    now  {change.after}"]
            if change.why and part == "verdict":
                lines.append(f"    {change.why}")
    lines += ["", f"{comparison.new_violations} new FAILS"]
    return "\n".join(lines)
