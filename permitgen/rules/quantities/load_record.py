"""Whether the record behind a measured load is long enough and shows the whole load."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.rules.given import MissingFactError
from permitgen.rules.judgement import Judgement, Verdict, at_least, require_at_least
from permitgen.rules.parts import parts_of

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.known_load import LoadRecord
    from permitgen.values.value import Value


@dataclass(frozen=True, slots=True)
class _Condition:
    """``wanted`` says, behind the name of the load, what would hold."""

    judge: Callable[[], Judgement | None]
    wanted: str


def record_judgements(given: Given, record: LoadRecord, of: str) -> list[Judgement]:
    """Return the judgements of the conditions on the record of a load; ``of`` names the load (``measured load of MSP``)."""
    return parts_of(*(condition.judge for condition in _conditions(given, record, of)))


def need_record(given: Given, record: LoadRecord, of: str) -> None:
    """Stop a calculation whose record does not meet every condition.

    Raises:
        MissingFactError: a fact of the record is not stated, or a condition does not hold; the load as it would count is missing then.
    """
    for condition in _conditions(given, record, of):
        judgement = condition.judge()
        if judgement is not None and judgement.verdict not in (Verdict.PASSES, Verdict.CAUTION):
            raise MissingFactError(f"{of} {condition.wanted}")


def _conditions(given: Given, record: LoadRecord, of: str) -> Iterator[_Condition]:
    yield _Condition(lambda: _length(given, record, of), "by a record that is long enough")
    yield _Condition(lambda: _sources(given, record, of), "without the sources that hid a part of it")
    yield _Condition(lambda: _seasons(given, record, of), "with heating or cooling, whichever is larger")


def _length(given: Given, record: LoadRecord, of: str) -> Judgement:
    days = given.need(record.days_count, f"length of the record of the {of}")
    least = given.provision("measured_existing_load").value("short_record_days_count")
    message = f"{of}: it was measured over {days.figure} days; a year's peak is asked for, at least {least.figure} days"
    return require_at_least(message, computed=days, limit=least)


def _sources(given: Given, record: LoadRecord, of: str) -> Judgement:
    if not given.need(record.sources_connected, f"whether a source fed the house while the {of} was recorded"):
        return Judgement(Verdict.PASSES, f"{of}: no source hid a part of the load while it was measured")
    message = f"{of}: a power source hid part of the load while it was measured"
    if _is_barred_by_sources(given, given.need(record.days_count, f"length of the record of the {of}")):
        return Judgement(Verdict.VIOLATED, message)
    return Judgement(Verdict.CAUTION, f"{message}; a record of a year is permitted, and shows less than the house takes")


def _is_barred_by_sources(given: Given, days: Value) -> bool:
    """Whether a source that fed the house meanwhile bars a record of that many days: any record, or only one shorter than a year."""
    provision = given.provision("measured_existing_load")
    return provision.flag("sources_bar_a_year") or not at_least(days, provision.value("record_days_count"))


def _seasons(given: Given, record: LoadRecord, of: str) -> Judgement | None:
    whole_year = given.provision("measured_existing_load").value("record_days_count")
    if record.days_count is None or record.days_count.number >= whole_year.number:
        return None
    if given.need(record.seasonal_loads_included, f"whether the {of} includes heating or cooling, whichever is larger"):
        return Judgement(Verdict.PASSES, f"{of}: it includes heating or cooling")
    message = f"{of}: heating or cooling, whichever is larger, is not in a load that was measured for less than a year"
    return Judgement(Verdict.VIOLATED, message)
