"""What every kind of equipment may state: place, terminals, enclosure, wiring spaces."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, ClassVar

from permitgen.project.fields import (
    CrossSection,
    Current,
    FaultCurrent,
    KiloAmperes,
    Section,
    Size,
    SmallLength,
    Source,
    Text,
    There,
    TradeSize,
    Weight,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.hardware import Bond, PlaceModel, TerminalModel
from permitgen.project.sections.hardware_notes import HardwareNotes
from permitgen.project.word_fields import Listings


class EntryZoneModel(Section, says="A rectangle on a wall in which raceways may enter."):
    wall: Annotated[str, one_of("top", "bottom", "left", "right", "back"), choice_schema("top", "bottom", "left", "right", "back")] = (
        described(..., meanings.WALL)
    )
    left: SmallLength = described(
        None, "Distance of the zone's left edge from the left end of that wall, in inches, from the dimension drawing."
    )
    right: SmallLength = described(
        None, "Distance of the zone's right edge from the left end of that wall, in inches, from the dimension drawing."
    )
    back: SmallLength = described(
        None, "Distance of the zone's rear edge from the back of the enclosure, in inches, from the dimension drawing."
    )
    front: SmallLength = described(
        None, "Distance of the zone's front edge from the back of the enclosure, in inches, from the dimension drawing."
    )
    largest: TradeSize | None = described(None, "Largest trade size of raceway that the zone or its knockouts take.")


class WiringSpaceModel(Section, says="A wiring space that other circuits pass through, or are spliced or tapped in."):
    width: SmallLength = described(None, "Width of the wiring space at its narrowest, in inches, by tape or from the dimension drawing.")
    depth: SmallLength = described(None, "Depth of the wiring space at its shallowest, in inches, by tape or from the dimension drawing.")
    circuits: Words = described((), "Tags of circuits that pass through this enclosure without landing in it.")
    splices: There = described(None, "Whether conductors are spliced or tapped in this wiring space.")
    splices_area: CrossSection = described(
        None, "Cross section that splices and taps take at the fullest place, in square inches, from the connectors' data."
    )
    labeled: YesNo = described(None, "Whether a label on the enclosure names the nearest disconnect for the conductors that pass through.")


TO_BE_REMOVED = "to be removed"
STATES = ("new", "existing", "replaced", TO_BE_REMOVED)


class EquipmentModel(HardwareNotes, says="What every kind may state."):
    # What the file has to say or show of a kind, because it decides which rules bind at all: the key, and what is expected there.
    asked_for: ClassVar[Mapping[str, str]] = MappingProxyType({})

    catalog: Text = described("", "Name of the catalog entry that describes this hardware; keys written here stand over its keys.")
    name: Text = described("", meanings.NAME)
    place: PlaceModel | None = described(None, "Where it stands or hangs on this site and what is around it.")
    role: Words = described((), "What it does on this site, for example service equipment, islanding, pv combiner or meter disconnect.")
    listed_as: Listings = described(
        (), "What its listing covers, from the listing mark, for example service equipment or microgrid interconnect device."
    )
    status: Annotated[str, one_of(*STATES), choice_schema(*STATES)] = described(
        "new", "Whether it is new, existing, replaced or to be removed in this work; what is to be removed is drawn and feeds nothing."
    )
    model: Text = described("", "Model designation from the nameplate; it is printed and nothing is computed from it.")
    enclosure_type: Text = described("", "Type number of the enclosure, from its label, for example 1 indoors or 3R in rain.")
    short_circuit_rating: KiloAmperes = described(
        None, "Short-circuit current rating (SCCR or withstand), in kiloamperes, from the nameplate."
    )
    neutral_bond: Bond | None = described(
        None,
        "Neutral-to-ground bond in this enclosure, as seen: installed, removed, factory fixed or none possible; in a service-rated "
        "transfer switch that opens the neutral, ahead of that pole.",
    )
    terminals: dict[str, TerminalModel] = described(
        dict, "Terminals by name, each with what it takes and how it is tightened; breaker stands for the lugs of its branch breakers."
    )
    width: SmallLength = described(None, "Outside width of the enclosure, in inches, by tape or from the data sheet.")
    height: SmallLength = described(None, "Outside height of the enclosure, in inches, by tape or from the data sheet.")
    depth: SmallLength = described(None, "Outside depth of the enclosure, in inches, by tape or from the data sheet.")
    weight: Weight = described(None, "Weight as mounted, in pounds, from the data sheet.")
    bending_space_top: SmallLength = described(
        None, "Free distance from the lugs to the top wall, in inches, by tape or from the dimension drawing."
    )
    bending_space_bottom: SmallLength = described(
        None, "Free distance from the lugs to the bottom wall, in inches, by tape or from the dimension drawing."
    )
    bending_space_left: SmallLength = described(
        None, "Free distance from the lugs to the left wall, in inches, by tape or from the dimension drawing."
    )
    bending_space_right: SmallLength = described(
        None, "Free distance from the lugs to the right wall, in inches, by tape or from the dimension drawing."
    )
    qualified_persons_only: YesNo = described(
        None, "Whether only qualified persons reach the fuses in it, because the enclosure is locked or opened with a tool."
    )
    entry_zones: list[EntryZoneModel] = described(list, "Rectangles of the walls in which raceways may enter, from the dimension drawing.")
    wiring_space: WiringSpaceModel | None = described(
        None, "Wiring space of an enclosure in which conductors pass through or are spliced or tapped."
    )
    grounding_electrode_conductor: Size | None = described(
        None, "Size of a grounding electrode conductor that lands in this enclosure, of a source or a second building."
    )
    system_bonding_jumper: Size | None = described(
        None, "Size of the jumper that bonds neutral to ground here, of a separately derived system or of a source ahead of the service."
    )
    system_bonding_jumper_supplied: YesNo = described(
        None, "Whether the manufacturer supplied the system bonding jumper as part of the listed equipment."
    )
    auxiliary_electrode: There = described(
        None, "Whether a ground rod of its own is driven at this equipment beside the grounding electrode system."
    )
    surge_protection: Annotated[str, one_of("type 1", "type 2", "none"), choice_schema("type 1", "type 2", "none")] = described(
        "", "Type of the surge-protective device in or at this equipment: type 1, type 2 or none."
    )
    surge_discharge: KiloAmperes = described(
        None, "Nominal discharge current of the surge-protective device (In), in kiloamperes, from its label."
    )
    surge_short_circuit_rating: KiloAmperes = described(
        None, "Short-circuit current rating of the surge-protective device, in kiloamperes, from its label."
    )
    load_management_setting: Current = described(
        None, "Current to which a listed energy management system limits the loads here, in amperes, as set on site."
    )
    existing_labels: Words = described((), "Names of the labels that hang on existing equipment today and stay legible.")


class OnThePathModel(
    EquipmentModel,
    says="What stands on the way of the utility's current. ``available_fault_current`` is what a letter, a study or a label says of this "
    "very place, without the inverters of the premises; ``fault_current_source`` names it.",
):
    available_fault_current: FaultCurrent = described(
        None, "Fault current available at this very place, in kiloamperes, from the utility's letter, a study or the label on site."
    )
    fault_current_source: Source = described(
        "", "Who stated the available fault current and when, for example utility letter of 2026-02-11."
    )
