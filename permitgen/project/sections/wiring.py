"""The sections ``raceways``, ``circuits``, ``control`` and ``loads``."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from permitgen.project import quantities
from permitgen.project.fields import (
    Bends,
    Count,
    Current,
    Factor,
    Length,
    Power,
    RecordLength,
    Section,
    Size,
    SmallLength,
    Temperature,
    Text,
    TradeSize,
    Voltage,
    Whole,
    Words,
    YesNo,
    choice_schema,
    one_of,
    read_words,
)
from permitgen.project.run_place import PLACES
from permitgen.project.sections.facts import Way
from permitgen.project.sections.hardware import DeviceModel
from permitgen.reading.nearest import did_you_mean

RUN_KINDS = (
    "EMT",
    "RMC",
    "IMC",
    "PVC-40",
    "PVC-80",
    "LFMC",
    "LFNC-B",
    "FMC",
    "ENT",
    "NM-B cable",
    "SER cable",
    "SEU cable",
    "MC cable",
    "UF-B cable",
    "TC-ER cable",
    "metal wireway",
    "nonmetallic wireway",
    "free air",
)


RACEWAY_BONDING = ("threaded hubs", "bonding bushing with jumper", "bonding locknut", "clean knockouts", "standard locknuts")


SURFACES = ("open ground", "driveway", "street", "building", "slab", "concrete in trench")
WALLS = ("top", "bottom", "left", "right", "back")
Wall = Annotated[str, one_of(*WALLS), choice_schema(*WALLS)]


def _read_run_places(value: Any) -> tuple[str, ...]:
    words = read_words(value)
    for word in words:
        if word not in PLACES:
            raise ValueError(f'"{word}" is not one of: {", ".join(PLACES)}{did_you_mean(word, PLACES)}')
    return words


RunPlaces = Annotated[
    tuple[str, ...],
    PlainValidator(_read_run_places),
    WithJsonSchema({"anyOf": [{"enum": list(PLACES)}, {"type": "array", "items": {"enum": list(PLACES)}}]}),
]


class EntryModel(Section, says="Where a run enters an enclosure."):
    wall: Wall
    from_left: SmallLength = None
    from_back: SmallLength = None


# Overhead service conductors: what lies below them on the ground, and the roof they pass over.
BELOW_OVERHEAD = ("pedestrians", "driveway", "street")
ROOF_BELOW = ("none", "low slope", "steep", "overhang")


class RacewayModel(
    Section,
    says="A raceway, a cable or conductors in free air between two enclosures. ``place`` settles whether it is wet, buried and inside a "
    "building; ``wet`` stands over it (a sheltered wall, a washed cellar). ``below``, ``height``, ``attachment_height``, "
    "``roof_below``, ``over_roof`` and ``to_openings`` are asked for overhead service conductors; ``concrete_around`` is what "
    "encases service conductors inside a building. A wireway has ``interior_width`` and ``interior_depth`` instead of a trade size.",
):
    kind: Annotated[str, one_of(*RUN_KINDS), choice_schema(*RUN_KINDS)]
    trade_size: TradeSize | None = None
    interior_width: SmallLength = None
    interior_depth: SmallLength = None
    listed_for_grounding: YesNo = None
    length: Length = None
    location: Text = ""
    place: RunPlaces = ()
    wet: YesNo = None
    ambient: Temperature = None
    above_roof: SmallLength = None
    buried: YesNo = None
    cover: SmallLength = None
    other_current_carrying: Count = None
    building: Text = ""
    inside_building: YesNo = None
    exposed: YesNo = None
    readily_accessible: YesNo = None
    barrier: YesNo = None
    within_array: YesNo = None
    guarded: YesNo = None
    bonding: Annotated[str, one_of(*RACEWAY_BONDING), choice_schema(*RACEWAY_BONDING)] = ""
    bends: Bends = None
    support_spacing: Length = None
    first_support: Length = None
    nonferrous: YesNo = None
    whole_sets: YesNo = None
    listed_for_wet: YesNo = None
    identified_for_dwelling: YesNo = None
    listed_assembly: YesNo = None
    coldest: Temperature = None
    hottest: Temperature = None
    listed_ambient: Temperature = None
    spaced: YesNo = None
    thermal_insulation: YesNo = None
    expansion_fitting: YesNo = None
    in_sun: YesNo = None
    sunlight_resistant: YesNo = None
    surface: Annotated[str, one_of(*SURFACES), choice_schema(*SURFACES)] = ""
    riser: Annotated[str, one_of(*RUN_KINDS), choice_schema(*RUN_KINDS)] = ""
    route: Way = Field(default_factory=list)
    entries: dict[str, EntryModel] = Field(default_factory=dict)
    concrete_around: SmallLength = None
    bonding_jumper: Size | None = None
    below: Annotated[str, one_of(*BELOW_OVERHEAD), choice_schema(*BELOW_OVERHEAD)] = ""
    height: Length = None
    attachment_height: Length = None
    roof_below: Annotated[str, one_of(*ROOF_BELOW), choice_schema(*ROOF_BELOW)] = ""
    over_roof: Length = None
    to_openings: Length = None


MATERIALS = ("copper", "aluminum")
Material = Annotated[str, one_of(*MATERIALS), choice_schema(*MATERIALS)]


def _read_neutral(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    if text.casefold() not in ("yes", "no", "unknown"):
        quantities.parse_conductor_size(text)
    return text


Neutral = Annotated[str, PlainValidator(_read_neutral), WithJsonSchema({"type": "string", "examples": ["yes", "no", "6 AWG", "unknown"]})]


class ConductorsModel(Section, says="Conductors of one circuit; what is left out is sized."):
    size: Size | None = None
    material: Material = "copper"
    insulation: Text = ""
    ungrounded: Whole | None = None
    neutral: Neutral = "unknown"
    neutral_senses_voltage_only: YesNo = False
    equipment_ground: Size | None = None
    equipment_ground_material: Material = "copper"
    equipment_ground_by_raceway: YesNo = False
    equipment_ground_shared_with: Text = ""
    sets: Whole | None = None
    fine_stranded: YesNo = False
    stranding: Annotated[str, one_of("solid", "stranded"), choice_schema("solid", "stranded")] = ""
    compact: YesNo = None
    sets_alike: YesNo = None
    equipment_ground_bare: YesNo = False
    without_equipment_ground: YesNo = False
    outside_diameter: SmallLength = None
    cable_diameter: SmallLength = None


class OvercurrentModel(Section, says="The devices at the ends of a circuit; ``2P size`` asks the program for the rating."):
    from_end: DeviceModel | None = None
    to_end: DeviceModel | None = None


class CircuitModel(
    Section,
    says="A circuit. ``runs`` lie one after the other and hold every set of conductors; where each set has runs of its own, ``parallel`` "
    "names the sets with theirs, and ``shared_runs`` those that hold more than one set. ``moved`` says that it was taken from another "
    "panel, ``added_length`` what was added to it outside of enclosures.",
):
    name: Text = ""
    from_: Text = Field(alias="from")
    to: Text
    overcurrent: OvercurrentModel = Field(default_factory=OvercurrentModel)
    conductors: ConductorsModel = Field(default_factory=ConductorsModel)
    runs: Words = ()
    parallel: dict[str, Words] = Field(default_factory=dict)
    shared_runs: Words = ()
    voltage: Voltage = None
    current: Current = None
    continuous: YesNo = None
    power_factor: Factor = None
    tap_of: Text = ""
    reason_for_increase: Text = ""
    existing: YesNo = False
    tap_length: Length = None
    metallic_paths_between_buildings: YesNo = None
    moved: YesNo = None
    added_length: Length = None
    new_outlets: YesNo = None
    arc_fault_protection: YesNo = None


class ControlModel(Section, says="A control circuit."):
    name: Text = ""
    purpose: Annotated[
        str,
        one_of("rapid shutdown", "generator start", "load control", "emergency shutdown", "communication"),
        choice_schema("rapid shutdown", "generator start", "load control", "emergency shutdown", "communication"),
    ]
    source: Text
    device: Text
    source_class: Annotated[str, one_of("1", "2", "unknown"), choice_schema("1", "2", "unknown")] = "unknown"
    supply_overcurrent: Current = None
    voltage: Voltage = None
    current: Current = None
    size: Size | None = None
    insulation: Text = ""
    tail_size: Size | None = None
    splice: Text = ""
    length: Length = None
    runs: Words = ()
    reclassified: YesNo = None
    associated_with: Words = ()
    barrier: YesNo = None
    tail_insulation: Text = ""
    insulation_voltage: Voltage = None
    cable_diameter: SmallLength = None
    smallest_voltage: Voltage = None
    fails_to_shutdown: YesNo = None
    opens: YesNo = None


class LoadModel(Section, says="A load of a panel."):
    name: Text = ""
    panel: Text
    category: Text = ""
    leg: Annotated[str, one_of("L1", "L2", "both"), choice_schema("L1", "L2", "both")] = ""
    power: Power = None
    current: Current = None
    locked_rotor_current: Current = None
    continuous: YesNo = None
    simultaneous: YesNo = True
    new: YesNo = None
    moved: YesNo = None
    added_length: Length = None
    new_outlets: YesNo = None
    arc_fault_protection: YesNo = None
    shed: Annotated[str, one_of("none", "island", "always"), choice_schema("none", "island", "always")] = "none"


LOAD_METHODS = ("standard", "optional", "existing dwelling")


class KnownLoadModel(
    Section,
    says="The load behind a panel, a disconnect or a meter as one figure, calculated or measured; ``by`` names the paper. It stands in "
    "place of the loads behind it that are listed as existing; new ones are added to it. A measured load is the highest average of 15 "
    "minutes; ``over`` is how long its record ran, ``seasonal_loads_included`` says that heating and cooling are in it.",
):
    calculated: Current = None
    calculated_power: Power = None
    method: Annotated[str, one_of(*LOAD_METHODS), choice_schema(*LOAD_METHODS)] = ""
    measured: Current = None
    measured_power: Power = None
    over: RecordLength = None
    sources_connected: YesNo = None
    seasonal_loads_included: YesNo = None
    by: Text = ""

    @model_validator(mode="after")
    def say_one_figure(self) -> KnownLoadModel:
        """Refuse two figures for one load, and what belongs to a figure of the other kind."""
        figures = ("calculated", "calculated_power", "measured", "measured_power")
        stated = [name for name in figures if getattr(self, name) is not None]
        if len(stated) > 1:
            raise ValueError(f"{' and '.join(stated)} are two figures for one load; expected one of: {', '.join(figures)}")
        of_a_record = [name for name in ("over", "sources_connected", "seasonal_loads_included") if getattr(self, name) is not None]
        if stated and stated[0].startswith("calculated") and of_a_record:
            raise ValueError(f"{of_a_record[0]} tells of a measured load, and this one is calculated")
        if stated and stated[0].startswith("measured") and self.method:
            raise ValueError("method tells how a load was calculated, and this one is measured")
        return self


class PowerControlModel(
    Section,
    says="A listed power control system with one setting: the currents of its ``sources`` together stay within ``setting`` on the "
    "busbars and circuits that ``limits`` names.",
):
    name: Text = ""
    setting: Current = None
    sources: Words
    limits: Words


def _read_when(value: Any) -> str:
    return read_words(value)[0].removesuffix(" closes") if read_words(value) else ""


class InterlockModel(
    Section,
    says="An interlock between two pieces of equipment: breakers and switches of which ``not_both_closed`` can be closed together, or what "
    "``first_opens`` ``when`` another one closes. ``by`` is what does it.",
):
    not_both_closed: Words = ()
    when: Annotated[str, PlainValidator(_read_when), WithJsonSchema({"type": "string", "examples": ["ATS.alternate closes"]})] = ""
    first_opens: Words = ()
    by: Text = ""
    listed: YesNo = None

    @model_validator(mode="after")
    def say_one_kind(self) -> InterlockModel:
        """Refuse an interlock of two kinds, of none, or of one switch with itself."""
        if bool(self.not_both_closed) == bool(self.when or self.first_opens) or bool(self.when) != bool(self.first_opens):
            raise ValueError("expected not_both_closed: [two or more], or when: one and first_opens: the others")
        if self.not_both_closed and len(set(self.not_both_closed)) < 2:
            raise ValueError("not_both_closed names one switch; expected two or more that differ")
        if self.when and self.when in self.first_opens:
            raise ValueError(f"{self.when} cannot open first when it closes itself")
        return self
