"""What lies in a raceway and how much of it may be filled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_fill import gutter_area_in2, permitted_fill_in2
from permitgen.rules.judgement import at_most
from permitgen.rules.quantities.conductor_cross_section import ConductorGroup, groups_of_circuit, groups_of_control
from permitgen.rules.quantities.units_of_length import length_in
from permitgen.values.equation import sum_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.circuit import Circuit
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class RacewayContents:
    """Sum of the areas of all conductors, how many there are, the permitted area of the raceway; ``groups`` make up the sum.

    ``is_estimate`` says that the diameter of some conductor was estimated.
    """

    area_in2: Value
    count: int
    permitted_in2: Value
    groups: tuple[ConductorGroup, ...]

    @property
    def is_estimate(self) -> bool:
        """Whether some diameter in the sum is an estimate."""
        return any(group.is_estimate for group in self.groups)


def raceway_contents(given: Given, raceway: Raceway) -> RacewayContents | None:
    """Return what lies in the raceway, None where nothing does.

    Raises:
        MissingFactError: a conductor size, an insulation, the trade size, or width or depth of a wireway is not stated.
        NotInTableError: the tables do not have the raceway, its trade size or the conductors.
    """
    return given.once(("contents", raceway.tag), lambda: _compute(given, raceway))


def groups_in(given: Given, raceway: Raceway) -> list[ConductorGroup]:
    """Return the groups of conductors in a raceway, power circuits first."""
    circuits = [given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag]]
    found = [group for circuit in circuits for group in _groups_of(given, circuit, circuit.sets_in(raceway.tag))]
    for control in given.system.controls.values():
        if raceway.tag in control.runs:
            found += groups_of_control(given, control)
    return found


def _groups_of(given: Given, circuit: Circuit, sets: int) -> list[ConductorGroup]:
    """Return what one circuit puts into a raceway, kept by itself: a size that changes in one circuit leaves the others as they are."""
    return given.once(("conductor groups", circuit.tag, sets), lambda: groups_of_circuit(given, circuit, sets))


def _compute(given: Given, raceway: Raceway) -> RacewayContents | None:
    groups = groups_in(given, raceway)
    if not groups:
        return None
    count = sum(group.count for group in groups)
    area = sum_of([group.area_in2 for group in groups], symbol="A_cond", title=f"area of the conductors in {raceway.tag}")
    permitted = _of_wireway(given, raceway) if raceway.is_wireway else _of_conduit(given, raceway, count)
    return RacewayContents(area, count, permitted, tuple(groups))


def wireway_provision(raceway: Raceway) -> str:
    """Return the provision that limits the fill of a wireway of this kind."""
    return "metal_wireway_fill" if raceway.is_metal else "nonmetallic_wireway_fill"


def _of_wireway(given: Given, raceway: Raceway) -> Value:
    provision = given.provision(wireway_provision(raceway))
    sides = [given.need(raceway.fact(f"interior_{side}"), f"interior {side} of {raceway.tag}") for side in ("width", "depth")]
    area = gutter_area_in2.derive(width_in=sides[0], depth_in=sides[1], title=f"cross section of {raceway.tag}")
    share = provision.value("fill_percent").named("p", "permitted share of a wireway")
    title = f"permitted fill of {raceway.tag}"
    return permitted_fill_in2.derive(fill_percent=share, total_area_in2=area, provision=provision, title=title)


def _of_conduit(given: Given, raceway: Raceway, count: int) -> Value:
    trade_size = given.need(raceway.trade_size, f"trade size of {raceway.tag}")
    return permitted_fill_in2.derive(
        fill_percent=_share(given, raceway, count),
        total_area_in2=given.table("raceway_dimensions").at((raceway.kind, trade_size), "total_area").named("A_total"),
        provision=given.provision("conduit_fill"),
        title=f"permitted fill of {raceway.tag}",
    )


def _share(given: Given, raceway: Raceway, count: int) -> Value:
    nipple = given.provision("nipple_fill")
    if raceway.length_ft is not None and at_most(length_in(raceway.length_ft), nipple.value("longest_in")):
        return nipple.value("fill_percent").named("p", "permitted share in a nipple")
    return given.table("conduit_fill").band(count, "fill").named("p", f"permitted share for {count} conductors")
