"""The sections ``built``, ``labels`` and ``settings``."""

from __future__ import annotations

from pydantic import Field

from permitgen.project.fields import Day, Section, Text


class DepartureModel(Section):
    """One thing built otherwise than permitted."""

    path: Text
    to: Text
    reason: Text
    decided_by: Text = ""
    date: Day = ""
    approved_by: Text = ""


class ResultModel(Section):
    """One result from the field; further facts are free keys."""

    kind: Text
    subject: Text
    values: dict[str, Text] = Field(default_factory=dict)


class BuiltModel(Section):
    """The built state."""

    departures: list[DepartureModel] = Field(default_factory=list)
    results: list[ResultModel] = Field(default_factory=list)
