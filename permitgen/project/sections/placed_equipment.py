"""What every kind of equipment may state: place, terminals, enclosure, wiring spaces."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from permitgen.project.fields import (
    CrossSection,
    Current,
    FaultCurrent,
    KiloAmperes,
    Section,
    Size,
    SmallLength,
    Text,
    TradeSize,
    Weight,
    Words,
    YesNo,
    choice_schema,
    one_of,
)
from permitgen.project.sections.hardware import Bond, PlaceModel, TerminalModel


class EntryZoneModel(Section, says="A rectangle on a wall in which raceways may enter."):
    wall: Annotated[str, one_of("top", "bottom", "left", "right", "back"), choice_schema("top", "bottom", "left", "right", "back")]
    left: SmallLength = None
    right: SmallLength = None
    back: SmallLength = None
    front: SmallLength = None
    largest: TradeSize | None = None


class WiringSpaceModel(Section, says="A wiring space that other circuits pass through, or are spliced or tapped in."):
    width: SmallLength = None
    depth: SmallLength = None
    circuits: Words = ()
    splices: YesNo = None
    splices_area: CrossSection = None
    labeled: YesNo = None


class EquipmentModel(Section, says="What every kind may state."):
    catalog: Text = ""
    name: Text = ""
    place: PlaceModel | None = None
    role: Words = ()
    listed_as: Words = ()
    status: Annotated[str, one_of("new", "existing", "removed", "replaced"), choice_schema("new", "existing", "removed", "replaced")] = (
        "new"
    )
    model: Text = ""
    enclosure_type: Text = ""
    short_circuit_rating: KiloAmperes = None
    neutral_bond: Bond | None = None
    terminals: dict[str, TerminalModel] = Field(default_factory=dict)
    width: SmallLength = None
    height: SmallLength = None
    depth: SmallLength = None
    weight: Weight = None
    bending_space_top: SmallLength = None
    bending_space_bottom: SmallLength = None
    bending_space_left: SmallLength = None
    bending_space_right: SmallLength = None
    entry_zones: list[EntryZoneModel] = Field(default_factory=list)
    wiring_space: WiringSpaceModel | None = None
    grounding_electrode_conductor: Size | None = None
    system_bonding_jumper: Size | None = None
    system_bonding_jumper_supplied: YesNo = None
    auxiliary_electrode: YesNo = None
    surge_protection: Annotated[str, one_of("type 1", "type 2", "none"), choice_schema("type 1", "type 2", "none")] = ""
    surge_discharge: KiloAmperes = None
    surge_short_circuit_rating: KiloAmperes = None
    load_management_setting: Current = None
    existing_labels: Words = ()


class OnThePathModel(
    EquipmentModel,
    says="What stands on the way of the utility's current. ``available_fault_current`` is what a letter, a study or a label says of this "
    "very place, without the inverters of the premises; ``fault_current_source`` names it.",
):
    available_fault_current: FaultCurrent = None
    fault_current_source: Text = ""
