"""Makes ``templates/field_checklist.docx``, the template of the field checklist, so that it can be reviewed as text.

Run ``python templates/make_field_checklist_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document

sys.path.insert(0, str(Path(__file__).parent))

from template_page import add_facts, add_page
from template_parts import control, control_row, line, loop, muted, paragraph, row, table, with_condition, with_loop
from template_styles import add_styles, packed


def main() -> None:
    """Write the template beside this script."""
    (Path(__file__).parent / "field_checklist.docx").write_bytes(template())


def template() -> bytes:
    """Return the template file; the same bytes each time."""
    document = Document()
    add_styles(document)
    add_page(document, "Field checklist", says_violations=False)
    _front(document)
    _sections(document)
    return packed(document, "Field checklist")


def _front(document: Any) -> None:
    paragraph(document, "Title", "Field checklist")
    paragraph(document, "Subtitle", "{{ title.project }}")
    facts = add_facts(document, (34, 141.9))
    row(facts, muted("Done by, tool numbers, dates"), line(""))
    document.add_paragraph(style="Gap")
    with_condition(
        document, "title.has_violations", lambda: paragraph(document, "Status", ("✗ ", "Verdict violated"), "{{ title.status }}")
    )
    paragraph(
        document,
        "Normal",
        "A line without an entry is not done; it is never a pass. Write “not tested” and the reason where a test could not be made. "
        "Strike a wrong entry through once, so that it stays readable, and write the new one beside it.",
    )
    paragraph(document, "heading 2", "Before you start")
    with_loop(document, "caution in title.cautions", lambda: paragraph(document, "List Bullet", "{{ caution }}"))
    paragraph(document, "heading 2", "Source codes")
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
