"""Makes ``templates/review_reply.docx``, the template of the reply to the plan review, so that it can be reviewed as text.

Run ``python templates/make_review_reply_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

# ruff: noqa: SLF001  # the library has no public way to the XML of rows

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document
from docx.oxml.ns import qn

sys.path.insert(0, str(Path(__file__).parent))

from template_page import add_cautions, add_facts, add_page
from template_parts import control_row, line, paragraph, row, table
from template_styles import add_styles, packed


def main() -> None:
    """Write the template beside this script."""
    (Path(__file__).parent / "review_reply.docx").write_bytes(template())


def template() -> bytes:
    """Return the template file; the same bytes each time."""
    document = Document()
    add_styles(document)
    add_page(document, "Reply to plan review")
    _front(document)
    _answers(document)
    add_cautions(document)
    return packed(document, "Reply to plan review")


def _front(document: Any) -> None:
    paragraph(document, "Title", "Reply to plan review")
    paragraph(document, "Subtitle", "{{ title.project }}")
    add_facts(document, (38, 137.9))
    document.add_paragraph(style="Gap")
    mark = ("{%r if title.has_violations %}", ("✗ ", "Verdict violated"), "{%r endif %}")
    paragraph(document, "Status", ("Rules: ", "Strong"), *mark, "{{ title.status }}")
    waiting = ("{%r if has_unanswered %}", ("○ ", "Verdict other"), "{%r endif %}")
    paragraph(document, "Status", ("Comments: ", "Strong"), *waiting, "{{ standing }}")


def _answers(document: Any) -> None:
    paragraph(document, "heading 1", "Comments and answers")
    rows = table(document, (9, 69, 72.9, 25), "Calculation Table", ("No.", "Comment of the reviewer", "Our answer", "Sheet"))
    control_row(rows, "{%tr for answer in answers %}")
    control_row(rows, "{%tr if answer.is_answered %}")
    comment = (
        line("{{ answer.comment }}"),
        line(("{% if answer.by %}By {{ answer.by }}{% else %}Reviewer not stated{% endif %}", "Muted")),
    )
    sheet = (line(("{{ answer.sheet }}", "Strong")), line(("{{ answer.sheet_title }}", "Muted")))
    number = line(("{{ answer.number }}", "Strong"))
    _breakable(row(rows, number, comment, line("{{ answer.answer }}"), sheet))
    control_row(rows, "{%tr else %}")
    _breakable(row(rows, number, comment, line(("○ {{ answer.answer }}", "Verdict other")), sheet))
    control_row(rows, "{%tr endif %}")
    control_row(rows, "{%tr endfor %}")


def _breakable(made: Any) -> None:
    """Let a row run on over the page: a comment may be longer than one."""
    for mark in made._tr.trPr.findall(qn("w:cantSplit")):
        made._tr.trPr.remove(mark)


if __name__ == "__main__":
    main()
