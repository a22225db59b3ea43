"""Looks through what was typed in the field and released for everybody: what looks private is a caution before anybody publishes it.

What it looks for is common practice, no published source. It finds what looks like it, and does not say that there is nothing else.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import OF_THE_RECORD, Finding
from permitgen.rules.judgement import Judgement, Verdict

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.system.system import System
    from permitgen.values.origin import ProjectLine

_STREETS = "street|st|avenue|ave|road|rd|lane|ln|drive|dr|court|ct|boulevard|blvd|terrace"
_PRIVATE = {
    "a telephone number": re.compile(r"(?<![\w.])(?!\d{4}-\d\d-\d\d\b)\+?\d(?:[\s().-]*\d){6,14}(?!\w)"),
    "an address": re.compile(rf"\b\d{{1,5}}\s+(?:[A-Za-z.]+\s+){{1,3}}(?:{_STREETS})\b", re.IGNORECASE),
    "an e-mail address": re.compile(r"\S+@\S+\.\S+"),
    "a code or password": re.compile(r"\b(?:code|pin|password|passcode|pw|combination|key ?box|lock ?box)\b", re.IGNORECASE),
    "a serial number": re.compile(r"\b(?=[A-Z0-9-]*[A-Z])(?=[A-Z0-9-]*\d[A-Z0-9-]*\d[A-Z0-9-]*\d)[A-Z0-9][A-Z0-9-]{6,}[A-Z0-9]\b"),
}


def released_findings(system: System) -> Iterator[Finding]:
    """Yield a caution for each line or path whose released words look like something private; the words are not repeated."""
    released = system.record.released if system.record is not None else ()
    for name in released:
        for words, at in _typed(system, name):
            if kinds := [kind for kind, looks in _PRIVATE.items() if looks.search(words)]:
                said = f"{name}: what is released for everybody looks as if it held {' and '.join(kinds)}; read it before it is published"
                yield Finding(
                    "released-text", "What is released is private to nobody", name, Judgement(Verdict.CAUTION, said), "", OF_THE_RECORD, at
                )
                break


def _typed(system: System, name: str) -> Iterator[tuple[str, ProjectLine | None]]:
    """Yield what people typed at a line of the checklist, or as the reason of a departure at a path."""
    built = system.built
    for result in built.results if built is not None else ():
        if result.value("line") == name:
            yield " ".join((result.value("value"), result.value("reason"))), result.at
    for departure in built.departures if built is not None else ():
        if departure.path == name:
            yield departure.reason, departure.at
