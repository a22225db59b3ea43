"""The fields that the templates of the derivations, DOCX and HTML, may use: nested dicts, lists and texts, nothing else.

Their names are public, because people write templates with them: ``templates/README.md`` lists them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from permitgen.documents.calculation_steps import (
    FRONT_SECTIONS,
    LAST_SECTION,
    block_of,
    equation_sides,
    numbered_groups,
    step_bookmark,
    symbol_pieces,
    users_of_steps,
)
from permitgen.documents.calculation_wording import (
    ASSUMPTIONS_NOTE,
    CHOICES_NOTE,
    MARKS,
    NOTHING_ASSUMED,
    NOTHING_CHOSEN,
    NOTHING_OPEN,
    STEPS_NOTE,
    finding_message,
    finding_places,
    footer_text,
    open_findings_by_verdict,
    part_text,
    readings_note,
    short_section,
    shown_parts,
    title_facts,
    without_tag,
)
from permitgen.documents.canvas.text_flow import NO_BREAK_SPACE, keep_together
from permitgen.views.findings import way_verdict
from permitgen.views.vocabulary import state_word, verdict_word

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from permitgen.documents.calculation_steps import NumberedBlock, NumberedGroup, NumberedStep, Piece, StepUser
    from permitgen.views.calculation_sheet import CalculationSheet, CheckRow
    from permitgen.views.findings import FindingText, MethodLine
    from permitgen.views.title import DocumentTitle

Fields = dict[str, Any]


def derivation_fields(sheet: CalculationSheet) -> Fields:
    """Return the fields of a calculation sheet."""
    fields: Fields = kept_together(_fields(sheet, numbered_groups(sheet)))
    return fields


def kept_together(fields: Any) -> Any:
    """Return fields in which no number leaves its unit at the end of a line."""
    if isinstance(fields, dict):
        return {name: kept_together(value) for name, value in fields.items()}
    if isinstance(fields, list):
        return [kept_together(value) for value in fields]
    return keep_together(fields)


def _fields(sheet: CalculationSheet, groups: Sequence[NumberedGroup]) -> Fields:
    users = users_of_steps(groups)
    return {
        "title": title_fields(sheet.title, sheet.document_id),
        "counts": [{**verdict_fields(verdict), "number": str(count)} for verdict, count in sheet.counts],
        "sections": _sections(sheet, groups),
        "notes": {
            "nothing_open": NOTHING_OPEN,
            "nothing_chosen": NOTHING_CHOSEN,
            "nothing_assumed": NOTHING_ASSUMED,
            "choices": CHOICES_NOTE,
            "assumptions": ASSUMPTIONS_NOTE,
            "steps": STEPS_NOTE,
            "readings": readings_note(sheet),
        },
        "findings": [
            {"heading": heading, "number": str(len(found)), "findings": [_finding(sheet, one, groups) for one in found]}
            for _, heading, found in open_findings_by_verdict(sheet)
        ],
        "choices": [
            {"tag": c.tag, "what": c.what, "chosen": c.chosen, "refused": c.refused or "–", "reason": without_tag(c.reason, c.tag)}
            for c in sheet.choices
        ],
        "assumptions": [{"title": a.title, "value": a.value, "reason": a.reason} for a in sheet.assumptions],
        "circuits": [
            {
                "tag": c.tag,
                "name": c.name,
                "path": c.path,
                "role": c.role,
                "device": c.device,
                "conductors": c.conductors,
                "raceway": c.raceway,
                **verdict_fields(c.verdict),
            }
            for c in sheet.circuits
        ],
        "groups": [
            {
                "section": f"{g.number} {g.title}",
                "anchor": g.bookmark,
                "title": g.title,
                "blocks": [_block(sheet, numbered, users) for numbered in g.blocks],
            }
            for g in groups
        ],
        "readings": [{"section": section, "doubt": doubt} for section, doubt in sheet.doubts],
    }


def title_fields(title: DocumentTitle, document_id: str) -> Fields:
    """Return what a calculation says about itself, the same in reviewer's edition and derivations."""
    return {
        "project": title.project,
        "number": title.number,
        "address": title.address,
        "description": title.description,
        "jurisdiction": title.jurisdiction,
        "edition": title.edition,
        "permit_number": title.permit_number,
        "revision": title.revision,
        "revision_date": title.revision_date,
        "state": state_word(title.state),
        "document_id": document_id,
        "status": title.banner,
        "has_violations": "yes" if title.has_violations else "",
        "contractor": title.contractor,
        "cautions": list(title.cautions),
        "deference": title.deference,
        "footer": footer_text(title, document_id),
        "facts": [{"name": name, "value": value} for name, value in title_facts(title, document_id)],
    }


def _sections(sheet: CalculationSheet, groups: Sequence[NumberedGroup]) -> Fields:
    """Return the headings of the sections, by name and in order."""
    named = {key: f"{number} {title}" for number, (key, title) in enumerate(FRONT_SECTIONS, start=1)}
    last, title = LAST_SECTION
    named[last] = f"{len(FRONT_SECTIONS) + len(groups) + 1} {title}"
    order = [*(named[key] for key, _ in FRONT_SECTIONS), *(f"{group.number} {group.title}" for group in groups)]
    return {**named, "all": [*order, named[last]] if sheet.doubts else order}


def verdict_fields(verdict: str) -> Fields:
    """Return a verdict with its word and its mark."""
    return {"verdict": verdict, "verdict_word": verdict_word(verdict), "mark": MARKS[verdict]}


def _part(sheet: CalculationSheet, check: CheckRow | FindingText, part: MethodLine, tag: str) -> Fields:
    name, said = part_text(part)
    said = without_tag(said, tag)
    return {
        "name": f"{name}: " if name and said else name,
        "message": said,
        "comparison": NO_BREAK_SPACE.join(text for text in (part.computed, part.relation, part.limit) if part.computed and text),
        "computed": part.computed,
        "relation": part.relation,
        "limit": part.limit,
        "section": short_section(part.section, sheet),
        **verdict_fields(way_verdict(part.verdict, check.verdict)),
    }


def _finding(sheet: CalculationSheet, finding: FindingText, groups: Sequence[NumberedGroup]) -> Fields:
    tag, _, at = finding.subject.partition("@")
    block = block_of(finding, groups)
    return {
        "tag": tag,
        "at": at,
        "title": finding.title,
        "message": finding_message(finding),
        "section": finding.section,
        "comparison": finding.comparison.replace(" ", NO_BREAK_SPACE),
        "ways": [_part(sheet, finding, part, tag) for part in shown_parts(finding.message, finding.methods)],
        "missing": list(finding.missing),
        "suggestions": list(finding.suggestions),
        "places": " · ".join(finding_places(finding)),
        "anchor": block.bookmark if block is not None else "",
        **verdict_fields(finding.verdict),
    }


def _block(sheet: CalculationSheet, numbered: NumberedBlock, users: Mapping[int, tuple[StepUser, ...]]) -> Fields:
    block = numbered.block
    return {
        "tag": block.tag,
        "anchor": numbered.bookmark,
        "name": without_tag(block.name, block.tag),
        "facts": [{"name": name, "value": value} for name, value in block.facts],
        "checks": [_check(sheet, check, block.tag) for check in block.checks],
        "steps": [_step(step, users.get(step.number, ())) for step in numbered.steps],
    }


def _check(sheet: CalculationSheet, check: CheckRow, tag: str) -> Fields:
    message = without_tag(check.message, tag)
    return {
        "title": f"{check.title}, {check.at}" if check.at else check.title,
        "message": "" if message == check.title else message,
        "computed": check.computed,
        "relation": check.relation,
        "limit": check.limit,
        "section": short_section(check.section, sheet),
        "parts": [_part(sheet, check, part, tag) for part in shown_parts(check.message, check.parts)],
        **verdict_fields(check.verdict),
    }


def _step(step: NumberedStep, users: Iterable[StepUser]) -> Fields:
    text = step.text
    return {
        "number": f"[{step.number}]",
        "anchor": step_bookmark(step.number),
        "users": [{"words": user.words, "anchor": user.bookmark} for user in users],
        "is_first": "yes" if step.is_first else "",
        "under": step.tag,
        "title": text.title,
        "section": text.section,
        "symbol": _pieces(symbol_pieces(text.symbol)),
        "equation": _equation(step),
        "result": text.result,
        "inputs": [
            *(_input(given.symbol, given.value, given.title, given.origin) for given in text.inputs),
            *(_input(use.symbol, use.value, use.title, "" if use.number else "computed", use.number) for use in step.uses),
        ],
    }


def _equation(step: NumberedStep) -> list[Fields]:
    """Return the sides of an equation as one list of pieces, signs of equation between."""
    pieces: list[Fields] = []
    for side in equation_sides(step.text):
        pieces += [*([{"text": " = ", "kind": "text"}] if pieces else []), *_pieces(side)]
    return pieces


def _input(symbol: str, value: str, title: str, origin: str, number: int = 0) -> Fields:
    return {
        "symbol": _pieces(symbol_pieces(symbol)),
        "value": value,
        "title": title,
        "origin": origin,
        "step": f"[{number}]" if number else "",
        "anchor": step_bookmark(number) if number else "",
    }


def _pieces(pieces: Iterable[Piece]) -> list[Fields]:
    return [{"text": text, "kind": kind} for text, kind in pieces]
