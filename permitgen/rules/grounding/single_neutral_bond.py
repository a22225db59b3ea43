"""Every continuous neutral meets ground where the code wants it, and nowhere else, in every mode.

On the utility's neutral the bond is in each enclosure that holds a service disconnect and not on its load side. A neutral that
a contactor or transfer switch opens, or that a generator alone feeds, is a system of its own with one bond of its own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, Remedy, RemedyKind, Verdict, all_of, does_not_apply, not_judged, require
from permitgen.rules.quantities.grounding_bonds import bonds_compared, carries_neutral, forms_neutral, switching_not_stated
from permitgen.rules.quantities.line_to_neutral_loads import feeders_without_neutral
from permitgen.rules.quantities.service_disconnects import service_side
from permitgen.rules.quantities.siting_buildings import keeps_three_wires, outside_supplies
from permitgen.rules.rule import rule
from permitgen.system.neutral_bond import BondState, NeutralBond
from permitgen.values.listed_words import listed

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import NeutralSubject
    from permitgen.system.system import System
    from permitgen.values.origin import ProjectLine


@rule(
    "single-neutral-bond",
    title="Every continuous neutral meets ground where the code wants it, and nowhere else, in every mode",
    provision="single_neutral_bond",
    judges="neutral",
)
def judge(subject: NeutralSubject, given: Given) -> Judgement:
    """Judge one continuous neutral in one mode, enclosure by enclosure.

    Requires: a bond in each enclosure with a service disconnect and none on its load side; where the utility's neutral is cut off,
        exactly one bond on the neutral that a source forms. A feeder that leaves the neutral out makes no system of its own.
    Why: a second bond sends neutral current over metal parts; without a bond a ground fault trips nothing.
    Applies to: every neutral that a source feeds in the mode; not to parts of the installation without a neutral conductor.
    Example that fails: the panel behind the new service equipment keeps its bonding screw.
    Example that passes: bond installed in the interconnect device that is the service equipment, removed in the panel behind it.
    """
    network = subject.network
    if not carries_neutral(given, network):
        return does_not_apply(f"{subject.tag}: no neutral conductor")
    unstated = switching_not_stated(given, network)
    if unstated:
        raise MissingFactError(*(f"whether {tag} switches the neutral" for tag in unstated))
    if not network.has_utility and not forms_neutral(given, network):
        return does_not_apply(f"{subject.tag}: no source forms this neutral in the mode")
    parts = _utility_neutral(subject, given) if network.has_utility else [_own_system(subject, given)]
    violated = [part for part in parts if part.verdict is Verdict.VIOLATED]
    if not violated and network.not_stated:
        parts.append(not_judged(*(f"neutral bond of {tag}" for tag in network.not_stated)))
    return all_of(f"{subject.tag}: bonded at {listed(network.bonded)} and nowhere else", parts)


def _utility_neutral(subject: NeutralSubject, given: Given) -> list[Judgement]:
    """The utility's neutral: every service disconnect enclosure bonded, nothing beyond."""
    network = subject.network
    service = service_side(given)
    at_service = [tag for tag in service.enclosures if tag in network.enclosures]
    open_here = [tag for tag in at_service if tag not in network.bonded and tag not in network.not_stated]
    own_rule = {d.enclosure for d in service.of_sources}
    # An existing feeder of three wires keeps the bond at the building that it supplies; outside-grounding judges it.
    own_rule |= {supply.equipment.tag for supply in outside_supplies(given) if keeps_three_wires(given, supply.circuit)}
    ahead = {node.split(".", maxsplit=1)[0] for node in service.ahead}
    beyond = [tag for tag in network.bonded if tag not in at_service and tag not in own_rule and tag not in ahead]
    bonded = [tag for tag in at_service if tag in network.bonded]
    missing = f"no bond at {', '.join(open_here)}, which holds the service disconnect" if open_here else f"bonded at {', '.join(bonded)}"
    extra = f"bonded again at {', '.join(beyond)}, beyond the service disconnect" if beyond else "no bond beyond the service disconnect"
    there = bonds_compared(
        f"{subject.tag}: {missing}", bonds=len(at_service) - len(open_here), wanted=len(at_service), where="service disconnect enclosures"
    )
    none = bonds_compared(f"{subject.tag}: {extra}", bonds=len(beyond), wanted=0, where="enclosures beyond the service disconnect")
    remedies = _moved(given, open_here, beyond)
    return [
        replace(there.under(given.provision("neutral_bond_at_service")), remedies=remedies),
        replace(
            none.under(given.provision("single_neutral_bond")),
            remedies=remedies if not open_here else (),
            places=_lines_of_bonds(given, beyond),
        ),
    ]


def _lines_of_bonds(given: Given, tags: list[str]) -> tuple[ProjectLine, ...]:
    bonds = (given.system.equipment[tag].neutral_bond for tag in tags)
    return tuple(bond.at for bond in bonds if bond is not None and bond.at is not None)


def _own_system(subject: NeutralSubject, given: Given) -> Judgement:
    """A neutral without the utility's: a separately derived system."""
    network = subject.network
    number = len(network.bonded)
    left_out = feeders_without_neutral(given, network)
    if left_out:
        returns = f"; bonded at {listed(network.bonded)}, its current would return over the grounding conductor" if number else ""
        message = f"{subject.tag}: {listed(left_out)} has no neutral, so that it is joined to the utility's nowhere{returns}"
        return require(fact=False, message=message).under(given.provision("return_conductor"))
    if number < 1 and network.not_stated:
        return not_judged(*(f"neutral bond of {tag}" for tag in network.not_stated))
    words = {0: "no bond on this neutral, which is a system of its own", 1: f"bonded once, at {', '.join(network.bonded)}"}
    message = f"{subject.tag}: {words.get(number, f'bonded at {listed(network.bonded)}; one is permitted')}"
    judgement = bonds_compared(message, bonds=number, wanted=1, where="enclosures on the neutral")
    return judgement.under(given.provision("separately_derived_system"))


def _moved(given: Given, missing: list[str], extra: list[str]) -> tuple[Remedy, ...]:
    """One change that puts every bond where it belongs, where each jumper can be installed or removed."""
    possible = all(_state(given, tag) is BondState.REMOVED for tag in missing)
    possible = possible and all(_state(given, tag) is BondState.INSTALLED for tag in extra)
    if not possible or not (missing or extra):
        return ()
    states = dict.fromkeys(missing, BondState.INSTALLED) | dict.fromkeys(extra, BondState.REMOVED)
    words = [f"install the neutral bond at {listed(missing)}"] if missing else []
    words += [f"remove the neutral bond at {listed(extra)}"] if extra else []
    return (_with_states(states, " and ".join(words)),)


def _state(given: Given, tag: str) -> BondState | None:
    bond = given.system.equipment[tag].neutral_bond
    return bond.state if bond is not None else None


def _with_states(states: dict[str, BondState], text: str) -> Remedy:
    def change(system: System) -> System:
        for tag, state in states.items():
            item = system.equipment[tag]
            bond = NeutralBond(state=state, at=item.neutral_bond.at if item.neutral_bond is not None else None)
            system = system.with_equipment(replace(item, neutral_bond=bond))
        return system

    return Remedy(text, change, RemedyKind.MOVE)
