"""Makes ``templates/calculation.docx``, the template of the calculation sheet, so that it can be reviewed as text.

Run ``python templates/make_calculation_template.py`` after a change here. A company that restyles the DOCX in a word
processor keeps its own copy beside its project file and does not need this script.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from docx import Document
from docx.enum.table import WD_TABLE_ALIGNMENT
from docx.enum.text import WD_TAB_ALIGNMENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm

sys.path.insert(0, str(Path(__file__).parent))

from template_styles import add_styles, packed

WIDTH_MM = 175.9
VERDICTS = ("passes", "violated", "caution")
Piece = str | tuple[str, str]
"""Text of a run, or text and character style; texts with braces and percent signs are template expressions."""


def main() -> None:
    """Write the template beside this script."""
    document = Document()
    add_styles(document)
    _page(document)
    _front(document)
    _findings(document)
    _choices(document)
    _assumptions(document)
    _circuits(document)
    _subjects(document)
    _readings(document)
    (Path(__file__).parent / "calculation.docx").write_bytes(packed(document, "Electrical calculations"))


def _page(document: Any) -> None:
    section = document.sections[0]
    section.page_width, section.page_height = Mm(215.9), Mm(279.4)
    section.left_margin, section.right_margin, section.top_margin, section.bottom_margin = Mm(22), Mm(18), Mm(24), Mm(22)
    section.header_distance, section.footer_distance = Mm(11), Mm(10)
    header, footer = section.header, section.footer
    header.paragraphs[0].text = "{%p if title.has_violations %}"
    _fill(header.add_paragraph(style="Violation line"), "✗ {{ title.status }}")
    _fill(header.add_paragraph(style="Header"), "{%p endif %}")
    _fill(header.add_paragraph(style="Header"), "Electrical calculations · {{ title.project }}")
    line = footer.paragraphs[0]
    line.paragraph_format.tab_stops.add_tab_stop(Mm(WIDTH_MM), WD_TAB_ALIGNMENT.RIGHT)
    _fill(line, "{{ title.footer }}", "\tPage ")
    _field(line, "PAGE", "1")
    _fill(line, " of ")
    _field(line, "NUMPAGES", "1")


def _front(document: Any) -> None:
    paragraph(document, "Title", "Electrical calculations")
    paragraph(document, "Subtitle", "{{ title.project }}")
    with_condition(document, "title.description", lambda: paragraph(document, "Normal", "{{ title.description }}"))
    facts = table(document, (34, 141.9), "Plain Rows")
    loop(facts, "fact in title.facts", [[("Table text", "{{ fact.name }}", "Muted")], [("Table text", "{{ fact.value }}")]])
    document.add_paragraph(style="Gap")
    paragraph(document, "Status", "{%r if title.has_violations %}", "✗ ", "{%r endif %}", "{{ title.status }}")
    paragraph(document, "Status", "{%r for count in counts %}", ("{{ count.number }}", "Strong"), " {{ count.verdict }}", "{%r if not loop.last %}", " · ", "{%r endif %}", "{%r endfor %}")
    paragraph(document, "Heading 2", "Cautions")
    with_loop(document, "caution in title.cautions", lambda: paragraph(document, "List Bullet", "{{ caution }}"))
    paragraph(document, "Deference", "{{ title.deference }}")
    paragraph(document, "Heading 2", "Contents")
    _contents(document)


def _contents(document: Any) -> None:
    """A table of contents that word processors can update, filled with links to begin with."""
    opening = document.add_paragraph(style="Gap")
    _field_marks(opening, "begin", r' TOC \o "1-1" \h \z \u ', "separate")
    with_loop(document, "heading in sections.all", lambda: paragraph(document, "toc 1", ("{{ heading }}", "Section Link")))
    closing = document.add_paragraph(style="Gap")
    _field_marks(closing, "end")


def _section(document: Any, words: str) -> None:
    paragraph(document, "Heading 1", (words, "Section Title"))


def _findings(document: Any) -> None:
    _section(document, "{{ sections.findings }}")
    with_condition(document, "not findings", lambda: paragraph(document, "Normal", "✓ {{ notes.nothing_open }}"))
    control(document, "{%p for kind in findings %}")
    paragraph(document, "Heading 2", "{{ kind.heading }}: {{ kind.number }}")
    control(document, "{%p for finding in kind.findings %}")
    paragraph(document, "Heading 3", ("{{ finding.tag }}", "Subject Link"), "{% if finding.mode %}, {{ finding.mode }}{% endif %}: {{ finding.title }}")
    rows = table(document, (28, 103, 45), "Plain Rows")
    row(rows, [[("Table text", "Verdict", "Muted")], verdict_cell("finding"), [("Table number", "{{ finding.section }}")]])
    row(rows, [[("Table text", "Message", "Muted")], [("Table text", "{{ finding.message }}")], []])
    _row_if(rows, "finding.comparison", "Computed", ("Table text", "{{ finding.comparison }}", "Strong"))
    way = [("Table text", "{{ way.name }}", ""), ("", "{{ way.message }}", "Muted"), ("", "{% if way.comparison %}  {{ way.comparison }}{% endif %}", "")]
    loop(rows, "way in finding.ways", [verdict_cell("way"), way, [("Table number", "{{ way.section }}", "Muted")]])
    for name, label in (("missing", "Missing"), ("suggestions", "Passes with")):
        loop(rows, f"line in finding.{name}", [[("Table text", label, "Muted")], [("Table text", "{{ line }}")], []])
    _row_if(rows, "finding.places", "Written at", ("Table text", "{{ finding.places }}"))
    control(document, "{%p endfor %}")
    control(document, "{%p endfor %}")


def _row_if(rows: Any, condition: str, label: str, cell: tuple[str, ...]) -> None:
    row(rows, [[("Table text", f"{{%tr if {condition} %}}")], [], []])
    row(rows, [[("Table text", label, "Muted")], [cell], []])
    row(rows, [[("Table text", "{%tr endif %}")], [], []])


def _choices(document: Any) -> None:
    _section(document, "{{ sections.choices }}")
    with_condition(document, "not choices", lambda: paragraph(document, "Normal", "{{ notes.nothing_chosen }}"))
    control(document, "{%p if choices %}")
    paragraph(document, "Caption", "{{ notes.choices }}")
    rows = table(document, (16, 48, 23, 20, 68.9), "Calculation Table", ("Tag", "What", "Chosen", "Refused", "Governed by"))
    cells = [[("Table text", "{{ choice.tag }}", "Subject Link")], [("Table text", "{{ choice.what }}")]]
    cells += [[("Table text", "{{ choice.chosen }}", "Strong")], [("Table text", "{{ choice.refused }}")], [("Table text", "{{ choice.reason }}")]]
    loop(rows, "choice in choices", cells)
    control(document, "{%p endif %}")


def _assumptions(document: Any) -> None:
    _section(document, "{{ sections.assumptions }}")
    with_condition(document, "not assumptions", lambda: paragraph(document, "Normal", "{{ notes.nothing_assumed }}"))
    control(document, "{%p if assumptions %}")
    paragraph(document, "Caption", "{{ notes.assumptions }}")
    rows = table(document, (75, 26, 74.9), "Calculation Table", ("Quantity", ">Value", "Reason"))
    cells = [[("Table text", "{{ assumption.title }}")], [("Table number", "{{ assumption.value }}")], [("Table text", "{{ assumption.reason }}")]]
    loop(rows, "assumption in assumptions", cells)
    control(document, "{%p endif %}")


def _circuits(document: Any) -> None:
    _section(document, "{{ sections.circuits }}")
    heads = ("Tag", "Circuit, path, kind", "Overcurrent device", "Conductors", "Run", "Verdict")
    rows = table(document, (13, 48, 31, 35, 26, 22.9), "Calculation Table", heads)
    named = [("Table text", "{{ circuit.name }}", "Strong"), ("Table text", "{{ circuit.path }}", "Muted"), ("Table text", "{{ circuit.role }}", "Muted")]
    cells = [[("Table text", "{{ circuit.tag }}", "Subject Link")], named]
    cells += [[("Table text", f"{{{{ circuit.{name} }}}}")] for name in ("device", "conductors", "raceway")]
    loop(rows, "circuit in circuits", [*cells, verdict_cell("circuit")])


def _subjects(document: Any) -> None:
    control(document, "{%p for group in groups %}")
    _section(document, "{{ group.section }}")
    with_condition(document, "loop.first", lambda: paragraph(document, "Caption", "{{ notes.steps }}"))
    control(document, "{%p for block in group.blocks %}")
    paragraph(document, "Heading 2", ("{{ block.tag }}", "Subject Tag"), "  {{ block.name }}")
    control(document, "{%p if block.facts %}")
    facts = table(document, (28, 147.9), "Plain Rows")
    loop(facts, "fact in block.facts", [[("Table text", "{{ fact.name }}", "Muted")], [("Table text", "{{ fact.value }}")]])
    document.add_paragraph(style="Gap")
    control(document, "{%p endif %}")
    control(document, "{%p if block.checks %}")
    _checks(document)
    document.add_paragraph(style="Gap")
    control(document, "{%p endif %}")
    control(document, "{%p if block.steps %}")
    _steps(document)
    control(document, "{%p endif %}")
    control(document, "{%p endfor %}")
    control(document, "{%p endfor %}")


def _checks(document: Any) -> None:
    heads = ("Requirement", ">Computed", "", "Limit", "Section", "Verdict")
    rows = table(document, (77.9, 22, 6, 22, 24, 24), "Calculation Table", heads)
    row(rows, _control_cells("{%tr for check in block.checks %}"))
    words = [("Table text", "{{ check.title }}", "Strong"), ("", "{% if check.message %}\n{{ check.message }}{% endif %}", "Muted")]
    row(rows, _compared("check", words))
    row(rows, _control_cells("{%tr for part in check.parts %}"))
    row(rows, _compared("part", [("Table part", "{{ part.name }}", ""), ("", "{{ part.message }}", "Muted")]))
    row(rows, _control_cells("{%tr endfor %}"))
    row(rows, _control_cells("{%tr endfor %}"))


def _control_cells(words: str) -> list[list[tuple[str, ...]]]:
    return [[("Table text", words)], [], [], [], [], []]


def _compared(name: str, words: list[tuple[str, ...]]) -> list[list[tuple[str, ...]]]:
    cells = [[(style, f"{{{{ {name}.{field} }}}}")] for field, style in (("computed", "Table number"), ("relation", "Table centre"), ("limit", "Table text"), ("section", "Table text"))]
    return [words, *cells, verdict_cell(name)]


def _steps(document: Any) -> None:
    rows = table(document, (11, 25, 27, 55.9, 57), "Plain Rows")
    row(rows, [[("Table text", "{%tr for step in block.steps %}")], [], [], [], []])
    row(rows, [[("Table text", "{%tr if step.is_first %}")], [], [], [], []])
    head = row(rows, [[("Step title", "{{ step.number }}", "Step Number")], [("Step title", "{{ step.title }}", "Strong")], [], [], [("Step section", "{{ step.section }}")]])
    head.cells[1].merge(head.cells[3])
    sides = row(rows, [[], [("Step equation", "")], [], [], []])
    merged = sides.cells[1].merge(sides.cells[4])
    pieces(merged.paragraphs[0], "step.equation")
    given = [[], [("Step input", "")], [("Step input", "{{ given.value }}")], [("Step input", "{{ given.title }}")], [("Step input", "{{ given.origin }}", ""), ("", "{{ given.step }}", "Step Link")]]
    inputs = loop(rows, "given in step.inputs", given)
    pieces(inputs.cells[1].paragraphs[0], "given.symbol")
    row(rows, [[("Table text", "{%tr else %}")], [], [], [], []])
    elsewhere = [[("Step input", "{{ step.number }}", "Step Link")], [("Step input", "")], [("Step input", "{{ step.result }}", "Strong")]]
    elsewhere += [[("Step input", "{{ step.title }}")], [("Step input", "under {{ step.under }}")]]
    pieces(row(rows, elsewhere).cells[1].paragraphs[0], "step.symbol")
    row(rows, [[("Table text", "{%tr endif %}")], [], [], [], []])
    row(rows, [[("Table text", "{%tr endfor %}")], [], [], [], []])


def _readings(document: Any) -> None:
    control(document, "{%p if readings %}")
    _section(document, "{{ sections.readings }}")
    paragraph(document, "Caption", "{{ notes.readings }}")
    rows = table(document, (42, 133.9), "Calculation Table", ("Section", "What is in doubt"))
    loop(rows, "reading in readings", [[("Table text", "{{ reading.section }}")], [("Table text", "{{ reading.doubt }}")]])
    control(document, "{%p endif %}")


def paragraph(document: Any, style: str, *words: Piece) -> Any:
    """Add a paragraph of runs."""
    return _fill(document.add_paragraph(style=style), *words)


def control(document: Any, words: str) -> None:
    """Add a paragraph that holds a loop or condition and is not printed."""
    paragraph(document, "Template control", words)


def with_condition(document: Any, condition: str, add: Any) -> None:
    """Add what ``add`` adds, to be printed where the condition holds."""
    control(document, f"{{%p if {condition} %}}")
    add()
    control(document, "{%p endif %}")


def with_loop(document: Any, over: str, add: Any) -> None:
    """Add what ``add`` adds, to be printed once for each item."""
    control(document, f"{{%p for {over} %}}")
    add()
    control(document, "{%p endfor %}")


def _fill(line: Any, *words: Piece) -> Any:
    for piece in words:
        text, style = piece if isinstance(piece, tuple) else (piece, "")
        line.add_run(text, style or None)
    return line


def pieces(line: Any, field: str) -> None:
    """Add runs that print the pieces of a formula: symbols, indices, the result and the text between."""
    _fill(line, f"{{%r for piece in {field} %}}")
    for index, (kind, style) in enumerate((("symbol", "Symbol"), ("index", "Index"), ("result", "Strong"))):
        _fill(line, f'{{%r {"elif" if index else "if"} piece.kind == "{kind}" %}}', ("{{ piece.text }}", style))
    _fill(line, "{%r else %}", "{{ piece.text }}", "{%r endif %}", "{%r endfor %}")


def verdict_cell(name: str) -> list[tuple[str, ...]]:
    """Return the paragraph of a verdict: its mark in the style of the verdict, and its word."""
    runs = [("Table text", "", "")]
    for index, verdict in enumerate(VERDICTS):
        runs.append(("", f'{{%r {"elif" if index else "if"} {name}.verdict == "{verdict}" %}}', ""))
        runs.append(("", f"{{{{ {name}.mark }}}} ", f"Verdict {verdict}"))
    return [*runs, ("", "{%r else %}", ""), ("", f"{{{{ {name}.mark }}}} ", "Verdict other"), ("", "{%r endif %}", ""), ("", f"{{{{ {name}.verdict }}}}", "")]


def table(document: Any, widths_mm: Sequence[float], style: str, heads: Sequence[str] = ()) -> Any:
    """Add a table of fixed column widths; a heading that begins with ``>`` stands at the right."""
    made = document.add_table(rows=0, cols=len(widths_mm), style=style)
    made.autofit = False
    made.alignment = WD_TABLE_ALIGNMENT.LEFT
    for column, width in zip(made.columns, widths_mm, strict=True):
        column.width = Mm(width)
    if heads:
        cells = [[("Table head right" if head.startswith(">") else "Table head", head.removeprefix(">"))] for head in heads]
        head_row = row(made, cells)
        repeated = OxmlElement("w:tblHeader")
        head_row._tr.get_or_add_trPr().append(repeated)
    return made


def row(made: Any, cells: Sequence[Sequence[tuple[str, ...]]]) -> Any:
    """Add a row. A cell is a list of (paragraph style, text, character style); without a paragraph style the run goes on."""
    added = made.add_row()
    unbroken = OxmlElement("w:cantSplit")
    added._tr.get_or_add_trPr().append(unbroken)
    for cell, column, runs in zip(added.cells, made.columns, cells, strict=True):
        cell.width = column.width
        line = cell.paragraphs[0]
        line.style = runs[0][0] if runs else "Table text"
        for index, (style, text, *character_style) in enumerate(runs):
            if index and style:
                line = cell.add_paragraph(style=style)
            if text:
                line.add_run(text, (character_style[0] if character_style else "") or None)
    return added


def loop(made: Any, over: str, cells: Sequence[Sequence[tuple[str, ...]]]) -> Any:
    """Add a row that is printed once for each item, and return it."""
    empty: list[list[tuple[str, ...]]] = [[] for _ in cells[1:]]
    row(made, [[("Table text", f"{{%tr for {over} %}}")], *empty])
    added = row(made, cells)
    row(made, [[("Table text", "{%tr endfor %}")], *empty])
    return added


def _field(line: Any, instruction: str, shown: str) -> None:
    field = OxmlElement("w:fldSimple")
    field.set(qn("w:instr"), instruction)
    run = line.add_run(shown)
    run._r.addprevious(field)
    field.append(run._r)


def _field_marks(line: Any, *marks: str) -> None:
    """Add the begin, instruction, separator or end of a field that runs over several paragraphs."""
    for mark in marks:
        run = line.add_run()
        if mark.startswith(" "):
            instruction = OxmlElement("w:instrText")
            instruction.set(qn("xml:space"), "preserve")
            instruction.text = mark
            run._r.append(instruction)
        else:
            character = OxmlElement("w:fldChar")
            character.set(qn("w:fldCharType"), mark)
            run._r.append(character)


if __name__ == "__main__":
    main()
