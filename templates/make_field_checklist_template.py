"""Makes ``templates/field_checklist.docx``, the template of the field checklist, so that it can be reviewed as text.

Run ``python templates/make_field_checklist_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document
from docx.enum.text import WD_TAB_ALIGNMENT
from docx.shared import Mm

sys.path.insert(0, str(Path(__file__).parent))

from template_parts import add_runs, control, control_row, field, line, loop, muted, paragraph, row, table, with_condition, with_loop
from template_styles import add_styles, packed

WIDTH_MM = 175.9


def main() -> None:
    """Write the template beside this script."""
    (Path(__file__).parent / "field_checklist.docx").write_bytes(template())


def template() -> bytes:
    """Return the template file; the same bytes each time."""
    document = Document()
    add_styles(document)
    _page(document)
    _front(document)
    _sections(document)
    return packed(document, "Field checklist")


def _page(document: Any) -> None:
    section = document.sections[0]
    section.page_width, section.page_height = Mm(215.9), Mm(279.4)
    section.left_margin, section.right_margin, section.top_margin, section.bottom_margin = Mm(22), Mm(18), Mm(24), Mm(22)
    section.header_distance, section.footer_distance = Mm(11), Mm(10)
    section.header.paragraphs[0].text = "Field checklist · {{ title.project }}"
    footer = section.footer.paragraphs[0]
    footer.paragraph_format.tab_stops.add_tab_stop(Mm(WIDTH_MM), WD_TAB_ALIGNMENT.RIGHT)
    add_runs(footer, ("{{ title.footer }}", "\tPage "))
    field(footer, "PAGE", "1")
    add_runs(footer, (" of ",))
    field(footer, "NUMPAGES", "1")


def _front(document: Any) -> None:
    paragraph(document, "Title", "Field checklist")
    paragraph(document, "Subtitle", "{{ title.project }}")
    facts = table(document, (34, 141.9), "Plain Rows")
    loop(facts, "fact in title.facts", muted("{{ fact.name }}"), line("{{ fact.value }}"))
    row(facts, muted("Done by, tool numbers, dates"), line(""))
    document.add_paragraph(style="Gap")
    with_condition(
        document, "title.has_violations", lambda: paragraph(document, "Status", ("✗ ", "Verdict violated"), "{{ title.status }}")
    )
    paragraph(
        document,
        "Normal",
        "A line without an entry is not done; it is never a pass. Write “not tested” with the reason where a test could not be made. "
        "Strike a wrong entry through once, so that it stays readable, and write the new one beside it.",
    )
    paragraph(document, "heading 2", "Before you start")
    with_loop(document, "caution in title.cautions", lambda: paragraph(document, "List Bullet", "{{ caution }}"))
    paragraph(document, "heading 2", "Where lines come from")
    bases = table(document, (18, 157.9), "Plain Rows")
    loop(bases, "base in bases", line(("{{ base.basis }}", "Strong")), line("{{ base.words }}"))
    paragraph(document, "Deference", "{{ title.deference }}")


def _sections(document: Any) -> None:
    control(document, "{%p for section in sections %}")
    paragraph(document, "heading 1", "{{ section.heading }}")
    with_condition(document, "section.intro", lambda: paragraph(document, "Normal", "{{ section.intro }}"))
    rows = table(document, (82, 34, 38, 21.9), "Calculation Table", ("Check", "Expected", "Found", "By, date"))
    control_row(rows, "{%tr for line in section.lines %}")
    control_row(rows, "{%tr if line.group %}")
    row(rows, line(("{{ line.group }}", "Strong")))
    control_row(rows, "{%tr endif %}")
    lead = "{% if line.lead %}{{ line.lead }}  {% endif %}"
    small = line(("{{ line.small }}{% if line.photo %} · photo{% endif %}", "Muted"))
    expected = (line(("{{ line.expected }}", "Strong")), line("{{ line.limit }}"))
    row(rows, (line((lead, "Strong"), "{{ line.what }}"), small), expected, line("{{ line.found }}"), line(""))
    control_row(rows, "{%tr endfor %}")
    control(document, "{%p endfor %}")


if __name__ == "__main__":
    main()
