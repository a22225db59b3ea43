"""The sections ``project``, ``jurisdiction``, ``site`` and ``record``."""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import AfterValidator, PlainValidator, WithJsonSchema

from permitgen.project.fields import (
    Area,
    Count,
    Current,
    Day,
    Power,
    RecordLow,
    Section,
    Source,
    Temperature,
    Text,
    There,
    Whole,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
)
from permitgen.project.sections import meanings
from permitgen.project.sections.approval import ApprovedModel
from permitgen.project.sections.asked import AskedModel
from permitgen.project.sections.plan import BuildingUseModel, PlanModel
from permitgen.project.value_schemas import SCALAR
from permitgen.reading.problems import quoted
from permitgen.system.local_options import LOCAL_OPTIONS, LocalOption

EDITIONS = ("2017", "2020", "2023", "2026")


def _read_edition(value: object) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    if text not in EDITIONS:
        raise ValueError(f"there is no NEC {text} in this program; editions known: {', '.join(EDITIONS)}")
    return text


Edition = Annotated[str, PlainValidator(_read_edition), choice_schema(*EDITIONS)]


class RevisionModel(
    Section,
    says="One revision of the permit documents. ``file`` is the project file as it then was, kept in the project folder.",
):
    number: Whole = described(..., "Number of the revision as the title block prints it, counted from 0 for the first submission.")
    date: Day = described(..., "Day of the revision, as year-month-day.")
    reason: Text = described(..., "What changed since the revision before, as the revision table of every sheet prints it.")
    by: Text = described("", "Initials or name of the person who made the revision.")
    file: Text = described(
        "", "Path, inside the project folder, of the project file as it was at this revision; with it the sheets that changed are marked."
    )
    approved: ApprovedModel | None = described(None, "The stamped set of this revision, once the authority gave it back.")


class PersonModel(Section, says="Somebody with a role in the project."):
    role: Text = described(..., "What the person is to the project, for example owner, electrical contractor or designer.")
    name: Text = described("", "Name of the person as it stands on permit papers.")
    company: Text = described("", "Firm for which the person signs.")
    license: Text = described("", "Number of the contractor's or electrician's license, from the state's license card.")
    phone: Text = described("", "Telephone number for the permit desk; it never stands in the public record.")
    email: Text = described("", "Electronic mail address for the permit desk; it never stands in the public record.")


class ProjectModel(Section, says="The title block's facts."):
    name: Text = described(..., "Name of the project as title blocks and covers print it.")
    number: Text = described("", "The office's own number of the project; field results are matched by it.")
    address: Text = described("", "Street address and town of the site, as on the permit application.")
    description: Text = described("", "What is built, in one sentence for the cover: sources, storage, generator and what is backed up.")
    permit_number: Text = described("", "Number that the authority gave the permit, once there is one.")
    revisions: list[RevisionModel] = described(list, "Every revision of the permit documents, the first submission included.")
    people: list[PersonModel] = described(list, "People with a role: owner, contractor, designer.")


def _option_schema(option: LocalOption) -> dict[str, Any]:
    """An editor may read yes and no as answers, and a length as a number."""
    choices: dict[str, Any] = {"enum": [*option.choices, *((True, False) if "yes" in option.choices else ())]} if option.choices else SCALAR
    return {**choices, "description": option.meaning}


Options = Annotated[
    dict[str, Text],
    WithJsonSchema(
        {
            "type": "object",
            "properties": {name: _option_schema(option) for name, option in LOCAL_OPTIONS.items()},
            "additionalProperties": False,
        }
    ),
]


class GrantModel(
    Section,
    says="What the authority granted in writing about one verdict, by ``rule`` or ``section``. The verdict stays and prints by whom.",
):
    rule: Text = described("", "Id of the rule that is granted, as findings print it, for example working-space; either this or a section.")
    section: Text = described("", "Section that the finding cites, as the list of findings prints it; either this or the id of a rule.")
    subject: Text = described(..., "Tag or other subject that the finding is about, as the list of findings prints it.")
    what: Text = described(..., "What is granted, in the words of the paper, in one sentence.")
    by: Text = described(..., "Name of the official who signed the grant.")
    office: Text = described(..., "Office of the official, for example Building Department.")
    date: Day = described(..., "Day on which the grant was signed, as year-month-day.")
    copy_: Text = described(..., "Path, inside the project folder, of a copy of the signed paper.", alias="copy")


SHEETS = ("ANSI B", "ANSI C", "ANSI D", "Arch C", "Arch D", "letter", "tabloid")
PLAN_SET = ("one file", "one file a sheet")


class SubmissionModel(
    Section,
    says="How the department's portal wants the papers: names, sizes, what is joined; ``build`` writes ``submission/`` beside the package.",
):
    names: Text = described(
        "{document}",
        "Pattern of the file names, with {document} and, where wanted, {permit_number}, {project_number}, {revision} and {address} in it.",
    )
    largest_file: Text = described("10 MB", "Largest file that the portal takes, in MB; a larger one is split into parts by pages.")
    page_size: Annotated[str, one_of(*SHEETS), choice_schema(*SHEETS)] = described(
        "", "Size of the sheets of the plan set, where the portal wants another than settings: sheet_size."
    )
    plan_set: Annotated[str, one_of(*PLAN_SET), choice_schema(*PLAN_SET)] = described(
        "one file", "Whether the plan set is one file or one file a sheet, each called by its number and title."
    )
    files: dict[str, Words] = described(
        dict,
        "Files that are handed in by name, each with the documents of the package that are joined in it (plan_set, calculations, "
        "site_photos, forms/NAME); left out, each document that a department reads is a file of its own.",
    )


class ConfirmedModel(
    Section,
    says="What the authority answered in writing to a disputed point of the code: the answer decides, and is printed with its name.",
):
    reading: Text = described(..., "Name of the disputed point, as the sheet of readings to confirm and the options print it.")
    answer: Text = described(..., "What the authority answered: one of the choices of that point, or its own figure or name.")
    by: Text = described(..., "Name of the official who signed the answer.")
    office: Text = described(..., "Office of the official who answered, for example Building Department.")
    date: Day = described(..., "Day on which the answer was signed, as year-month-day.")
    copy_: Text = described(..., "Path, inside the project folder, of a copy of the signed answer.", alias="copy")


class ContactModel(Section, says="Whom to call at the authority or the utility, and for what."):
    for_: Text = described(..., "What one calls for, for example inspections.", alias="for")
    who: Text = described(..., "Name of the person, desk or office to call.")
    phone: Text = described(..., "Telephone number, as it is printed.")


class JurisdictionModel(
    Section,
    says="Who reviews and under which code. Name and edition may stand in the jurisdiction file that ``file`` names; what is written here "
    "stands over that file.",
):
    file: Text = described("", "Jurisdiction file of this place, shared by projects; ../ leads up to three folders up.")
    name: Text = described(..., "Town, city or county that adopts the code here.")
    edition: Edition = described(..., "Year of the NEC edition that the jurisdiction has adopted, from its code adoption ordinance.")
    authority: Text = described("", "Office that reviews the permit, for example Building Department.")
    amendments: Words = described(
        (), "Files with local amendments, as paths inside the project folder, laid over the edition in this order."
    )
    fire_code: Text = described(
        "", "Adopted fire or residential code with its year, for example IRC 2021, for roof access and energy storage."
    )
    options: Options = described(dict, "Local interpretations of disputed points, each by its name; what is left out is read strictly.")
    granted: list[GrantModel] = described(
        list, "What the authority granted in writing: each names a verdict, which stays and prints by whom."
    )
    submission: SubmissionModel | None = described(None, "How papers are handed in here, for the folder submission/ beside the package.")
    confirmed: list[ConfirmedModel] = described(
        list, "What the authority answered in writing to disputed points of the code, each with who answered and a copy."
    )
    statements: list[Text] = described(list, "Statements that the department requires on the cover, word by word.")
    contacts: list[ContactModel] = described(list, "Whom to call here, as the cover prints it.")
    asked: list[AskedModel] = described(
        list,
        "What the department asked for in earlier projects; it stands in the jurisdiction file, and every later project is looked through.",
    )
    asks_for: Words = described((), "Names of labels that the authority, the fire service or the utility wants beyond the code.")


class ClimateModel(Section, says="Design temperatures and where they come from."):
    record_low: RecordLow = described(
        None,
        "Lowest expected ambient temperature, in degrees, from the weather station's extreme annual mean minimum; it sets "
        "the highest PV voltage.",
    )
    design_high: Temperature = described(
        None, "Design high ambient temperature, in degrees, from the weather station's two-percent summer value, for ampacity."
    )
    ground: Temperature = described(None, "Temperature of the earth at the depth of burial, in degrees, for conductors underground.")
    source: Source = described("", "Weather station or table from which the temperatures were taken.")
    table: Text = described(
        "", "CSV table of stations with the columns station, extreme minimum and 2 % high, as a path inside the project folder."
    )
    station: Text = described("", "Station of the table from which the temperatures are taken that are not stated here.")


class MeasuredDemandModel(Section, says="The measured maximum demand of an existing service and how it was recorded."):
    peak: Current = described(
        None, "Highest measured current of the service averaged over fifteen minutes, in amperes, from the meter data or a recorder."
    )
    peak_power: Power = described(
        None, "Highest measured demand of the service, in kilowatts or kilovolt-amperes, from the utility's bills or load data."
    )
    record: Annotated[str, one_of("one year", "30 days"), choice_schema("one year", "30 days")] = described(
        "", "How long the demand was recorded: one year of utility data, or 30 days with a recorder."
    )
    sources_connected: YesNo = described(
        None, "Whether solar, storage or a generator fed the house while the record was taken, which hides demand."
    )
    seasonal_loads_included: YesNo = described(
        None, "Whether a record of 30 days includes heating or cooling of the house, whichever is larger, by measurement or calculation."
    )
    source: Source = described("", "Who recorded the demand, with which instrument or from which account data, and when.")


ROOF_FIRE_CLASSES = ("A", "B", "C", "none required")


_MANUFACTURED = (
    "mobile and manufactured homes have an article of their own (service beside the home, feeder, bonding of the chassis), which this "
    "program does not cover; expected a house built on its site: one-family, two-family, townhouse or other"
)
_NOT_COVERED = MappingProxyType(dict.fromkeys(("manufactured", "mobile", "trailer"), _MANUFACTURED))


class SiteModel(Section, says="The dwelling, its climate and its plan."):
    dwelling: Annotated[
        str,
        one_of("one-family", "two-family", "townhouse", "other", not_covered=_NOT_COVERED),
        choice_schema("one-family", "two-family", "townhouse", "other"),
    ] = described(
        "",
        "Kind of dwelling: one-family, two-family, townhouse or other; it decides which dwelling rules bind. Mobile and manufactured homes "
        "are not covered.",
    )
    floor_area: Area = described(None, meanings.FLOOR_AREA)
    existing_dwelling: YesNo = described(
        None, "Whether the house stood before this work, so that the load calculation for existing dwellings may be used."
    )
    sprinklers: There = described(
        None, "Whether the dwelling has fire sprinklers throughout, which narrows firefighters' pathways on the roof."
    )
    roof_fire_class: Annotated[str, one_of(*ROOF_FIRE_CLASSES), choice_schema(*ROOF_FIRE_CLASSES)] = described(
        "", "Fire class of the roof that the building code asks for here: A, B, C, or none required."
    )
    small_appliance_circuits: Count = described(None, meanings.SMALL_APPLIANCE_CIRCUITS)
    laundry_circuits: Count = described(None, meanings.LAUNDRY_CIRCUITS)
    measured_demand: MeasuredDemandModel | None = described(
        None, "Measured maximum demand of an existing service, in place of a calculation of its loads."
    )
    climate: ClimateModel = described(ClimateModel, "Design temperatures of the place and their source.")
    buildings: dict[str, BuildingUseModel] = described(
        dict, "Buildings, poles and pedestals of the site by name, each with what it is used for and whether it stands by itself."
    )
    plan: PlanModel | None = described(
        None, "Geometry of lot, buildings and roofs, from which site plan, roof plan and placard map are drawn."
    )


RECORD_PARTS = ("emergency", "owner", "electrician")


def _known_parts(words: tuple[str, ...]) -> tuple[str, ...]:
    for word in words:
        if word not in RECORD_PARTS:
            never = "names, telephone and serial numbers and network facts are never public"
            raise ValueError(f"{quoted(word)} is not a part of the record ({', '.join(RECORD_PARTS)}); {never}")
    return words


RecordParts = Annotated[Words, AfterValidator(_known_parts)]
RECORD_STATUSES = ("in service", "do not energize", "removed")


def _read_web_address(value: object) -> str:
    text = value.strip() if isinstance(value, str) else str(value)
    try:
        parts = urlsplit(text)
        is_usable = (
            parts.scheme.lower() in {"http", "https"} and _HOST.fullmatch(parts.hostname or "") is not None and parts.username is None
        )
    except ValueError:  # brackets that are no address, a port that is no number
        is_usable = False
    if text and not (is_usable and _IN_AN_ADDRESS.fullmatch(text) and len(text) <= _LONGEST_ADDRESS):
        raise ValueError(f"{quoted(text)} is not a web address; write it with https:// and the name of a host, for example {_EXAMPLE}")
    return text


_HOST = re.compile(r"[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?|[0-9a-f:.]+")
_IN_AN_ADDRESS = re.compile(r"[A-Za-z0-9._~:/?#\[\]@!$&()*+,;=%-]+")
_LONGEST_ADDRESS = 200
_EXAMPLE = "https://records.example/17"
WebAddress = Annotated[
    str,
    PlainValidator(_read_web_address),
    WithJsonSchema({"type": "string", "pattern": r"^\s*([Hh][Tt][Tt][Pp][Ss]?://.*)?$", "examples": [_EXAMPLE]}),
]


class ScenarioModel(Section, says="What runs in an outage, for the hours of backup in the record."):
    name: Text = described(..., "What it is called, for example a winter night, in the owner's words.")
    average: Power = described(..., "Average power of all that then runs, in watts or kilowatts, from a meter or a bill.")


class RecordModel(
    Section,
    says="The public record: its short address, what may stand in it, and translations of the project's own words by language.",
):
    address: WebAddress = described("", "Web address of the as-built record, which the code on placard and labels leads to.")
    id: Text = described("", "Identifier of the record that placard, labels and record print, so that a person can compare them.")
    address_public: YesNo = described(False, "Whether the street address of the house may stand in the public record.")
    public: RecordParts = described((), "Parts that the public record shows: emergency, owner, electrician; left out, all of them.")
    emergency_contact: Text = described(
        "", "Whom to call about this installation, with telephone number, as placard and emergency page print it."
    )
    custodian: Text = described(
        "",
        "Who keeps the record and takes in what its short forms send, with e-mail or telephone: a company or a role, printed on the "
        "public record and inside the panel door.",
    )
    backup_scenarios: list[ScenarioModel] = described(
        list, "Outages whose hours of backup the record tells beside those of all loads together and of each room."
    )
    released: Words = described(
        (), "Lines of the field checklist, or keys, of which the words that somebody typed in the field may stand in the public record."
    )
    status: Annotated[str, one_of(*RECORD_STATUSES), choice_schema(*RECORD_STATUSES)] = described(
        "in service", "State that the record announces: in service, do not energize, or removed."
    )
    translations: dict[str, dict[str, Text]] = described(dict, "Translations of the project's own words for places and names, by language.")
