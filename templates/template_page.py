"""What the templates share: page, header and footer, facts of the title block, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from docx.enum.section import WD_ORIENT
from docx.enum.text import WD_TAB_ALIGNMENT
from docx.shared import Mm
from template_parts import add_runs, field, line, loop, muted, paragraph, table, with_loop

WIDTH_MM = 175.9
LYING_WIDTH_MM = 257.4


def add_page(document: Any, name: str, *, says_violations: bool = True, lies: bool = False) -> None:
    """Lay out a letter page, upright or lying; the header says the document's name, and in violation of what it stands."""
    section = document.sections[0]
    section.page_width, section.page_height = (Mm(279.4), Mm(215.9)) if lies else (Mm(215.9), Mm(279.4))
    sides = (Mm(11), Mm(11), Mm(20), Mm(18)) if lies else (Mm(22), Mm(18), Mm(24), Mm(22))
    section.left_margin, section.right_margin, section.top_margin, section.bottom_margin = sides
    if lies:
        section.orientation = WD_ORIENT.LANDSCAPE
    section.header_distance, section.footer_distance = Mm(11), Mm(10)
    _header(section.header, f"{name} · {{{{ title.project }}}}", says_violations=says_violations)
    footer = section.footer.paragraphs[0]
    footer.paragraph_format.tab_stops.add_tab_stop(Mm(LYING_WIDTH_MM if lies else WIDTH_MM), WD_TAB_ALIGNMENT.RIGHT)
    add_runs(footer, ("{{ title.footer }}", "\tPage "))
    field(footer, "PAGE", "1")
    add_runs(footer, (" of ",))
    field(footer, "NUMPAGES", "1")


def _header(header: Any, words: str, *, says_violations: bool) -> None:
    if not says_violations:
        header.paragraphs[0].text = words
        return
    header.paragraphs[0].text = "{%p if title.has_violations %}"
    paragraph(header, "Violation line", "✗ {{ title.status }}")
    paragraph(header, "header", "{%p endif %}")
    paragraph(header, "header", words)


def add_facts(document: Any, widths_mm: Sequence[float]) -> Any:
    """Add the facts of the title block as a table and return it."""
    facts = table(document, widths_mm, "Plain Rows")
    loop(facts, "fact in title.facts", muted("{{ fact.name }}"), line("{{ fact.value }}"))
    return facts


def add_cautions(document: Any) -> None:
    """Add the cautions and the sentence that defers to code, authority and licensed practice."""
    paragraph(document, "heading 2", "Cautions")
    with_loop(document, "caution in title.cautions", lambda: paragraph(document, "List Bullet", "{{ caution }}"))
    paragraph(document, "Deference", "{{ title.deference }}")
