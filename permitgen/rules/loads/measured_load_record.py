"""The record behind a measured load is long enough and shows the whole load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, all_of, does_not_apply, require_at_least
from permitgen.rules.parts import parts_of
from permitgen.rules.quantities.load_known import is_barred_by_sources
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.known_load import KnownLoad


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
    parts = parts_of(lambda: _length(known, given), lambda: _sources(known, given), lambda: _seasons(known, given))
    return all_of(f"{item.tag}: the record of the measured load is long enough and shows the whole load", parts)


def _length(known: KnownLoad, given: Given) -> Judgement:
    days = given.need(known.record_days_count, f"length of the record of the measured load of {known.tag}")
    least = given.provision("measured_existing_load").value("short_record_days_count")
    message = f"{known.tag}: the load was measured over {days.number:g} days; a year's peak is asked for, at least {least.number:g} days"
    return require_at_least(message, computed=days, limit=least)


def _sources(known: KnownLoad, given: Given) -> Judgement:
    name = f"whether a source fed the house while the measured load of {known.tag} was recorded"
    if not given.need(known.sources_connected, name):
        return Judgement(Verdict.PASSES, f"{known.tag}: no source hid a part of the load while it was measured")
    message = f"{known.tag}: a power source hid part of the load while it was measured"
    if not is_barred_by_sources(given, given.need(known.record_days_count, f"length of the record of the measured load of {known.tag}")):
        return Judgement(Verdict.CAUTION, f"{message}; a record of a year is permitted, and shows less than the house takes")
    return Judgement(Verdict.VIOLATED, message)


def _seasons(known: KnownLoad, given: Given) -> Judgement | None:
    whole_year = given.provision("measured_existing_load").value("record_days_count")
    if known.record_days_count is None or known.record_days_count.number >= whole_year.number:
        return None
    name = f"whether the measured load of {known.tag} includes heating or cooling, whichever is larger"
    if given.need(known.seasonal_loads_included, name):
        return Judgement(Verdict.PASSES, f"{known.tag}: the measured load includes heating or cooling")
    message = f"{known.tag}: heating or cooling, whichever is larger, is not in a load that was measured for less than a year"
    return Judgement(Verdict.VIOLATED, message)
