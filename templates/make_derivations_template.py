"""Makes ``templates/derivations.docx``, the template of the calculation sheet, so that it can be reviewed as text.

Run ``python templates/make_derivations_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from docx import Document

sys.path.insert(0, str(Path(__file__).parent))

from template_page import add_cautions, add_facts, add_page
from template_parts import (
    Line,
    control,
    control_row,
    field_marks,
    fill_cell,
    formula,
    line,
    loop,
    muted,
    paragraph,
    row,
    row_if,
    table,
    verdict,
    with_condition,
    with_loop,
)
from template_styles import add_styles, packed


def main() -> None:
    """Write the template beside this script."""
    (Path(__file__).parent / "derivations.docx").write_bytes(template())


def template() -> bytes:
    """Return the template file; the same bytes each time."""
    document = Document()
    add_styles(document)
    add_page(document, "Derivations of the electrical calculation")
    _front(document)
    _findings(document)
    _choices(document)
    _assumptions(document)
    _circuits(document)
    _subjects(document)
    _readings(document)
    return packed(document, "Derivations of the electrical calculation")


def _front(document: Any) -> None:
    paragraph(document, "Title", "Derivations of the electrical calculation")
    paragraph(document, "Subtitle", "{{ title.project }}")
    with_condition(document, "title.description", lambda: paragraph(document, "Normal", "{{ title.description }}"))
    add_facts(document, (34, 141.9))
    document.add_paragraph(style="Gap")
    paragraph(document, "Status", "{%r if title.has_violations %}", ("✗ ", "Verdict violated"), "{%r endif %}", "{{ title.status }}")
    number = ("{{ count.number }}", "Strong")
    separator = ("{%r if not loop.last %}", "   ·   ", "{%r endif %}")
    paragraph(document, "Status", "{%r for count in counts %}", number, " {{ count.verdict_word }}", *separator, "{%r endfor %}")
    add_cautions(document)
    paragraph(document, "heading 2", "Contents")
    # A table of contents that word processors can update, filled with links to begin with.
    field_marks(document.add_paragraph(style="Gap"), "begin", r' TOC \o "1-1" \h \z \u ', "separate")
    with_loop(document, "heading in sections.all", lambda: paragraph(document, "toc 1", ("{{ heading }}", "Section Link")))
    field_marks(document.add_paragraph(style="Gap"), "end")


def _section(document: Any, words: str) -> None:
    paragraph(document, "heading 1", (words, "Section Title"))


def _findings(document: Any) -> None:
    _section(document, "{{ sections.findings }}")
    with_condition(document, "not findings", lambda: paragraph(document, "Normal", "✓ {{ notes.nothing_open }}"))
    control(document, "{%p for kind in findings %}")
    paragraph(document, "heading 2", "{{ kind.heading }}: {{ kind.number }}")
    control(document, "{%p for finding in kind.findings %}")
    title = "{% if finding.at %}, {{ finding.at }}{% endif %}: {{ finding.title }}"
    paragraph(document, "heading 3", ("{{ finding.tag }}", "Subject Link"), title)
    rows = table(document, (28, 112, 35.9), "Plain Rows")
    row(rows, muted("Verdict"), verdict("finding"), line("{{ finding.section }}", style="Table number"))
    row_if(rows, "finding.message", muted("Message"), line("{{ finding.message }}"))
    row_if(rows, "finding.comparison", muted("Computed"), line(("{{ finding.comparison }}", "Strong")))
    compared = "{% if way.comparison %}   {{ way.comparison }}{% endif %}"
    way = line("{{ way.name }}", ("{{ way.message }}", "Muted"), compared)
    loop(rows, "way in finding.ways", verdict("way"), way, line(("{{ way.section }}", "Muted"), style="Table number"))
    loop(rows, "fact in finding.missing", muted("Missing"), line("{{ fact }}"))
    loop(rows, "change in finding.suggestions", muted("Passes with"), line("{{ change }}"))
    row_if(rows, "finding.places", muted("Written at"), line("{{ finding.places }}"))
    control(document, "{%p endfor %}")
    control(document, "{%p endfor %}")


def _choices(document: Any) -> None:
    _section(document, "{{ sections.choices }}")
    with_condition(document, "not choices", lambda: paragraph(document, "Normal", "{{ notes.nothing_chosen }}"))
    control(document, "{%p if choices %}")
    paragraph(document, "caption", "{{ notes.choices }}")
    rows = table(document, (16, 48, 23, 20, 68.9), "Calculation Table", ("Tag", "What", "Chosen", "Refused", "Governed by"))
    tag, chosen = line(("{{ choice.tag }}", "Subject Link")), line(("{{ choice.chosen }}", "Strong"))
    loop(rows, "choice in choices", tag, line("{{ choice.what }}"), chosen, line("{{ choice.refused }}"), line("{{ choice.reason }}"))
    control(document, "{%p endif %}")


def _assumptions(document: Any) -> None:
    _section(document, "{{ sections.assumptions }}")
    with_condition(document, "not assumptions", lambda: paragraph(document, "Normal", "{{ notes.nothing_assumed }}"))
    control(document, "{%p if assumptions %}")
    paragraph(document, "caption", "{{ notes.assumptions }}")
    rows = table(document, (75, 26, 74.9), "Calculation Table", ("Quantity", ">Value", "Reason"))
    value = line("{{ assumption.value }}", style="Table number")
    loop(rows, "assumption in assumptions", line("{{ assumption.title }}"), value, line("{{ assumption.reason }}"))
    control(document, "{%p endif %}")


def _circuits(document: Any) -> None:
    _section(document, "{{ sections.circuits }}")
    heads = ("Tag", "Circuit, path, kind", "Overcurrent device", "Conductors", "Run", "Verdict")
    rows = table(document, (13, 48, 31, 35, 26, 22.9), "Calculation Table", heads)
    named = (line(("{{ circuit.name }}", "Strong")), muted("{{ circuit.path }}"), muted("{{ circuit.role }}"))
    parts = (line(f"{{{{ circuit.{name} }}}}") for name in ("device", "conductors", "raceway"))
    loop(rows, "circuit in circuits", line(("{{ circuit.tag }}", "Subject Link")), named, *parts, verdict("circuit"))


def _subjects(document: Any) -> None:
    control(document, "{%p for group in groups %}")
    _section(document, "{{ group.section }}")
    with_condition(document, "loop.first", lambda: paragraph(document, "caption", "{{ notes.steps }}"))
    control(document, "{%p for block in group.blocks %}")
    paragraph(document, "heading 2", ("{{ block.tag }}", "Subject Tag"), "  {{ block.name }}")
    control(document, "{%p if block.facts %}")
    facts = table(document, (28, 147.9), "Plain Rows")
    name = line(("{{ fact.name }}", "Muted"), style="Table fact")
    loop(facts, "fact in block.facts", name, line("{{ fact.value }}", style="Table fact"))
    document.add_paragraph(style="Gap kept")
    control(document, "{%p endif %}")
    control(document, "{%p if block.checks %}")
    _checks(document)
    document.add_paragraph(style="Gap")
    control(document, "{%p endif %}")
    with_condition(document, "block.steps", lambda: _steps(document))
    control(document, "{%p endfor %}")
    control(document, "{%p endfor %}")


def _checks(document: Any) -> None:
    heads = ("Requirement", ">Computed", "", "Limit", "Section", "Verdict")
    rows = table(document, (77.9, 22, 6, 22, 24, 24), "Calculation Table", heads)
    control_row(rows, "{%tr for check in block.checks %}")
    message = ("{% if check.message %}\n{{ check.message }}{% endif %}", "Muted")
    _compared(rows, "check", line(("{{ check.title }}", "Strong"), message))
    control_row(rows, "{%tr for part in check.parts %}")
    _compared(rows, "part", line("{{ part.name }}", ("{{ part.message }}", "Muted"), style="Table part"))
    control_row(rows, "{%tr endfor %}")
    control_row(rows, "{%tr endfor %}")


def _compared(rows: Any, name: str, words: Line) -> None:
    styles = (("computed", "Table number"), ("relation", "Table center"), ("limit", "Table text"), ("section", "Table text"))
    row(rows, words, *(line(f"{{{{ {name}.{part} }}}}", style=style) for part, style in styles), verdict(name))


def _steps(document: Any) -> None:
    rows = table(document, (11, 25, 27, 55.9, 57), "Plain Rows")
    control_row(rows, "{%tr for step in block.steps %}")
    control_row(rows, "{%tr if step.is_first %}")
    number = line(("{{ step.number }}", "Step Number"), style="Step title")
    section = line("{{ step.section }}", style="Step section")
    head = row(rows, number, line(("{{ step.title }}", "Strong"), style="Step title"), None, None, section)
    head.cells[1].merge(head.cells[3])
    sides = row(rows)
    fill_cell(sides.cells[1].merge(sides.cells[4]), line(*formula("step.equation"), style="Step equation"))
    control_row(rows, "{%tr for given in step.inputs %}")
    control_row(rows, "{%tr if loop.last %}")
    _given(rows, "Step input")
    control_row(rows, "{%tr else %}")
    _given(rows, "Step input kept")
    control_row(rows, "{%tr endif %}")
    control_row(rows, "{%tr endfor %}")
    control_row(rows, "{%tr else %}")
    values = (_input(("{{ step.result }}", "Strong")), _input("{{ step.title }}"), _input("under {{ step.under }}"))
    row(rows, _input(("{{ step.number }}", "Step Link")), _input(*formula("step.symbol")), *values)
    control_row(rows, "{%tr endif %}")
    control_row(rows, "{%tr endfor %}")


def _given(rows: Any, style: str) -> None:
    """Add the row of an input; all but the last of a step are kept with the next, so that no step breaks across pages."""
    origin = line("{{ given.origin }}", ("{{ given.step }}", "Step Link"), style=style)
    named = (line(f"{{{{ given.{part} }}}}", style=style) for part in ("value", "title"))
    row(rows, None, line(*formula("given.symbol"), style=style), *named, origin)


def _input(*words: str | tuple[str, str]) -> Line:
    return line(*words, style="Step input")


def _readings(document: Any) -> None:
    control(document, "{%p if readings %}")
    _section(document, "{{ sections.readings }}")
    paragraph(document, "caption", "{{ notes.readings }}")
    rows = table(document, (42, 133.9), "Calculation Table", ("Section", "To confirm"))
    loop(rows, "reading in readings", line("{{ reading.section }}"), line("{{ reading.doubt }}"))
    control(document, "{%p endif %}")


if __name__ == "__main__":
    main()
