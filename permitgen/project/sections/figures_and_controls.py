"""The sections ``known_loads``, ``power_control`` and ``interlocks``: what several things of a house have in common."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema, model_validator

from permitgen.project.fields import (
    Current,
    Power,
    Section,
    Source,
    Text,
    Words,
    YesNo,
    choice_schema,
    described,
    one_of,
    read_words,
)
from permitgen.project.record_length import RecordLength
from permitgen.project.sections import meanings

LOAD_METHODS = ("standard", "optional", "existing dwelling")


class KnownLoadModel(
    Section,
    says="The load behind a panel, a disconnect or a meter as one figure, calculated or measured; ``by`` names the paper. It stands in "
    "place of the loads behind it that are listed as existing; new ones are added to it. A measured load is the highest average of 15 "
    "minutes; ``over`` is how long its record ran, ``seasonal_loads_included`` says that heating and cooling are in it.",
):
    calculated: Current = described(None, "Calculated load, in amperes, from the permit or panel schedule that ``by`` names.")
    calculated_power: Power = described(None, "Calculated load, in volt-amperes or kilovolt-amperes, from the paper that ``by`` names.")
    method: Annotated[str, one_of(*LOAD_METHODS), choice_schema(*LOAD_METHODS)] = described(
        "", "Method by which the load was calculated: standard, optional, or that for an existing dwelling."
    )
    measured: Current = described(
        None, "Highest measured current averaged over fifteen minutes, in amperes, from a recorder or the meter data."
    )
    measured_power: Power = described(
        None, "Highest measured demand over fifteen minutes, in kilowatts or kilovolt-amperes, from the utility's data."
    )
    over: RecordLength = described(None, "How long the record ran, in days or years, for example 30 days or 1 year.")
    sources_connected: YesNo = described(
        None, "Whether solar, storage or a generator fed the house while the record was taken, which hides demand."
    )
    seasonal_loads_included: YesNo = described(None, "Whether heating or cooling, the larger of them, is in the record or was added to it.")
    by: Source = described("", "Who calculated or recorded the load, and when, for example permit of 2019.")

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
    name: Text = described("", meanings.NAME)
    setting: Current = described(None, "Current to which the sources together are held, in amperes, as commissioned and locked on site.")
    sources: Words = described(..., "Tags of the sources whose currents together stay within the setting.")
    limits: Words = described(..., "Busbars and circuits on which the setting holds, for example MSP or F1.")


def _read_when(value: Any) -> str:
    return read_words(value)[0].removesuffix(" closes") if read_words(value) else ""


class InterlockModel(
    Section,
    says="An interlock between two pieces of equipment: breakers and switches of which ``not_both_closed`` can be closed together, or what "
    "``first_opens`` ``when`` another one closes. ``by`` is what does it.",
):
    not_both_closed: Words = described((), "Breakers and switches of which no two can be closed together, for example MSP.main and MSP.2.")
    when: Annotated[str, PlainValidator(_read_when), WithJsonSchema({"type": "string", "examples": ["ATS.alternate closes"]})] = described(
        "", "What closes, as the tag and position of a switch, for example ATS.alternate closes."
    )
    first_opens: Words = described((), "Breakers, switches or relays that open before it closes, by tag and position.")
    by: Text = described("", "What keeps them apart, for example a sliding plate or an auxiliary contact.")
    listed: YesNo = described(None, "Whether the interlock is listed for this equipment, from its listing mark.")

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
