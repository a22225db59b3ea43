"""What a directory says of the way current comes is held against the graph: the word is never a flag, only a thing to be found true."""

from __future__ import annotations

from collections.abc import Iterable

from permitgen.project.directories import Claim
from permitgen.project.directory_text import UTILITY
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile
from permitgen.system.system import System


def claim_problems(system: System, claims: Iterable[Claim], file: ReadFile) -> list[Problem]:
    """Return every claim that the circuits of the file do not bear out."""
    return [
        Problem(file.file, *claim.place, f"equipment.{claim.enclosure}.directory", _message(claim))
        for claim in claims
        if not _is_so(system, claim)
    ]


def _message(claim: Claim) -> str:
    if claim.says == UTILITY:
        return f"no circuit of the file leads from the utility to {claim.device}; connect it, or leave the word out"
    return f"nothing that feeds lies behind {claim.device}, so that it is not back-fed; leave the word out, or connect what feeds it"


def _is_so(system: System, claim: Claim) -> bool:
    link = next((each for each in system.graph.links if each.handle == claim.device), None)
    if link is None:
        return False
    bus = f"{claim.enclosure}.bus"
    outside = link.first if link.second == bus or claim.says == UTILITY else link.other(bus)
    reached = system.graph.reach([outside], lambda other: other is not link)
    return any(source.node in reached for source in system.sources.values() if claim.says != UTILITY or source.kind == UTILITY)
