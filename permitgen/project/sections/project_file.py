"""The project file as a whole."""

from __future__ import annotations

from typing import Annotated, get_args, get_origin

from permitgen.project.fields import Section, Text, Words, choice_schema, described
from permitgen.project.sections.approval import InspectionModel
from permitgen.project.sections.built import BuiltModel
from permitgen.project.sections.equipment import CatalogEntry, EquipmentEntry
from permitgen.project.sections.facts import JurisdictionModel, ProjectModel, RecordModel, SiteModel
from permitgen.project.sections.figures_and_controls import InterlockModel, KnownLoadModel, PowerControlModel
from permitgen.project.sections.papers import AttachmentModel, FormModel, ReviewCommentModel, SentModel
from permitgen.project.sections.utilization import LoadModel
from permitgen.project.sections.wiring import CircuitModel, ControlModel, RacewayModel

FORMAT = "2"
"""The form of the project file that this version reads; a file that does not name its form is taken to be of this one."""

# Which labels there are is known where they are read; there a wrong word is refused with its place.
LabelWord = Annotated[Text, choice_schema("print", "leave out")]


class ProjectFile(Section, says="Every section of a project file."):
    format: Text = described(FORMAT, "Form of this project file, its first line; a file of another form is refused.")
    project: ProjectModel = described(..., "Title block: name, address, people, revisions.")
    jurisdiction: JurisdictionModel = described(..., "Who reviews, under which edition and with which local interpretations.")
    site: SiteModel = described(SiteModel, "The dwelling, its climate and its plan.")
    catalog: dict[str, CatalogEntry] = described(
        dict, "Hardware by model name, described once from data sheet and nameplate and placed many times."
    )
    hardware: Words = described(
        (),
        "Hardware files, or folders of them, of the project or of the company (../ leads up to three folders up); their entries stand "
        "beside those of the catalog.",
    )
    equipment: dict[str, EquipmentEntry] = described(
        ..., "Equipment on this site by tag; an entry's keys stand over those of the catalog entry that it names."
    )
    raceways: dict[str, RacewayModel] = described(dict, "Raceways, cables and conductors in free air by tag.")
    circuits: dict[str, CircuitModel] = described(
        dict, "Circuits by tag: conductors between two terminals, with the devices at their ends."
    )
    control: dict[str, ControlModel] = described(
        dict, "Control circuits by tag: shutdown loops, generator start, load control, communication."
    )
    loads: dict[str, LoadModel] = described(dict, "Loads of panels by tag, for load calculation and backup capacity.")
    known_loads: dict[str, KnownLoadModel] = described(
        dict, "Loads known as one figure, by the tag of the panel, disconnect or meter behind which they lie."
    )
    power_control: dict[str, PowerControlModel] = described(
        dict, "Listed power control systems by tag, each with one setting that holds several sources together."
    )
    interlocks: list[InterlockModel] = described(list, "Interlocks between two pieces of equipment, which the operating modes obey.")
    settings: dict[str, Text] = described(
        dict,
        "Settings of equipment to be matched on site, by name and value, and the program's own: sheet_size, placard_size, and "
        "material_allowance, the percentage that the material list adds to lengths.",
    )
    labels: dict[str, LabelWord] = described(
        dict, "Labels by id that are to be printed although nothing asks for them (print), or are left out (leave out)."
    )
    attachments: list[AttachmentModel] = described(
        list, "Documents appended to the plan set (specification sheets, letters), and photos of the site."
    )
    forms: list[FormModel] = described(list, "Forms of the department and the utility, filled by a mapping into forms/ of the package.")
    sent: list[SentModel] = described(list, "What was sent where and when, for the log of the submission.")
    inspections: list[InspectionModel] = described(list, "Inspections of the authority, each with its result and what did not pass.")
    plan_review: list[ReviewCommentModel] = described(
        list, "The plan reviewer's comments with their answers, from which the reply is written."
    )
    record: RecordModel | None = described(None, "The public as-built record behind the code on the placard.")
    built: BuiltModel | None = described(None, "What a person says about the built state: departures, settlements, warranties.")


def sections_by_tag() -> tuple[str, ...]:
    """Return the sections whose entries have a tag or a name and keys of their own, in the order of the file."""
    entries = {name: get_args(each.annotation)[1] for name, each in ProjectFile.model_fields.items() if get_origin(each.annotation) is dict}
    return tuple(name for name, entry in entries.items() if str not in get_args(entry))
