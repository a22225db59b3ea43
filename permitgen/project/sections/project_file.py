"""The project file as a whole."""

from __future__ import annotations

from pydantic import Field

from permitgen.project.fields import Section, Text
from permitgen.project.sections.built import BuiltModel
from permitgen.project.sections.equipment import CatalogEntry, EquipmentEntry
from permitgen.project.sections.facts import JurisdictionModel, ProjectModel, RecordModel, SiteModel
from permitgen.project.sections.papers import AttachmentModel, ReviewCommentModel
from permitgen.project.sections.wiring import (
    CircuitModel,
    ControlModel,
    InterlockModel,
    KnownLoadModel,
    LoadModel,
    PowerControlModel,
    RacewayModel,
)

FORMAT = "2"
"""The form of the project file that this version reads; a file that does not name its form is taken to be of this one."""


class ProjectFile(Section, says="Every section of a project file."):
    format: Text = FORMAT
    project: ProjectModel
    jurisdiction: JurisdictionModel
    site: SiteModel = Field(default_factory=SiteModel)
    catalog: dict[str, CatalogEntry] = Field(default_factory=dict)
    equipment: dict[str, EquipmentEntry]
    raceways: dict[str, RacewayModel] = Field(default_factory=dict)
    circuits: dict[str, CircuitModel] = Field(default_factory=dict)
    control: dict[str, ControlModel] = Field(default_factory=dict)
    loads: dict[str, LoadModel] = Field(default_factory=dict)
    known_loads: dict[str, KnownLoadModel] = Field(default_factory=dict)
    power_control: dict[str, PowerControlModel] = Field(default_factory=dict)
    interlocks: list[InterlockModel] = Field(default_factory=list)
    settings: dict[str, Text] = Field(default_factory=dict)
    labels: dict[str, Text] = Field(default_factory=dict)
    attachments: list[AttachmentModel] = Field(default_factory=list)
    plan_review: list[ReviewCommentModel] = Field(default_factory=list)
    record: RecordModel | None = None
    built: BuiltModel | None = None
