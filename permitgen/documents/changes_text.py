"""A comparison as plain text for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.changes import Comparison
    from permitgen.views.document_list import DocumentChanges, ListedDocument

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


def documents_report(changes: DocumentChanges) -> str:
    """Return which labels, plates, sheets and pages are old now, each with the ID that replaces it, and how many remain good."""
    lines = [f"Documents: {len(changes.old)} old, {len(changes.new)} new, {len(changes.good)} remain good"]
    lines += [f"  old   {_listed(each)}" + (f"; now {now}" if now else "; nothing in its place") for each, now in changes.old]
    lines += [f"  new   {_listed(each)}" for each in changes.new]
    lines += [f"  good  {_listed(each)}" for each in changes.good]
    return "\n".join(lines)


def _listed(each: ListedDocument) -> str:
    where = ", ".join(part for part in (each.tag, each.place) if part)
    return f"{each.document_id}  {each.kind}  {each.name}" + (f" ({where})" if where else "")
