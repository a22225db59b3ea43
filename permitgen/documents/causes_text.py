"""Causes as text for a terminal: the number that matters first, what else fails with it, what mends it, the lines to edit."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from permitgen.views.vocabulary import verdict_word

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from permitgen.views.causes import Cause
    from permitgen.views.findings import FindingText, Place

WIDTH = 140
_INDENT = "       "
_NAMED = 4
_LINES = 2  # to edit: both of two, the first of more


def cause_lines(cause: Cause, file: str, *, briefly: bool = False) -> list[str]:
    """Return two lines or three: the leading finding with its section, then the others, the remedy and where in ``file`` to edit.

    ``briefly``: two at most, each cut where it is longer than the screen is wide; ``--all`` has the whole.
    """
    rest = " · ".join(_rest(cause, file))
    if not _mends(cause):
        lead_in = f"{rest} · " if rest else ""
        room = max(WIDTH - len(_INDENT) - len(lead_in), 60)
        rest = lead_in + textwrap.shorten(f"required: {cause.lead.title}", room, placeholder=" …")
    granted = ", granted" if cause.lead.granted else ""
    first = f"{verdict_word(cause.lead.verdict)}{granted} "
    if briefly:
        rest = textwrap.shorten(rest, WIDTH - len(_INDENT), placeholder=" …")
        return [*wrapped(_head(cause.lead, briefly=True), first), *wrapped(rest, "")]
    return [*wrapped(_head(cause.lead), first), *wrapped(rest, "")]


def caution_lines(causes: Sequence[Cause], file: str, *, briefly: bool) -> list[str]:
    """Return one line for the cautions of each rule: the first of them, how many more, where to look; ``briefly`` one for all of them."""
    by_rule: dict[tuple[str, str], list[FindingText]] = {}
    for cause in causes:
        if cause.lead.verdict == "caution":
            by_rule.setdefault((cause.lead.rule, cause.lead.state), []).extend(cause.findings)
    if briefly and by_rule:
        named = [f"{_state(found[0])}{rule} {_subjects([f.subject for f in found])}" for (rule, _), found in by_rule.items()]
        return [f"{verdict_word('caution')}  {textwrap.shorten('; '.join(named), WIDTH - 10, placeholder=' …')}"]
    return [_caution(found, file) for found in by_rule.values()]


def _subjects(subjects: Sequence[str]) -> str:
    return f"({len(subjects)})" if len(subjects) > 1 else subjects[0]


def _caution(findings: Sequence[FindingText], file: str) -> str:
    lead = findings[0]
    more = f"  (and {len(findings) - 1} more)" if len(findings) > 1 else ""
    at = f"  {_place(lead.edits[0], file)}" if lead.edits else ""
    end = f"  [{lead.rule}]{more}{at}"
    room = WIDTH - len(end) - len(verdict_word("caution")) - 2
    return f"{verdict_word('caution')}  {textwrap.shorten(_state(lead) + lead.message, max(room, 40), placeholder=' …')}{end}"


def _head(lead: FindingText, *, briefly: bool = False) -> str:
    """The numbers first, where the message tells them too; sections without the edition, which the last line of the report names."""
    told = lead.comparison and any(
        number in lead.message for number in (lead.computed.replace("\u00a0", " "), lead.limit.replace("\u00a0", " "))
    )
    grade = f", text {lead.grade}" if lead.grade in ("reported", "not read") and lead.grade not in lead.section else ""
    section = lead.section.removeprefix(f"{lead.edition} ")
    before, behind = f"{lead.comparison}   " if told else "", f"  [{lead.rule}, {section}{grade}]"
    room = WIDTH - len(_INDENT) - len(before) - len(_state(lead)) - len(behind)
    message = lead.message
    if briefly:
        message = textwrap.shorten(_in_one_line(message, room), max(room, 40), placeholder=" …")
    return f"{before}{_state(lead)}{message}{behind}"


def _in_one_line(message: str, room: int) -> str:
    """Return a message without the last of its sentences where the others fit into ``room``: the worst stands first, all in ``--all``."""
    for end in (at for at in range(len(message) - 1, 0, -1) if message.startswith("; ", at)):
        if len(message) > room >= end + len(" …"):
            return f"{message[:end]} …"
    return message


def _state(finding: FindingText) -> str:
    return "" if finding.state == "permitted" else f"as {finding.state}: "


def _rest(cause: Cause, file: str) -> Iterator[str]:
    others = _others(cause)
    if others:
        yield f"also {'; '.join(others)}"
    if mends := _mends(cause):
        yield mends
    if cause.edits:
        yield f"edit {_places(cause.edits, file, with_values=not cause.lead.needed)}"
    near = tuple(dict.fromkeys(name for finding in cause.findings for name in finding.near_limit))
    if near:
        yield f"within 2 % of the limit: {', '.join(near[:2])}"
    if cause.lead.doubt:
        yield "to confirm (--all)"


def _others(cause: Cause) -> list[str]:
    """Return the further subjects by rule; the leading rule is not named again."""
    found = []
    for rule, subjects in cause.subjects.items():
        rest = subjects[1:] if rule == cause.lead.rule else subjects
        named = ("; " if any("," in subject for subject in rest) else ", ").join(rest[:_NAMED]) + (
            f" … ({len(rest)})" if len(rest) > _NAMED else ""
        )
        if rest:
            found.append(named if rule == cause.lead.rule else f"{rule} {named}")
    return found


def _mends(cause: Cause) -> str:
    """What was tried and passes, else what would have to stand there; empty where only the requirement can be told."""
    if cause.suggestions:
        return f"passes with: {', or '.join(cause.suggestions)}"
    if cause.partial:
        return "; ".join(f"{id_} passes with: {', or '.join(changes)}" for id_, changes in cause.partial.items())
    return f"needs {cause.lead.needed}" if cause.lead.needed else ""


def _places(places: Sequence[Place], file: str, *, with_values: bool) -> str:
    """Return the lines to edit with their keys, and what stands there where nothing else says it."""
    named = places if len(places) <= _LINES else places[:1]
    more = f" and {len(places) - 1} more" if len(places) > _LINES else ""
    return ", ".join(_place(place, file, with_value=with_values) for place in named) + more


def _place(place: Place, file: str, *, with_value: bool = True) -> str:
    where = f"line\N{NO-BREAK SPACE}{place.line}" if place.file == file else f"{place.file}:{place.line}:{place.column}"
    key = place.words.partition(":")[0].rpartition(".")[2]
    what = f"{key}: {place.text}" if with_value else key
    return f"{where} {what}".replace(" ", "\N{NO-BREAK SPACE}") if place.text else where


def wrapped(text: str, first: str) -> list[str]:
    """Return lines of at most ``WIDTH`` signs, all but the ``first`` words behind one margin; no-break spaces hold."""
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=f"{first:<{len(_INDENT)}}",
        subsequent_indent=_INDENT,
        break_long_words=False,
        break_on_hyphens=False,
    )
