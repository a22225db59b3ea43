"""The steps of the placard against the sources, node by node: which sources still reach what feeds loads after each step.

Where a source is tapped ahead of the service disconnect, a further row counts what is still joined to the utility.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.system.walks.isolation import has_loads_beyond, load_nodes, service_handles, shutdown_steps, sources_on_utility
from permitgen.system.walks.live_sources import sources_reaching
from permitgen.views.reviewer.lines import short_section
from permitgen.views.reviewer.parts import CheckLine
from permitgen.views.wording import joined_tags

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

RULE = "placard-complete"
"""What these rows tell step by step."""


def shutdown_lines(evaluation: Evaluation) -> tuple[CheckLine, ...]:
    """Return a row for the nodes that lose the same sources by the same steps; none where there is nothing to open."""
    system = evaluation.system
    steps = [handle.id for handle in shutdown_steps(system).steps]
    alike: dict[tuple[tuple[str, ...], ...], list[str]] = {}
    for node in load_nodes(system) if steps else ():
        after = tuple(_left(evaluation, steps[:count], node) for count in range(len(steps) + 1))
        alike.setdefault(after, []).append(node.partition(".")[0])
    if steps and _has_source_ahead(evaluation):
        joined = tuple(_on_utility(evaluation, steps[:count]) for count in range(len(steps) + 1))
        alike.setdefault(joined, []).extend(dict.fromkeys(node.partition(".")[0] for node in system.utility_nodes))
    provision = evaluation.given.code.provision("placard_complete")
    section = short_section(provision.citation, evaluation.given.code.edition.book)
    return tuple(
        CheckLine(
            key=f"shutdown_{number}",
            subject=joined_tags(tags),
            text=_told(after, steps),
            computed=str(len(after[-1])),
            relation="=" if not after[-1] else "≠",
            limit="0",
            section=section,
            verdict=str(Verdict.VIOLATED if after[-1] else Verdict.PASSES),
            rules=(RULE,),
        )
        for number, (after, tags) in enumerate(alike.items(), start=1)
    )


def _left(evaluation: Evaluation, opened: list[str], node: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source.tag for source in sources_reaching(evaluation.system, opened, [node])))


def _has_source_ahead(evaluation: Evaluation) -> bool:
    """Whether a source stays on the utility with every service disconnect of loads open."""
    system = evaluation.system
    return bool(sources_on_utility(system, [handle for handle in service_handles(system) if has_loads_beyond(system, handle)]))


def _on_utility(evaluation: Evaluation, opened: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(source.tag for source in sources_on_utility(evaluation.system, opened)))


def _told(after: tuple[tuple[str, ...], ...], handles: list[str]) -> str:
    """Return what is left before and after each step: *sources left with nothing open: UTIL, PV1; 1 RSI: UTIL; 2 MID.main: none*."""
    heads = ["sources left with nothing open", *(f"{number} {handle}" for number, handle in enumerate(handles, start=1))]
    return "; ".join(f"{head}: {', '.join(left) or 'none'}" for head, left in zip(heads, after, strict=True))
