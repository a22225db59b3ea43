"""What lies in a raceway and how much of it may be filled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_fill import conductor_group_area_in2, permitted_fill_in2
from permitgen.values.equation import sum_of
from permitgen.values.origin import FromSystem
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.conductor_size import ConductorSize


@dataclass(frozen=True, slots=True)
class RacewayContents:
    """Sum of the areas of all conductors, how many there are, and the permitted area of the raceway."""

    area_in2: Value
    count: int
    permitted_in2: Value


def raceway_contents(given: Given, raceway: Raceway) -> RacewayContents | None:
    """Return what lies in the raceway, None where nothing does.

    Raises:
        MissingFactError: a conductor size or the trade size is not stated.
    """
    return given.once(("contents", raceway.tag), lambda: _compute(given, raceway))


def _compute(given: Given, raceway: Raceway) -> RacewayContents | None:
    groups = [group for tag in given.system.circuits_in_run[raceway.tag] for group in _groups(given, given.system.circuits[tag])]
    for control in given.system.controls.values():
        if raceway.tag in control.runs:
            size = given.need(control.size, f"conductor size of {control.tag}")
            groups.append((control.tag, control.insulation or "THWN-2", size, 2))
    if not groups:
        return None
    areas = [_group_area(given, *group) for group in groups]
    count = sum(group[3] for group in groups)
    area = sum_of(areas, symbol="A_cond", title=f"area of the conductors in {raceway.tag}")
    total = (
        given.table("raceway_dimensions")
        .at((raceway.kind, given.need(raceway.trade_size, f"trade size of {raceway.tag}")), "total_area")
        .named("A_total")
    )
    permitted = permitted_fill_in2.derive(
        fill_percent=_share(given, raceway, count),
        total_area_in2=total,
        provision=given.provision("conduit_fill"),
        title=f"permitted fill of {raceway.tag}",
    )
    return RacewayContents(area, count, permitted)


def _share(given: Given, raceway: Raceway, count: int) -> Value:
    nipple = given.provision("nipple_fill")
    if raceway.length_ft is not None and raceway.length_ft.number * 12 <= nipple.value("longest_in").number + 1e-9:
        return nipple.value("fill_percent").named("p", "permitted share in a nipple")
    return given.table("conduit_fill").band(count, "fill").named("p", f"permitted share for {count} conductors")


def _groups(given: Given, circuit: Circuit) -> list[tuple[str, str, ConductorSize, int]]:
    conductors = circuit.conductors
    size = given.need(conductors.size, f"conductor size of {circuit.tag}")
    insulation = given.need(conductors.insulation or None, f"insulation of {circuit.tag}")
    found = [(circuit.tag, insulation, size, conductors.ungrounded_count * conductors.sets)]
    if conductors.has_neutral:
        found.append((f"{circuit.tag} neutral", insulation, conductors.neutral_size or size, conductors.sets))
    if conductors.egc_size is not None and conductors.has_wire_egc and not conductors.egc_shared_with:
        found.append((f"{circuit.tag} equipment ground", insulation, conductors.egc_size, conductors.sets))
    return found


def _group_area(given: Given, name: str, insulation: str, size: ConductorSize, number: int) -> Value:
    rows = given.table("insulation_dimension_group").text_at(insulation.upper(), "dimensions_of").text
    each = given.table("conductor_dimensions").at((rows, size), "area").named("a")
    count = Value(float(number), "count", FromSystem(f"conductors of {name}"), "n", f"{size} conductors of {name}")
    return conductor_group_area_in2.derive(
        conductors_count=count, each_in2=each, symbol=f"A_{name.replace(' ', '_')}", title=f"{number} × {size} of {name}"
    )
