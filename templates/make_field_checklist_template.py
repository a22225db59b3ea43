"""Makes ``templates/field_checklist.docx``, the template of the field checklist, so that it can be reviewed as text.

Run ``python templates/make_field_checklist_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

# ruff: noqa: SLF001  # the library has no public way to take an empty paragraph away

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document
from docx.shared import Mm

sys.path.insert(0, str(Path(__file__).parent))

from template_page import add_facts, add_page
from template_parts import Words, control, control_row, line, muted, paragraph, row, shade, table, with_condition, with_loop
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
    paragraph(document, "Normal", "{{ intro }}")
    paragraph(document, "heading 2", "Before you start")
    with_loop(document, "caution in title.cautions", lambda: paragraph(document, "List Bullet", "{{ caution }}"))
    paragraph(document, "caption", "Where lines come from: {{ bases }}.")
    paragraph(document, "Deference", "{{ title.deference }}")


def _sections(document: Any) -> None:
    rows = table(document, (112.9, 46, 17), "Dense Table", ("Check", "Found", "By, date"))
    control_row(rows, "{%tr for row in rows %}")
    for index, kind in enumerate(("section", "held", "wide", "pair", "entry")):
        control_row(rows, f'{{%tr {"elif" if index else "if"} row.kind == "{kind}" %}}')
        _row(rows, kind)
    control_row(rows, "{%tr endif %}")
    control_row(rows, "{%tr endfor %}")
    control(document, "{%p for section in instructions %}")
    paragraph(document, "heading 2", "{{ section.heading }}")
    with_condition(document, "section.intro", lambda: paragraph(document, "caption", "{{ section.intro }}"))
    paragraph(document, "Dense body", "{{ section.steps }}")
    control(document, "{%p endfor %}")


def _row(rows: Any, kind: str) -> None:
    """Add one kind of row: the head of a section on a ground of its own, words over all columns, room in two of them or in each."""
    style = "Table fact" if kind in ("section", "held") else "Dense text"
    found = line(*_runs("row.found"), style="Dense text") if kind in ("pair", "entry") else None
    made = row(rows, line(*_runs("row.what"), style=style), found)
    if found is not None:
        made.height = Mm(6.5)
    if kind != "entry":
        joined = made.cells[1 if kind == "pair" else 0].merge(made.cells[2])
        for empty in joined.paragraphs[1:]:
            empty._p.getparent().remove(empty._p)
        if kind == "section":
            shade(joined, "EBEBEB")


def _runs(field: str) -> tuple[Words, ...]:
    """Return runs that print pieces of text, each in the style of its kind."""
    piece = "{{ piece.text }}"
    return (
        f"{{%r for piece in {field} %}}",
        '{%r if piece.kind == "strong" %}',
        (piece, "Strong"),
        '{%r elif piece.kind == "muted" %}',
        (piece, "Muted"),
        "{%r else %}",
        piece,
        "{%r endif %}",
        "{%r endfor %}",
    )


if __name__ == "__main__":
    main()
