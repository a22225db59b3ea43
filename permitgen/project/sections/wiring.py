"""The sections ``raceways``, ``circuits`` and ``control``."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import (
    NONE,
    Bends,
    Count,
    Current,
    Factor,
    Length,
    Section,
    Size,
    SmallLength,
    Temperature,
    Text,
    There,
    TradeSize,
    Voltage,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
    read_words,
)
from permitgen.project.run_place import PLACES
from permitgen.project.sections import meanings
from permitgen.project.sections.hardware import DeviceModel
from permitgen.project.sections.plan import Route
from permitgen.project.value_schemas import words_schema
from permitgen.project.word_fields import ControlInsulation, Insulation
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
    wall: Wall = described(..., meanings.WALL)
    from_left: SmallLength = described(None, "Distance of the hole's center from the left end of that wall, in inches, by tape.")
    from_back: SmallLength = described(None, "Distance of the hole's center from the back of the enclosure, in inches, by tape.")


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
    kind: Annotated[str, one_of(*RUN_KINDS), choice_schema(*RUN_KINDS)] = described(
        ..., "Raceway or cable type, or free air, from the marking along it, for example EMT, PVC-40 or NM-B cable."
    )
    trade_size: TradeSize | None = described(
        None, "Trade size of the raceway, from its marking; left out, the smallest that holds the conductors is chosen."
    )
    interior_width: SmallLength = described(None, "Width of a wireway inside, in inches, from its data sheet or by tape.")
    interior_depth: SmallLength = described(None, "Depth of a wireway inside, in inches, from its data sheet or by tape.")
    conductors_turn: YesNo = described(
        None,
        "Whether conductors turn in a wireway: at its ends, where others enter or leave it, or where it bends by over 30 degrees.",
    )
    listed_for_grounding: YesNo = described(
        None, "Whether a metal wireway is listed as an equipment grounding conductor, from its listing mark or data sheet."
    )
    length: Length = described(None, "Length along its way between the two enclosures, in feet, by tape or off the plan.")
    location: Text = described("", "Where it runs, in words for the raceway schedule, for example garage wall and ceiling.")
    place: RunPlaces = described(
        (), "What it passes: indoors, attic, outdoors, roof, underground, or several; it settles whether it is wet, buried and inside."
    )
    wet: YesNo = described(
        None, "Whether its inside counts as a wet location although its place says otherwise (a washed cellar, a sheltered wall)."
    )
    ambient: Temperature = described(
        None,
        "Highest ambient temperature along it, in degrees, for the correction of ampacity; left out, the site's design high, but in an "
        "attic nothing is assumed.",
    )
    above_roof: SmallLength = described(
        None, "Height of its underside above the roof surface, in inches, by tape, for the heat of a sunlit roof."
    )
    buried: YesNo = described(None, "Whether it lies underground, where its place does not say.")
    cover: SmallLength = described(None, "Earth or concrete over its top, in inches, by tape in the open trench.")
    other_current_carrying: Count = described(
        None, "How many current-carrying conductors of other wiring share it that this file does not show."
    )
    building: Text = described("", meanings.BUILDING_NAME)
    inside_building: YesNo = described(None, "Whether it, or a part of it, lies inside a building, where its place does not say.")
    exposed: YesNo = described(None, "Whether it is in plain view rather than behind a finished surface.")
    readily_accessible: YesNo = described(None, meanings.READILY_ACCESSIBLE)
    barrier: There = described(None, "Whether a barrier or partition parts PV dc conductors from other wiring in it.")
    within_array: YesNo = described(None, "Whether it lies within the footprint of the array, under the modules.")
    guarded: YesNo = described(None, "Whether flexible or exposed PV wiring is guarded against touch.")
    bonding: Annotated[str, one_of(*RACEWAY_BONDING), choice_schema(*RACEWAY_BONDING)] = described(
        "", "How a metal raceway with service conductors is bonded to its enclosures."
    )
    bends: Bends = described(None, "Sum of the bends between two pull points, in degrees, counted along the run.")
    support_spacing: Length = described(None, "Largest distance between two supports, in feet, by tape.")
    first_support: Length = described(None, "Distance of the first support from the enclosure, in feet, by tape.")
    nonferrous: YesNo = described(
        None, "Whether the enclosure walls that the conductors pass are of nonferrous metal or slotted between the holes."
    )
    whole_sets: YesNo = described(
        None, "Whether all conductors of a circuit, neutral and ground included, pass through one opening together."
    )
    listed_for_wet: YesNo = described(None, "Whether a metal-clad cable is listed for wet locations, from its marking.")
    identified_for_dwelling: YesNo = described(None, "Whether tray cable is identified for use in dwellings (TC-ER-JP), from its marking.")
    listed_assembly: YesNo = described(
        None, "Whether the cable is a part of a listed assembly, for example the trunk cable of microinverters."
    )
    coldest: Temperature = described(
        None, "Lowest temperature of the raceway, in degrees, where it differs from the record low, for expansion."
    )
    hottest: Temperature = described(
        None, "Highest temperature of the raceway, in degrees, where it differs from the design high, for expansion."
    )
    listed_ambient: Temperature = described(None, "Highest ambient that a nonmetallic raceway is listed for, in degrees, from its marking.")
    spaced: YesNo = described(None, "Whether cables lie apart from each other rather than bundled over more than 24 in.")
    thermal_insulation: There = described(
        None,
        "Whether a nonmetallic-sheathed cable, or a service cable used as branch circuit or feeder, lies in thermal insulation or passes "
        "an opening sealed with it, caulk or foam.",
    )
    expansion_fitting: There = described(None, "Whether a nonmetallic raceway has an expansion fitting in its straight run.")
    in_sun: YesNo = described(None, "Whether direct sun reaches it.")
    embedded_in_roofing: YesNo = described(
        None, "Whether it lies within the roofing itself, built up or laminated, rather than on the roof or below it."
    )
    exposed_to_damage: YesNo = described(
        None, "Whether vehicles, tools or traffic can strike it where it runs, for example at a driveway or below a workbench."
    )
    listed_for_burial: YesNo = described(
        None, "Whether a metal-clad cable or a liquidtight conduit is listed for direct burial, from its marking."
    )
    sunlight_resistant: YesNo = described(None, "Whether cable or conductors are marked sunlight resistant.")
    surface: Annotated[str, one_of(*SURFACES), choice_schema(*SURFACES)] = described(
        "", "What lies over a buried run: open ground, driveway, street, building, slab, or concrete in trench."
    )
    riser: Annotated[str, one_of(*RUN_KINDS), choice_schema(*RUN_KINDS)] = described(
        "", "Kind of raceway in which a buried run comes out of the ground, from its marking."
    )
    route: Route = described(
        list, "Its way on the plan: two or more points [x, y] in feet, or tags of the equipment that it passes; corners between as points."
    )
    entries: dict[str, EntryModel] = described(dict, "Where it enters each enclosure, by the enclosure's tag.")
    concrete_around: SmallLength = described(
        None, "Thickness of the concrete that encases service conductors inside a building, in inches."
    )
    bonding_jumper: Size | None = described(None, "Size of the jumper of a bonding bushing on this raceway.")
    outside_jumper: Length = described(None, "Length of a bonding jumper that runs along the outside of it, in feet, by tape.")
    below: Annotated[str, one_of(*BELOW_OVERHEAD), choice_schema(*BELOW_OVERHEAD)] = described(
        "", "What lies on the ground below overhead conductors: pedestrians, driveway or street."
    )
    height: Length = described(None, "Height of overhead conductors above the ground at their lowest, in feet, by measuring stick.")
    attachment_height: Length = described(None, "Height of the point at which overhead conductors are attached to the house, in feet.")
    roof_below: Annotated[str, one_of(*ROOF_BELOW), choice_schema(*ROOF_BELOW)] = described(
        "", "Kind of roof below overhead conductors: none, low slope, steep or overhang."
    )
    over_roof: Length = described(None, "Height of overhead conductors above the roof, above modules on it, in feet, by measuring stick.")
    to_openings: Length = described(None, "Distance of overhead conductors from the nearest window, door or balcony, in feet.")


MATERIALS = ("copper", "aluminum")
Material = Annotated[str, one_of(*MATERIALS), choice_schema(*MATERIALS)]


def _read_neutral(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else ""
    if text.casefold() == NONE:
        return "no"
    if text.casefold() not in ("yes", "no", "unknown"):
        quantities.parse_conductor_size(text)
    return text


Neutral = Annotated[
    str,
    PlainValidator(_read_neutral),
    WithJsonSchema(
        {
            "anyOf": [words_schema("yes", "no", NONE, "unknown"), {"type": "boolean"}, {"type": ["string", "number"], "pattern": "[0-9]"}],
            "examples": ["6 AWG"],
        }
    ),
]


class ConductorsModel(Section, says="Conductors of one circuit; what is left out is sized."):
    none_means: ClassVar[dict[str, tuple[str, str]]] = {"equipment_ground": ("without_equipment_ground", "yes")}
    always_there: ClassVar[frozenset[str]] = frozenset({"size"})
    size: Size | None = described(None, "Size of each ungrounded conductor, from its marking, for example 6 AWG; left out, it is sized.")
    material: Material = described("copper", meanings.MATERIAL)
    insulation: Insulation = described("", meanings.INSULATION)
    ungrounded: Whole | None = described(None, "How many ungrounded conductors each set has: 2 for 240 V, 1 for 120 V.")
    neutral: Neutral = described("unknown", "Whether a neutral conductor runs along (yes or no), or its size, for example 6 AWG.")
    neutral_senses_voltage_only: YesNo = described(
        False, "Whether the neutral serves only to measure voltage, as instructions of some inverters say."
    )
    equipment_ground: Size | None = described(None, "Size of the equipment grounding conductor, from its marking; left out, it is sized.")
    equipment_ground_material: Material = described("copper", "Metal of the equipment grounding conductor, copper or aluminum.")
    equipment_ground_by_raceway: YesNo = described(
        False, "Whether the metal raceway is the equipment grounding conductor, so that no wire runs along."
    )
    equipment_ground_shared_with: Text = described(
        "", "Tag of the circuit in the same raceway whose equipment grounding conductor serves this one too."
    )
    sets: Whole | None = described(None, "How many sets of conductors are joined in parallel at both ends.")
    fine_stranded: YesNo = described(False, "Whether the conductors are fine-stranded, which only terminals identified for them take.")
    stranding: Annotated[str, one_of("solid", "stranded"), choice_schema("solid", "stranded")] = described(
        "", "Whether the conductors are solid or stranded, as seen at a cut end."
    )
    compact: YesNo = described(None, "Whether aluminum conductors are compact stranded, from their marking; they take less room.")
    sets_alike: YesNo = described(None, "Whether parallel sets agree in length, metal, size, insulation and termination.")
    equipment_ground_bare: YesNo = described(
        False, "Whether the equipment grounding conductor is bare, which takes less room in a raceway."
    )
    without_equipment_ground: YesNo = described(
        False, "Whether there is no equipment grounding conductor at all, as in old three-wire feeders."
    )
    outside_diameter: SmallLength = described(
        None, "Outside diameter of one insulated conductor, in inches, from its data sheet, where no table has it."
    )
    cable_diameter: SmallLength = described(None, meanings.DIAMETER_OF_CABLE)
    insulation_voltage: Voltage = described(
        None, "Voltage for which the insulation is marked, in volts, for example 1000 V; asked for above 600 V."
    )


class OvercurrentModel(Section, says="The devices at the ends of a circuit; ``2P size`` asks the program for the rating."):
    from_end: DeviceModel | None = described(None, "Device at the end named under from, for example 2P 60 A, or 2P size to have it sized.")
    to_end: DeviceModel | None = described(None, "Device at the end named under to, where a source feeds the circuit from that side.")


class CircuitModel(
    Section,
    says="A circuit. ``runs`` lie one after the other and hold every set of conductors; where each set has runs of its own, ``parallel`` "
    "names the sets with theirs, and ``shared_runs`` those that hold more than one set. ``moved`` says that it was taken from another "
    "panel, ``added_length`` what was added to it outside of enclosures.",
):
    name: Text = described("", "What schedules and drawings call the circuit, for example Feeder to the whole-house panel.")
    from_: Text = described(..., "Terminal at which the circuit begins, as TAG.terminal or TAG.space, for example HP.2.", alias="from")
    to: Text = described(..., "Terminal at which the circuit ends, as TAG.terminal or TAG.space, for example MID.PV.")
    overcurrent: OvercurrentModel = described(OvercurrentModel, "Overcurrent devices at the ends of the circuit.")
    conductors: ConductorsModel = described(ConductorsModel, "Conductors of the circuit; sizes that are left out are computed.")
    runs: Words = described((), "Tags of the raceways and cables that hold every set of conductors, one after the other.")
    parallel: dict[str, Words] = described(dict, "Sets of conductors by name, each with the raceways that hold that set alone.")
    shared_runs: Words = described((), "Tags of raceways that hold more than one of the parallel sets.")
    voltage: Voltage = described(None, "Voltage of the circuit, in volts, where the equipment at its ends does not settle it.")
    current: Current = described(None, "Largest current of the circuit, in amperes, where the equipment at its ends does not settle it.")
    continuous: YesNo = described(None, meanings.CONTINUOUS)
    power_factor: Factor = described(
        None, "Power factor of the load, a plain number up to 1, for voltage drop with the effective impedance."
    )
    tap_of: Text = described("", "Tag of the circuit from which this one is tapped without an overcurrent device at the tap.")
    reason_for_increase: Text = described(
        "", "Why the conductors are larger than needed, for example voltage drop; the equipment ground grows with them."
    )
    existing: YesNo = described(False, "Whether the circuit is there already and stays as it is.")
    to_be_removed: YesNo = described(False, "Whether the circuit is there today and is taken out in this work.")
    tap_length: Length = described(None, "Length of the tap conductors to their overcurrent device, in feet, by tape.")
    metallic_paths_between_buildings: There = described(
        None, "Whether other continuous metal, such as pipes, joins the two buildings that this feeder joins."
    )
    moved: YesNo = described(None, meanings.MOVED)
    added_length: Length = described(None, meanings.ADDED_LENGTH)
    new_outlets: YesNo = described(None, meanings.NEW_OUTLETS)
    arc_fault_protection: There = described(None, meanings.BRANCH_ARC_FAULT)


class ControlModel(Section, says="A control circuit."):
    always_there: ClassVar[frozenset[str]] = frozenset({"size"})
    name: Text = described("", "What schedules and drawings call the control circuit, for example Shutdown loop, solar.")
    purpose: Annotated[
        str,
        one_of("rapid shutdown", "generator start", "load control", "emergency shutdown", "communication"),
        choice_schema("rapid shutdown", "generator start", "load control", "emergency shutdown", "communication"),
    ] = described(..., "What it is for: rapid shutdown, generator start, load control, emergency shutdown or communication.")
    source: Text = described(..., "Tag of the equipment that supplies the control circuit.")
    device: Text = described(..., "Tag of the equipment that it operates or reads.")
    source_class: Annotated[str, one_of("1", "2", "unknown"), choice_schema("1", "2", "unknown")] = described(
        "unknown", "Class of its power source, 1 or 2, from the marking at the terminals of the equipment that supplies it."
    )
    supply_overcurrent: Current = described(
        None, "Overcurrent device that protects the control circuit, in amperes, from the supplying equipment's instructions."
    )
    voltage: Voltage = described(None, "Voltage of the control circuit, in volts with ac or dc, from the instructions.")
    current: Current = described(None, "Largest current of the control circuit, in amperes, from the instructions.")
    size: Size | None = described(None, "Size of its conductors, from their marking, for example 14 AWG.")
    insulation: ControlInsulation = described("", meanings.INSULATION)
    tail_size: Size | None = described(None, "Size of a finer wire that is spliced on at the device, whose terminals take no larger one.")
    splice: Text = described(
        "", "How the finer wire is spliced on and where, for example listed splice connectors in the switch enclosure."
    )
    length: Length = described(None, "Length of the control circuit one way, in feet, by tape.")
    runs: Words = described((), "Tags of the raceways and cables that hold it.")
    reclassified: YesNo = described(
        None, "Whether a Class 2 circuit is wired as Class 1 and its marking taken off, so that it may lie with power wiring."
    )
    associated_with: Words = described((), "Tags of the equipment whose power circuits it controls, beside its source and device.")
    barrier: There = described(None, "Whether a barrier or a raceway of its own parts it from power wiring.")
    tail_insulation: ControlInsulation = described("", "Type letters printed on the insulation of the finer wire at the device.")
    insulation_voltage: Voltage = described(
        None, "Voltage rating of its insulation, in volts, from the marking; beside power wiring it is the highest there."
    )
    cable_diameter: SmallLength = described(None, meanings.DIAMETER_OF_CABLE)
    smallest_voltage: Voltage = described(None, "Lowest voltage at which the device works, in volts, from its data sheet.")
    fails_to_shutdown: YesNo = described(None, "Whether a broken wire of the loop shuts down, as fail-safe loops do.")
    contact_voltage: Voltage = described(
        None, "Voltage for which the contact that opens or closes it is rated, in volts with ac or dc, for example 30 V dc."
    )
    contact_current: Current = described(None, "Current for which that contact is rated at this voltage, in amperes, from its marking.")
    opens: YesNo = described(None, "Whether the switch opens the loop to shut down (normally closed contact) rather than closes it.")
