"""What is wrong with a template, in the words of whoever wrote it, and on which line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from types import TracebackType
from typing import Any

from jinja2 import TemplateError, TemplateSyntaxError, UndefinedError
from jinja2.exceptions import SecurityError

from permitgen.documents.resources import ResourceError
from permitgen.reading.nearest import did_you_mean

# What filling a template raises where the template is at fault; SyntaxError and MemoryError come from compiling what it became.
UNUSABLE = (
    TemplateError,
    ResourceError,
    ArithmeticError,
    AttributeError,
    LookupError,
    MemoryError,
    RecursionError,
    SyntaxError,
    TypeError,
    ValueError,
)
# First kind that fits; the placeholder is what the library says.
_WORDS: tuple[tuple[type[BaseException] | tuple[type[BaseException], ...], str], ...] = (
    (ResourceError, "{}"),
    (SecurityError, "an expression in it is not allowed: {}"),
    (TemplateSyntaxError, "it is not a well-formed template: {}"),
    ((RecursionError, MemoryError, SyntaxError), "it calls or includes itself, or is nested too deeply"),
    (TemplateError, "it cannot be filled: {}"),
    (Exception, "an expression in it cannot be computed: {}"),
)
_LONGEST = 200
_UNKNOWN_NAME = re.compile(r"has no attribute '([^']*)'|^'([^']*)' is undefined")
_OBJECT = re.compile(r"<[^<>]* (\w+) of (\w+) object at 0x[0-9a-f]+>|<\w+ ([\w.]+) at 0x[0-9a-f]+>")


def explained(error: BaseException, fields: Mapping[str, Any]) -> str:
    """Return what is wrong, one line without a full stop, to follow the place."""
    said = _without_addresses(" ".join(str(error).split()).rstrip("."))
    for kinds, words in _WORDS:
        if isinstance(error, kinds):
            return _unknown_field(error, fields) or words.format(said if len(said) <= _LONGEST else f"{said[: _LONGEST - 1]}…")
    raise error


def _unknown_field(error: BaseException, fields: Mapping[str, Any]) -> str:
    found = _UNKNOWN_NAME.search(str(error)) if isinstance(error, UndefinedError) else None
    if found is None:
        return ""
    name = found.group(1) or found.group(2)
    return f'it uses the field "{name}", which does not exist{did_you_mean(name, sorted(set(_names(fields))))}'


def place_in(error: BaseException, shown: Mapping[str, str]) -> tuple[str, int] | None:
    """Return name and line of the innermost template that ``error`` went through; ``shown`` holds names by file name."""
    if isinstance(error, TemplateSyntaxError) and error.filename is not None and error.filename in shown:
        return shown[error.filename], error.lineno
    places = [(shown[file], line) for file, line in _frames(error.__traceback__) if file in shown]
    return places[-1] if places else None


def _frames(trace: TracebackType | None) -> Iterator[tuple[str, int]]:
    while trace is not None:
        yield trace.tb_frame.f_code.co_filename, trace.tb_lineno
        trace = trace.tb_next


def _without_addresses(text: str) -> str:
    return _OBJECT.sub(lambda found: f"{found[1]} of {found[2]}" if found[1] else found[3], text)


def _names(fields: Any) -> Iterator[str]:
    """Yield the name of every field, those of nested ones too."""
    if isinstance(fields, Mapping):
        for name, value in fields.items():
            yield name
            yield from _names(value)
    elif isinstance(fields, list):
        for value in fields:
            yield from _names(value)
