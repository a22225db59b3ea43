"""Links inside a DOCX, by character style: a run in a *link* style leads to the run in the *target* style with the same text.

Word processors refuse bookmarks with template expressions in their names, so a template that people can open and restyle
cannot hold them. It holds styled runs instead, and the bookmarks are made once the template is filled.
"""

from __future__ import annotations

from typing import Any

from docx.oxml import OxmlElement
from docx.oxml.ns import qn

TARGET_STYLES = {"StepNumber": "step", "SubjectTag": "subject", "SectionTitle": "section"}
LINK_STYLES = {"StepLink": "step", "SubjectLink": "subject", "SectionLink": "section"}


def link_references(document: Any) -> None:
    """Put a bookmark around the first target of each text and a hyperlink around every run that refers to one."""
    targets: dict[tuple[str, str], str] = {}
    links: list[tuple[Any, tuple[str, str]]] = []
    for found in list(document.iter(qn("w:rStyle"))):
        style, run = found.get(qn("w:val")), found.getparent().getparent()
        if style not in TARGET_STYLES and style not in LINK_STYLES:
            continue
        text = "".join(piece.text or "" for piece in run.iter(qn("w:t"))).strip()
        if style in TARGET_STYLES:
            key = (TARGET_STYLES[style], text)
            if text and key not in targets:
                targets[key] = f"{key[0]}_{len(targets) + 1}"
                _add_bookmark(run, targets[key], len(targets))
        else:
            links.append((run, (LINK_STYLES[style], text)))
    for run, key in links:
        if key in targets:
            _add_hyperlink(run, targets[key])


def _add_bookmark(run: Any, name: str, number: int) -> None:
    start, end = OxmlElement("w:bookmarkStart"), OxmlElement("w:bookmarkEnd")
    start.set(qn("w:id"), str(number))
    start.set(qn("w:name"), name)
    end.set(qn("w:id"), str(number))
    run.addprevious(start)
    run.addnext(end)


def _add_hyperlink(run: Any, bookmark: str) -> None:
    link = OxmlElement("w:hyperlink")
    link.set(qn("w:anchor"), bookmark)
    run.addprevious(link)
    link.append(run)
