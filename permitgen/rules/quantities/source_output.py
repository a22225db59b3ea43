"""The output current by which a source counts: on its own circuit, and on what it shares with other supplies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.values.equation import selected, sum_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from permitgen.rules.given import Given
    from permitgen.system.power_control import PowerControl
    from permitgen.system.power_source import PowerSource
    from permitgen.values.value import Value


def counted_output(given: Given, source: PowerSource) -> Value:
    """Return the output current by which a source counts on busbars and shared conductors, A: held down by listed power control.

    An edition without a section on power control counts the full output, unless the jurisdiction accepts the listing alone.

    Raises:
        MissingFactError: the source does not state its output current.
    """
    limit = source.limit_a if accepts_power_control(given) else None
    return given.need(limit or source.output_a, f"output current of {source.id}").named(f"I_{source.id}")


def own_output(given: Given, source: PowerSource) -> Value:
    """Return the output current for which a source's own circuit and device are sized, A: rated, unless the edition takes the limit.

    705.60(A) of 2017 and 705.28(A) of 2020 know the rated continuous output only.

    Raises:
        MissingFactError: the source does not state its output current.
    """
    limit = source.limit_a if given.provision("source_circuit_current").flag("power_limit_counts") else None
    return given.need(limit or source.output_a, f"output current of {source.id}")


def accepts_power_control(given: Given) -> bool:
    """Whether what a listed power control system holds counts: the edition has a section on it, or the jurisdiction takes the listing."""
    return given.in_force("power_control_system") or given.option("power_control_by_listing", "no") == "yes"


def controls_at(given: Given, place: str) -> tuple[PowerControl, ...]:
    """Return the power control systems whose setting holds on a busbar or circuit, by its tag."""
    return tuple(control for control in given.system.power_controls.values() if place in control.limits)


def counted_outputs(given: Given, sources: Sequence[PowerSource], place: str) -> list[Value]:
    """Return the outputs by which sources count on a busbar or circuit, A: those under one power control by its one setting.

    Raises:
        MissingFactError: a source does not state its output current, or a control its setting.
    """
    controls = controls_at(given, place) if accepts_power_control(given) else ()
    return held_together(given, controls, [(source, counted_output(given, source)) for source in sources])


def held_together(given: Given, controls: Sequence[PowerControl], outputs: Sequence[tuple[PowerSource, Value]]) -> list[Value]:
    """Return one output for each control that holds sources, the smaller of its setting and their sum, and those of the other sources.

    Raises:
        MissingFactError: a control does not state its setting.
    """
    found = []
    free = list(outputs)
    for control in controls:
        held = [value for source, value in free if source.tag in control.sources]
        free = [(source, value) for source, value in free if source.tag not in control.sources]
        if held:
            found.append(_within_setting(given, control, held))
    return [*found, *(value for _, value in free)]


def _within_setting(given: Given, control: PowerControl, outputs: list[Value]) -> Value:
    setting = given.need(control.setting_a, f"setting of {control.tag}").named(f"I_{control.tag}")
    title = f"output current of {' and '.join(control.sources)} together, held by {control.tag}"
    total = sum_of(outputs, symbol="S", title=f"output current of {' and '.join(control.sources)} together", unit="a")
    number = min(setting.number, total.number)
    return selected(number, "a", by="smaller of", inputs=(setting, total), symbol=f"I_{control.tag}", title=title)
