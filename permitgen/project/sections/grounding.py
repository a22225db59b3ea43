"""Electrodes and the conductors to them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from permitgen.project.fields import (
    Count,
    Current,
    Length,
    Resistance,
    Size,
    SmallLength,
    There,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.placed_equipment import EquipmentModel
from permitgen.project.word_fields import Electrodes

PIPING = ("metal", "plastic", "none")
BARS = ("neutral bar", "grounding bar")
JUMPERS = ("screw", "strap or busbar", "wire")
GAS_BONDS = ("appliance circuit", "conductor")


class GroundingElectrodeSystemModel(
    EquipmentModel,
    says="Electrodes and their conductor. Where it lands at several service disconnects, ``conductor`` is the common one and ``to_each`` "
    "the tap to each of them; ``to_each`` alone are conductors of their own from the electrodes.",
):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {
        "water_piping_bonded": ("water_piping", "none"),
        "gas_piping_bonded": ("gas_piping", "none"),
    }
    kind: Literal["grounding_electrode_system"] = described(..., meanings.KIND)
    electrodes: Electrodes = described(
        (), "Electrodes that are bonded together here, for example concrete-encased, ground rod, water pipe or ground ring."
    )
    conductor: Size | None = described(None, "Size of the grounding electrode conductor, from its marking or a wire gauge.")
    conductor_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = described(
        "copper", "Metal of the grounding electrode conductor, copper or aluminum."
    )
    lands_at: Words = described(
        (), "Tags of the enclosures in which the grounding electrode conductor, or its taps, land on the neutral or ground bus."
    )
    to_each: dict[str, Size] = described(
        dict, "Size of the tap or conductor to each enclosure of several, by its tag, from its marking or a wire gauge."
    )
    second_rod: There = described(None, "Whether a second ground rod is driven and bonded to the first.")
    bonding_jumper: Size | None = described(None, "Size of the main bonding jumper at the service, where it is a wire.")
    bonding_jumper_material: Annotated[str, one_of("copper", "aluminum"), choice_schema("copper", "aluminum")] = described(
        "copper", meanings.JUMPER_MATERIAL
    )
    factory_bonding_jumper: YesNo = described(
        None, "Whether the main bonding jumper is the screw or strap that came with the listed service equipment."
    )
    in_raceway: YesNo = described(
        None, "Whether the grounding electrode conductor runs in a metal raceway, which is then bonded at both ends."
    )
    rod_resistance: Resistance = described(
        None, "Resistance to earth of a single ground rod, in ohms, from a three-point or clamp-on measurement."
    )
    rod_spacing: Length = described(None, "Distance between the ground rods, in feet, by tape.")
    intersystem_terminals: Count = described(None, "How many terminals for communication grounds the intersystem bonding termination has.")
    water_piping_bonded: YesNo = described(None, "Whether the metal water piping in the house is bonded to the electrode system.")
    gas_piping_bonded: YesNo = described(None, "Whether the metal gas piping is bonded, by its appliance circuit's ground or a jumper.")
    conductor_above_earth: SmallLength = described(
        None, "Height above the earth at which an aluminum electrode conductor ends, in inches, by tape."
    )
    conductor_ends_in_enclosure: YesNo = described(
        None, "Whether an aluminum electrode conductor that ends lower than 18 in ends inside an enclosure listed for outdoors."
    )
    water_piping: Annotated[str, one_of(*PIPING), choice_schema(*PIPING)] = described(
        "", "What the water piping in the house is made of: metal or plastic; none where there is none."
    )
    gas_piping: Annotated[str, one_of(*PIPING), choice_schema(*PIPING)] = described(
        "", "What the gas piping in the house is made of: metal or plastic; none where there is none."
    )
    water_bonding_conductor: Size | None = described(None, "Size of the conductor that bonds the metal water piping, from its marking.")
    lands_on: Annotated[str, one_of(*BARS), choice_schema(*BARS)] = described(
        "", "Bar of the service equipment on which the grounding electrode conductor is clamped: neutral bar or grounding bar."
    )
    bonding_jumper_kind: Annotated[str, one_of(*JUMPERS), choice_schema(*JUMPERS)] = described(
        "", "What bonds neutral and grounding bar in the service equipment: screw, strap or busbar, or wire."
    )
    electrode_jumpers: dict[str, Size] = described(
        dict, "Size of the jumper that bonds each further electrode, by its name, for example ground rod or second rod."
    )
    water_connection: Length = described(
        None, "Distance of the clamp on the metal water pipe from the place where the pipe enters the house, in feet, by tape."
    )
    water_pipe_in_earth: Length = described(
        None,
        "Length of the metal water pipe that lies in contact with the earth, in feet, up to the first piece of plastic; 0 ft where the "
        "pipe in the earth is plastic.",
    )
    gas_bonded_by: Annotated[str, one_of(*GAS_BONDS), choice_schema(*GAS_BONDS)] = described(
        "", "What bonds the metal gas piping: the ground of an appliance's circuit, a conductor of its own, or there is no such piping."
    )
    gas_bonding_conductor: Size | None = described(None, "Size of a conductor of its own that bonds the metal gas piping, copper.")
    gas_circuit_device: Current = described(
        None, "Rating of the breaker of the circuit that can make the gas piping live, in amperes, from its handle."
    )
