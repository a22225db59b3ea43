"""What interlocks name are switches of the graph: whatever opens a way for current there can be interlocked, and nothing else."""

from __future__ import annotations

from permitgen.project.messages import Where
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile
from permitgen.system.system import System


def interlock_problems(system: System, file: ReadFile, where: Where) -> list[Problem]:
    """Return every name of an interlock that is no breaker and no switch of the project."""
    known = tuple(dict.fromkeys(name for link in system.graph.links for name in link.switching))
    found = []
    for index, interlock in enumerate(system.interlocks):
        named = (("not_both_closed", interlock.not_both_closed), ("when", (interlock.when,)), ("first_opens", interlock.first_opens))
        for key, names in named:
            for name in names:
                if name and name not in known:
                    have = did_you_mean(name, known) or f" (there are: {', '.join(known)})"
                    message = f'no breaker or switch is called "{name}"{have}'
                    found.append(file.problem(where(("interlocks", index, key)), message))
    return found
