"""Makes ``templates/calculation.docx``, the template of the reviewer's calculation, so that it can be reviewed as text.

Run ``python templates/make_calculation_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document
from docx.oxml.ns import qn
from docx.shared import Pt

sys.path.insert(0, str(Path(__file__).parent))

from template_page import add_page
from template_parts import Words, control, line, loop, muted, paragraph, row, table, verdict, with_condition, with_loop
from template_styles import add_styles, packed

NAME = "Electrical calculation"


def main() -> None:
    """Write the template beside this script."""
    (Path(__file__).parent / "calculation.docx").write_bytes(template())


def template() -> bytes:
    """Return the template file; the same bytes each time."""
    document = Document()
    add_styles(document)
    add_page(document, NAME, lies=True)
    _front(document)
    control(document, "{%p for section in sections %}")
    _heading(document, ("{{ section.heading }}", "Section Title"), ("  {{ section.sheet }}", "Muted"))
    with_condition(document, "section.note", lambda: paragraph(document, "caption", "{{ section.note }}"))
    with_condition(document, "section.circuits", lambda: _circuits(document))
    with_loop(document, "load in section.loads", lambda: _load(document))
    with_condition(document, "section.lines", lambda: _checks(document))
    with_condition(document, "section.also", lambda: _also(document))
    with_condition(document, "section.assumptions", lambda: _assumptions(document))
    control(document, "{%p endfor %}")
    _index(document)
    paragraph(document, "caption", "{{ to_confirm }}")
    _made_dense(document)
    return packed(document, NAME)


def _heading(document: Any, *words: Words) -> None:
    """Add the heading of a section; this document has many short ones, so they stand closer than those of others."""
    made = paragraph(document, "heading 1", *words)
    made.paragraph_format.space_before, made.paragraph_format.space_after = Pt(9), Pt(2)


_DENSE = {"Table text": "Dense text", "Table head": "Dense head", "Table number": "Dense number", "Table center": "Dense center"}


def _made_dense(document: Any) -> None:
    """Set every table in the smaller type of long rows."""
    for rows in document.tables:
        for words in rows._tbl.iter(qn("w:pStyle")):  # noqa: SLF001  the library walks merged cells twice
            words.set(qn("w:val"), _STYLE_ID.get(words.get(qn("w:val")), words.get(qn("w:val"))))


_STYLE_ID = {was.title().replace(" ", ""): now.title().replace(" ", "") for was, now in _DENSE.items()}
_STYLE_ID["TableHeadRight"] = "DenseNumber"


def _front(document: Any) -> None:
    paragraph(document, "Title", NAME)
    paragraph(document, "Subtitle", "{{ title.project }}")
    with_condition(document, "title.description", lambda: paragraph(document, "Normal", "{{ title.description }}"))
    fact = (("{{ fact.name }} ", "Muted"), "{{ fact.value }}", "{%r if not loop.last %}", "   ·   ", "{%r endif %}")
    paragraph(document, "Normal", "{%r for fact in title.facts %}", *fact, "{%r endfor %}")
    paragraph(document, "Status", "{%r if title.has_violations %}", ("✗ ", "Verdict violated"), "{%r endif %}", "{{ title.status }}")
    paragraph(document, "Normal", "{{ standing }}")
    paragraph(document, "heading 2", "Where to find it")
    rows = table(document, (110, 110, 37.4), "Dense Table", ("Question", "Section", "Sheet"))
    link = line(("{{ question.heading }}", "Section Link"))
    loop(rows, "question in questions", line("{{ question.text }}"), link, line("{{ question.sheet }}"))
    cautions = ("{%r for caution in title.cautions %}", "{{ caution }} ", "{%r endfor %}")
    paragraph(document, "Dense body", *cautions, "{{ title.deference }}")


def _circuits(document: Any) -> None:
    heads = (
        "Circuit, from → to",
        "Current, required",
        "Device",
        "Conductors",
        "Table ampacity",
        "Ambient and count factors",
        "After factors",
        "Terminals carry",
        "Equipment ground, and why",
        "Drop or rise",
        "Raceway, fill of permitted",
    )
    rows = table(document, (38, 24, 29, 24, 14, 19, 13.5, 15, 28.5, 20.5, 31.9), "Dense Table", heads)
    result = verdict("circuit").words[:-1]
    named = (line(*result, ("{{ circuit.tag }}", "Strong"), " {{ circuit.name }}{{ circuit.star }}"), muted("{{ circuit.path }}"))
    current = (
        line("{{ circuit.current }} ", ("{{ circuit.basis }}", "Muted")),
        line("{% if circuit.required != circuit.current %}{{ circuit.required }} {% endif %}", ("{{ circuit.asked }}", "Muted")),
    )
    factors = (line("{{ circuit.ambient }}"), line("{{ circuit.count }}"))
    ground = line("{{ circuit.ground }} ", ("{{ circuit.why }}", "Muted"))
    parts = {name: line(f"{{{{ circuit.{name} }}}}") for name in ("device", "conductors", "table", "corrected", "terminal", "drop")}
    runs = line("{% for each in circuit.runs %}{{ each.run }}{% if not loop.last %}\n{% endif %}{% endfor %}")
    loop(
        rows,
        "circuit in section.circuits",
        named,
        current,
        parts["device"],
        parts["conductors"],
        parts["table"],
        factors,
        parts["corrected"],
        parts["terminal"],
        ground,
        parts["drop"],
        runs,
    )


def _load(document: Any) -> None:
    paragraph(document, "heading 3", "{{ load.title }}, {{ load.section }}")
    heads = ("Term", ">Connected", ">Factor", ">Counted", "Section")
    rows = table(document, (110, 32, 22, 32, 61.4), "Dense Table", heads)
    numbers = (line(f"{{{{ term.{name} }}}}", style="Table number") for name in ("connected", "factor", "counted"))
    loop(rows, "term in load.terms", line("{{ term.term }}"), *numbers, line("{{ term.section }}"))
    total = line(("{{ load.total }}", "Strong"), style="Table number")
    carried = line("{{ load.current }}{% if load.capacity %}, {{ load.capacity }} available{% endif %}")
    row(rows, line(("Sum", "Strong")), None, None, total, carried)
    document.add_paragraph(style="Gap")


def _checks(document: Any) -> None:
    heads = ("Subject", "Requirement", ">Found", "", "Limit", "Section", "Result")
    rows = table(document, (38, 95.4, 24, 6, 24, 42, 28), "Dense Table", heads)
    text = line("{% if line.is_part %}– {% endif %}{{ line.message }}")
    result = verdict("line")
    styles = (("computed", "Table number"), ("relation", "Table center"), ("limit", "Table text"))
    numbers = (line(f"{{{{ line.{name} }}}}", style=style) for name, style in styles)
    section = line("{{ line.section }}{{ line.star }}")
    loop(rows, "line in section.lines", line(("{{ line.subject }}", "Strong")), text, *numbers, section, result)
    document.add_paragraph(style="Gap")


def _also(document: Any) -> None:
    each = (("{{ each.subject }}", "Strong"), " {{ each.message }}", (" ({{ each.section }}{{ each.star }})", "Muted"))
    separator = ("{%r if not loop.last %}", "; ", "{%r endif %}")
    paragraph(document, "Dense body", ("Also met: ", "Strong"), "{%r for each in section.also %}", *each, *separator, "{%r endfor %}", ".")


def _assumptions(document: Any) -> None:
    each = ("{{ each.title }}: ", ("{{ each.value }}", "Strong"), (" ({{ each.reason }})", "Muted"))
    separator = ("{%r if not loop.last %}", "; ", "{%r endif %}")
    paragraph(document, "Dense body", "{%r for each in section.assumptions %}", *each, *separator, "{%r endfor %}", ".")


def _index(document: Any) -> None:
    _heading(document, "Index by section")
    place = (("{{ place.heading }}", "Section Link"), "{%r if not loop.last %}", ", ", "{%r endif %}")
    entry = (
        ("{{ entry.section }} ", "Strong"),
        "{%r for place in entry.places %}",
        *place,
        "{%r endfor %}",
        "{%r if not loop.last %}",
        "  ·  ",
        "{%r endif %}",
    )
    paragraph(document, "Dense body", "{%r for entry in index %}", *entry, "{%r endfor %}")


if __name__ == "__main__":
    main()
