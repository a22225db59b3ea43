"""What a YAML syntax error means to the person who typed the line. The parser's own words are for programmers."""

from __future__ import annotations

import re

from yaml import MarkedYAMLError, YAMLError

from permitgen.reading.positions import Place
from permitgen.reading.problems import quoted

_COMMENT_TRAP = re.compile(r"[^'\"#]*[ \t](#[0-9][^,\]}]*)")
_NO_SPACE_AFTER_COLON = re.compile(r" *(?:- +)?[A-Za-z_][\w -]*:(?=[^ \t:])")
_HAS_VALUE = re.compile(r" *(?:- |[^\s#][^:]*:(?:\s|$))")
_LONGEST_KEY = 1024

# (part of the parser's sentence, whether the fault stands where the construct began, our sentence); first match holds.
# Each phrase is cut so that it fits the C parser and the Python one alike.
_PLAIN_WORDS = (
    ("maximum nesting depth", False, "nested too deeply"),
    ("unexpected end of stream", True, "this quotation mark is never closed"),
    ("escape", False, "a backslash in double quotes starts an escape sequence; use single quotes for text with backslashes"),
    ("hexdecimal", False, "a backslash in double quotes starts an escape sequence; use single quotes for text with backslashes"),
    ("tab character", False, "a tab in the indentation; indent with spaces"),
    ("cannot start any token", False, "a text may not begin with this character; put the text in quotes"),
    ("alphabetic or numeric", True, '"*", "&" and "!" have a meaning of their own at the start of a text; put the text in quotes'),
    ("tag", True, '"!" has a meaning of its own at the start of a text; put the text in quotes'),
    ("expected ':'", True, 'a line "key: value" was expected; this one has no colon'),
    ("block collection", False, 'a list item beginning with "- " was expected; keys and list items cannot be mixed'),
    ("',' or ']'", True, 'this "[" is never closed with "]", or a comma is missing after an item'),
    ("',' or '}'", True, 'this "{" is never closed with "}", or a comma is missing after an item'),
    ("sequence entries are not allowed", False, 'a list starts on a line of its own; put text that begins with "-" in quotes'),
    ("mapping keys are not allowed", False, 'put text that begins with "?" in quotes'),
    ("node content", False, "a value was expected here; put text that begins with this character in quotes"),
    ("block scalar", True, 'nothing may follow "|" or ">" on its line; put text that begins with it in quotes'),
    ("directive", True, 'a line may not begin with "%"; put the text in quotes'),
    ("incompatible YAML", True, 'this version of YAML is not read; leave the "%YAML" line out'),
    ("document start", False, 'a line above this one begins with "..." or "%", which ends the file there; leave it out'),
)


def explain_syntax_error(error: YAMLError | ValueError | OverflowError, lines: list[str]) -> tuple[Place, str]:
    """Return the place of a syntax error, from 1, and what is wrong there in plain words."""
    if not isinstance(error, MarkedYAMLError) or error.problem_mark is None:
        return (1, 1), "the file cannot be read as YAML"
    at = (error.problem_mark.line + 1, error.problem_mark.column + 1)
    began = at if error.context_mark is None else (error.context_mark.line + 1, error.context_mark.column + 1)
    trap = _hidden_by_comment(lines, {began[0], at[0] - 1, at[0]}) if "flow" in (error.context or "") else None
    return trap or _in_plain_words(f"{error.context or ''} {error.problem or ''}", lines, at, began)


def _in_plain_words(sentence: str, lines: list[str], at: Place, began: Place) -> tuple[Place, str]:
    if "mapping values are not allowed" in sentence:
        return _unexpected_colon(lines, at)
    if "block mapping" in sentence and "tag" not in sentence:
        return at, _unexpected_in_mapping(lines, at)
    if _line(lines, at[0])[at[1] - 1 : at[1]] == "\t":
        return at, "a tab in the indentation; indent with spaces"
    for phrase, where_it_began, words in _PLAIN_WORDS:
        if phrase in sentence:
            return (began if where_it_began else at), words
    return at, "this line cannot be read as YAML; check its indentation, commas and quotes"


def _line(lines: list[str], number: int) -> str:
    return lines[number - 1] if 0 < number <= len(lines) else ""


def _hidden_by_comment(lines: list[str], numbers: set[int]) -> tuple[Place, str] | None:
    """Find ``{size: #12 AWG}``: the comment swallows the closing bracket, so the parser complains far away."""
    for number in sorted(numbers):
        found = _COMMENT_TRAP.match(_line(lines, number))
        if found is not None:
            text = found.group(1).strip()
            return (number, found.start(1) + 1), f"{quoted(text)} starts a comment; write {quoted(text[1:])}"
    return None


def _unexpected_colon(lines: list[str], at: Place) -> tuple[Place, str]:
    line = _line(lines, at[0])
    if at[1] > _LONGEST_KEY:
        return at, f"the text in front of this colon is too long for a key (at most {_LONGEST_KEY} characters)"
    if ":" in line[: at[1] - 1]:
        return at, 'a second ": " on this line; put a text that holds a colon in quotes'
    return _no_place_for_key(lines, at)


def _no_place_for_key(lines: list[str], at: Place) -> tuple[Place, str]:
    """Say why the key at ``at`` reads as the rest of the line above it."""
    above = at[0] - 1
    while above > 1 and not _line(lines, above).strip():
        above -= 1
    previous = _line(lines, above)
    joined = _NO_SPACE_AFTER_COLON.match(previous)
    if joined is not None:
        pasted = previous[joined.end()].isspace()
        words = "a non-breaking space follows the colon; type a plain space" if pasted else "a space is needed after the colon"
        return (above, joined.end() + 1), words
    if previous.strip() and not _HAS_VALUE.match(previous):
        return (above, len(previous) - len(previous.lstrip()) + 1), 'a line "key: value" was expected; this one has no colon'
    return at, "this line is indented deeper than the line above it, which already has a value"


def _unexpected_in_mapping(lines: list[str], at: Place) -> str:
    line = _line(lines, at[0])
    if line[: at[1] - 1].strip():
        return "nothing may follow here; put the whole text in one pair of quotes"
    if line.lstrip().startswith("- "):
        return "a list item stands among keys; indent it under the key it belongs to"
    return "the indentation of this line fits no line above it; keys of one section start in the same column"
