"""The record behind a measured load is long enough and shows the whole load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, all_of, does_not_apply
from permitgen.rules.quantities.load_record import record_judgements
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment


@rule(
    "measured-load-record",
    title="The record behind a measured load is long enough and shows the whole load",
    provision="measured_existing_load",
    judges="equipment",
)
def judge(item: Equipment, given: Given) -> Judgement:
    """Judge the record of a load that is known behind a piece of equipment by measurement.

    Requires: a record of ≥ 30 days, taken without a power source on the premises (from 2023 a year's record may have one); where it is
        shorter than a year, with heating or cooling in it, whichever is larger.
    Why: two weeks in spring show neither the winter's heat nor the summer's cooling, and an array hides what the house takes.
    Applies to: loads that the project states as measured.
    Example that fails: 71 A over 14 days.
    Example that passes: 71 A over 30 days in January in a house heated by electricity, before the array was there.
    """
    known = given.system.known_loads.get(item.tag)
    if known is None or not known.is_measured:
        return does_not_apply(f"{item.tag}: no load is stated as measured behind it")
    parts = record_judgements(given, known.record, f"measured load of {item.tag}")
    return all_of(f"{item.tag}: the record of the measured load is long enough and shows the whole load", parts)
