"""The output current by which a source counts: on its own circuit, and on what it shares with other supplies."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


def counted_output(given: Given, source: PowerSource) -> Value:
    """Return the output current by which a source counts on busbars and shared conductors, A: held down by listed power control.

    An edition without a section on power control counts the full output, unless the jurisdiction accepts the listing alone.

    Raises:
        MissingFactError: the source does not state its output current.
    """
    accepted = given.in_force("power_control_system") or given.system.jurisdiction.option("power_control_by_listing", "no") == "yes"
    limit = source.limit_a if accepted else None
    return given.need(limit or source.output_a, f"output current of {source.id}").named(f"I_{source.id}")


def own_output(given: Given, source: PowerSource) -> Value:
    """Return the output current for which a source's own circuit and device are sized, A: rated, unless the edition takes the limit.

    705.60(A) of 2017 and 705.28(A) of 2020 know the rated continuous output only.

    Raises:
        MissingFactError: the source does not state its output current.
    """
    limit = source.limit_a if given.provision("source_circuit_current").flag("power_limit_counts") else None
    return given.need(limit or source.output_a, f"output current of {source.id}")
