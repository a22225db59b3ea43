"""What the utility's conductors pass on their way in: service point, meter, junction and pull boxes."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import PlainValidator, WithJsonSchema

from permitgen.project import quantities
from permitgen.project.fields import (
    Count,
    Current,
    Factor,
    Percent,
    SmallLength,
    There,
    TransformerRating,
    Volume,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.placed_equipment import OnThePathModel


def _read_system_voltage(value: Any) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    quantities.parse_system_voltage(text)
    return text


SystemVoltageText = Annotated[
    str,
    PlainValidator(_read_system_voltage),
    WithJsonSchema({"type": "string", "pattern": "[0-9].*([Vv/])", "examples": ["120/240 V", "208Y/120 V"]}),
]


# Why a building may have a further service.
FURTHER_SERVICE = (
    "parallel power production",
    "fire pump",
    "emergency or standby system",
    "capacity requirements",
    "different characteristics",
    "special permission",
    "none",
)


class UtilityServiceModel(OnThePathModel, says="The utility's service point."):
    kind: Literal["utility_service"] = described(..., meanings.KIND)
    voltage: SystemVoltageText = described(
        "120/240 V", "Nominal voltage of the service, from the meter or the utility, for example 120/240 V or 208Y/120 V."
    )
    transformer: TransformerRating = described(
        None, "Rating of the utility's transformer, in kilovolt-amperes, from the number painted on it."
    )
    transformer_impedance: Percent = described(
        None, "Impedance of the utility's transformer, in percent, from its nameplate or the utility."
    )
    x_over_r: Factor = described(
        None, "Ratio of reactance to resistance of the utility's source, a plain number from the utility's letter."
    )
    reason_for_further_service: Annotated[str, one_of(*FURTHER_SERVICE), choice_schema(*FURTHER_SERVICE)] = described(
        "",
        "Why the building may have a further service, from the letter of utility or authority; none where there is no reason.",
    )
    single_phase_sources_accepted: YesNo = described(
        None, "Whether the utility accepts single-phase sources on a three-phase service, from its interconnection letter."
    )
    ground_fault_equipment_sees_sources: YesNo = described(
        None, "Whether ground-fault protection of equipment at the service sees the current of sources behind it."
    )


class MeterModel(OnThePathModel, says="A revenue meter."):
    kind: Literal["meter"] = described(..., meanings.KIND)
    rating: Current = described(None, "Continuous current rating of the meter socket, in amperes, from its label, for example 320 A.")
    socket_listed: YesNo = described(None, "Whether the socket is listed, from the mark inside its cover.")
    utility_owned: YesNo = described(None, "Whether the utility supplies the socket and alone controls it.")


SPLICED = ("copper", "aluminum", "copper and aluminum")
LINE_SIDE_CONNECTORS = ("marked for the line side", "listed", "neither")


class JunctionBoxModel(
    OnThePathModel,
    says="A junction or pull box. ``pull`` says how conductors of 4 AWG and larger pass; ``volume`` is asked for smaller ones.",
):
    kind: Literal["junction_box"] = described(..., meanings.KIND)
    volume: Volume = described(None, "Volume inside the box, in cubic inches, from its marking, for conductors of 6 AWG and smaller.")
    devices: Count = described(None, "How many yokes with a switch or receptacle the box holds.")
    terminal_blocks: Count = described(None, "How many terminal blocks the box holds, each of which takes room like a conductor.")
    internal_clamps: There = described(None, "Whether cable clamps sit inside the box, which take room like a conductor.")
    pull: Annotated[str, one_of("straight", "angle", "u", "splice"), choice_schema("straight", "angle", "u", "splice")] = described(
        "", "How conductors of 4 AWG and larger pass the box: straight, angle, u or splice."
    )
    entry_spacing: SmallLength = described(None, "Distance between the raceway entries that hold the same conductors, in inches, by tape.")
    marked_for_conductors: YesNo = described(
        None, "Whether a smaller box is marked with the number and size of conductors that it may hold."
    )
    splices_listed_for: Annotated[str, one_of(*SPLICED), choice_schema(*SPLICED)] = described(
        "", "Metals that the splicing devices in the box are listed for: copper, aluminum, or both."
    )
    line_side_connectors: Annotated[str, one_of(*LINE_SIDE_CONNECTORS), choice_schema(*LINE_SIDE_CONNECTORS)] = described(
        "", "Marking of connectors on the line side of the service disconnect: marked for the line side, listed or neither."
    )
    barrier: There = described(None, "Whether a barrier in the box parts PV dc conductors from other wiring.")
