"""Where a raceway or cable is fastened, and how many supports that takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.equations.raceway_supports import between_end_supports_ft, distance_ft, fewest_supports_count
from permitgen.rules.judgement import at_most
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.units_of_length import length_in
from permitgen.system.walks.circuit_sides import CircuitRole

if TYPE_CHECKING:
    from permitgen.code.provision import Provision
    from permitgen.rules.given import Given
    from permitgen.system.raceway import Raceway
    from permitgen.values.value import Value

_RACEWAYS = {
    "EMT": "emt_support",
    "RMC": "rmc_support",
    "IMC": "imc_support",
    "PVC-40": "pvc_support",
    "PVC-80": "pvc_support",
    "LFMC": "lfmc_support",
    "LFNC-B": "lfnc_support",
    "FMC": "fmc_support",
    "ENT": "ent_support",
}
# Service-entrance cable beyond the service and underground feeder cable above ground are installed as NM cable is.
_CABLES = {
    "NM-B cable": "nm_cable_support",
    "SER cable": "nm_cable_support",
    "SEU cable": "nm_cable_support",
    "UF-B cable": "nm_cable_support",
    "MC cable": "mc_cable_support",
    "TC-ER cable": "tray_cable_support",
}
_SERVICE_CABLES = ("SER cable", "SEU cable")


@dataclass(frozen=True, slots=True)
class Supports:
    """Limits of the supports of one run.

    ``from_enclosure_ft`` is the largest distance from an enclosure, ``between_ft`` the largest one between supports;
    ``fewest`` the smallest number of supports that keeps both, None where the length is not stated or the run is underground.
    ``may_be_none`` says that the run is so short that it may go without, in knockouts of its own size.
    """

    provision: Provision
    from_enclosure_ft: Value
    between_ft: Value
    fewest: Value | None
    may_be_none: bool


def supports_of(given: Given, raceway: Raceway) -> Supports | None:
    """Return the supports of a run, None for conductors in free air and for wireways.

    Raises:
        MissingFactError: the trade size of a raceway is not stated.
        NotInTableError: the table has no such raceway of that size.
    """
    return None if raceway.is_free_air or raceway.is_wireway else given.once(("supports", raceway.tag), lambda: _supports(given, raceway))


def _supports(given: Given, raceway: Raceway) -> Supports:
    if raceway.is_cable:
        provision = given.provision(_cable_provision(given, raceway))
        near = distance_ft.derive(distance_in=provision.value("from_box_in").named("a"), provision=provision)
        between = provision.value("between_ft")
    else:
        provision = given.provision(_RACEWAYS[raceway.kind])
        table = given.table("raceway_support")
        row = (raceway.kind, given.need(raceway.trade_size, f"trade size of {raceway.tag}"))
        near, between = table.at(row, "from_enclosure"), table.at(row, "between")
    near, between = near.named("a", "largest distance from an enclosure"), between.named("s", "largest distance between supports")
    return Supports(provision, near, between, _fewest(raceway, near, between, provision), _may_be_none(given, raceway))


def _cable_provision(given: Given, raceway: Raceway) -> str:
    circuits = (given.system.circuits[tag] for tag in given.system.circuits_in_run[raceway.tag])
    is_service = raceway.kind in _SERVICE_CABLES and any(role(given, circuit) is CircuitRole.SERVICE for circuit in circuits)
    return "se_cable_support" if is_service else _CABLES[raceway.kind]


def _fewest(raceway: Raceway, near: Value, between: Value, provision: Provision) -> Value | None:
    if raceway.length_ft is None or raceway.buried:
        return None
    left = between_end_supports_ft.derive(length_ft=raceway.length_ft, from_enclosure_ft=near, provision=provision)
    title = f"fewest supports of {raceway.tag}"
    return fewest_supports_count.derive(between_ends_ft=left, between_ft=between, provision=provision, title=title)


def _may_be_none(given: Given, raceway: Raceway) -> bool:
    provision = given.provision("unsupported_raceway")
    if raceway.length_ft is None or raceway.kind not in provision.words("raceways"):
        return False
    return at_most(length_in(raceway.length_ft), provision.value("longest_in"))
