"""Parts from which the scripts beside this file put DOCX templates together: paragraphs, tables, loops, verdicts, formulas."""

# ruff: noqa: SLF001  # the library has no public way to the XML of rows and runs

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm

Words = str | tuple[str, str]
"""The text of a run, or text and character style. Texts with braces are template expressions."""


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph: its runs and its style."""

    words: tuple[Words, ...]
    style: str = "Table text"


Cell = Line | tuple[Line, ...] | None
"""What stands in a cell of a table: one paragraph, several, or nothing."""


def line(*words: Words, style: str = "Table text") -> Line:
    """Return a paragraph of a table cell."""
    return Line(words, style)


def muted(words: str) -> Line:
    """Return a gray paragraph of a table cell."""
    return Line(((words, "Muted"),))


def paragraph(document: Any, style: str, *words: Words) -> Any:
    """Add a paragraph of runs."""
    return add_runs(document.add_paragraph(style=style), words)


def add_runs(made: Any, words: Sequence[Words]) -> Any:
    """Add runs to a paragraph and return it."""
    for piece in words:
        text, style = piece if isinstance(piece, tuple) else (piece, "")
        made.add_run(text, style or None)
    return made


def control(document: Any, words: str) -> None:
    """Add a paragraph that holds a loop or condition and is not printed."""
    paragraph(document, "Template control", words)


def with_condition(document: Any, condition: str, add: Callable[[], object]) -> None:
    """Add what ``add`` adds, to be printed where the condition holds."""
    control(document, f"{{%p if {condition} %}}")
    add()
    control(document, "{%p endif %}")


def with_loop(document: Any, over: str, add: Callable[[], object]) -> None:
    """Add what ``add`` adds, to be printed once for each item."""
    control(document, f"{{%p for {over} %}}")
    add()
    control(document, "{%p endfor %}")


def formula(field: str) -> tuple[Words, ...]:
    """Return runs that print the pieces of a formula: symbols, indices, the result and the text between."""
    piece = "{{ piece.text }}"
    return (
        f"{{%r for piece in {field} %}}",
        '{%r if piece.kind == "symbol" %}',
        (piece, "Symbol"),
        '{%r elif piece.kind == "index" %}',
        (piece, "Index"),
        '{%r elif piece.kind == "result" %}',
        (piece, "Strong"),
        "{%r else %}",
        piece,
        "{%r endif %}",
        "{%r endfor %}",
    )


def verdict(name: str) -> Line:
    """Return a paragraph with the mark of a verdict in the style of that verdict, and its word."""
    mark = f"{{{{ {name}.mark }}}} "
    words: list[Words] = []
    for index, word in enumerate(("passes", "violated", "caution")):
        words += [f'{{%r {"elif" if index else "if"} {name}.verdict == "{word}" %}}', (mark, f"Verdict {word}")]
    return Line((*words, "{%r else %}", (mark, "Verdict other"), "{%r endif %}", f"{{{{ {name}.verdict_word }}}}"))


def table(document: Any, widths_mm: Sequence[float], style: str, heads: Sequence[str] = ()) -> Any:
    """Add a table of fixed column widths; a heading that begins with ``>`` stands at the right."""
    made = document.add_table(rows=0, cols=len(widths_mm), style=style)
    made.autofit = False
    for column, width in zip(made.columns, widths_mm, strict=True):
        column.width = Mm(width)
    if heads:
        cells = [Line((head.removeprefix(">"),), "Table head right" if head.startswith(">") else "Table head") for head in heads]
        row(made, *cells)._tr.get_or_add_trPr().append(OxmlElement("w:tblHeader"))
    return made


def row(made: Any, *cells: Cell) -> Any:
    """Add a row that is not broken across pages; columns without a cell stay empty."""
    added = made.add_row()
    added._tr.get_or_add_trPr().append(OxmlElement("w:cantSplit"))
    given = (*cells, *(None for _ in range(len(made.columns) - len(cells))))
    for place, column, cell in zip(added.cells, made.columns, given, strict=True):
        place.width = column.width
        fill_cell(place, cell)
    return added


def fill_cell(place: Any, cell: Cell) -> None:
    """Put paragraphs into an empty cell."""
    lines = cell if isinstance(cell, tuple) else (cell or Line(()),)
    for index, one in enumerate(lines):
        made = place.add_paragraph() if index else place.paragraphs[0]
        made.style = one.style
        add_runs(made, one.words)
    for run in place._tc.iter(qn("w:rStyle")):
        if run.get(qn("w:val")) == "Index":
            _lower(run.getparent())


def shade(place: Any, color: str) -> None:
    """Give a cell a ground; ``color`` as six hexadecimal digits."""
    ground = OxmlElement("w:shd")
    for name, value in (("val", "clear"), ("color", "auto"), ("fill", color)):
        ground.set(qn(f"w:{name}"), value)
    place._tc.get_or_add_tcPr().append(ground)


def _lower(properties: Any) -> None:
    """Set an index below the line; in the style some word processors would shrink its letters as well."""
    lowered = OxmlElement("w:position")
    lowered.set(qn("w:val"), "-3")
    properties.append(lowered)


def control_row(made: Any, words: str) -> None:
    """Add a row that holds a loop or condition and is not printed."""
    row(made, line(words))


def loop(made: Any, over: str, *cells: Cell) -> None:
    """Add a row that is printed once for each item."""
    control_row(made, f"{{%tr for {over} %}}")
    row(made, *cells)
    control_row(made, "{%tr endfor %}")


def row_if(made: Any, condition: str, *cells: Cell) -> None:
    """Add a row that is printed where the condition holds."""
    control_row(made, f"{{%tr if {condition} %}}")
    row(made, *cells)
    control_row(made, "{%tr endif %}")


def field(made: Any, instruction: str, shown: str) -> None:
    """Add a field such as the page number to a paragraph; ``shown`` stands there until it is computed."""
    element = OxmlElement("w:fldSimple")
    element.set(qn("w:instr"), instruction)
    run = made.add_run(shown)._r
    run.addprevious(element)
    element.append(run)


def field_marks(made: Any, *marks: str) -> None:
    """Add the begin, separator or end of a field that runs over several paragraphs; a mark with a space in front instructs it."""
    for mark in marks:
        run = made.add_run()._r
        is_instruction = mark.startswith(" ")
        element = OxmlElement("w:instrText" if is_instruction else "w:fldChar")
        element.set(qn("xml:space" if is_instruction else "w:fldCharType"), "preserve" if is_instruction else mark)
        element.text = mark if is_instruction else None
        run.append(element)
