"""The island test, with the neutral bond looked at again in each mode."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.isolation import service_handles
from permitgen.views.checklist.line import (
    ChecklistLine,
    ChecklistSection,
    FurtherInput,
    Limits,
    done_line,
    number_line,
    place_of,
    practice,
    record_line,
)
from permitgen.views.checklist.voltages import leg_limits, line_limits
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

_OTHER_LEG = FurtherInput("other_leg", "Other leg", "V")


def island_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return the island test; empty where the house cannot run islanded."""
    lines = tuple(_island(evaluation)) if OperatingMode.ISLANDED in evaluation.system.modes else ()
    intro = "Open the service disconnect, not the override: the test is of what happens when the utility fails."
    return ChecklistSection("island", "Backup mode test", intro, lines, steps=True)


def _island(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    start = practice(evaluation, "island_test_start")
    charge = value_text(start.value("least_percent"))
    instructed = practice(evaluation, "listed_and_instructed").citation
    yield done_line("island:preset", "", f"Storage at {charge} or more, little load, computers shut down", "CP", source=start.citation)
    handle = next(iter(service_handles(evaluation.system)), "")
    opened = evaluation.system.handles.get(handle)
    yield record_line(
        "island:transfer",
        opened.tag if opened is not None else "",
        "Service disconnect opened: time until the backup loads run",
        "s",
        "INST",
        source=instructed,
    )
    yield from _no_backfeed(evaluation)
    yield from _island_voltage(evaluation)
    yield from neutral_in(evaluation, OperatingMode.ISLANDED)
    yield record_line(
        "island:motor",
        "",
        "Largest motor started: lowest voltage",
        "V",
        "CP",
        inputs=(FurtherInput("peak", "Highest current", "A"),),
        source=start.citation,
    )
    kinds = {source.kind for source in evaluation.system.sources.values()}
    if "photovoltaic" in kinds:
        delay = practice(evaluation, "return_to_utility_delay")
        yield record_line(
            "island:pv-joins",
            "",
            f"Solar starts in backup mode; time, normally about {value_text(delay.value('delay_s'))}",
            "s",
            "INST",
            source=delay.citation,
        )
        yield done_line(
            "island:curtails",
            "",
            "Storage nearly full, in sun: solar is curtailed, voltage and frequency stay steady",
            "INST",
            source=instructed,
        )
    shed = [load.name for load in evaluation.system.loads.values() if load.shed == "island"]
    if shed:
        yield done_line("island:shed", "", f"Loads shed in backup mode: {', '.join(shed)}", "INST", source=instructed)
    delay = practice(evaluation, "return_to_utility_delay")
    yield record_line(
        "island:return",
        "",
        f"Service closed: time until the house is back on the utility, up to about {value_text(delay.value('delay_s'))}",
        "s",
        "INST",
        source=delay.citation,
    )
    yield done_line("island:log", "", "Log of the energy monitor saved", "CP", source=start.citation)
    yield from neutral_in(evaluation, OperatingMode.WITH_UTILITY)


def _no_backfeed(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    test = practice(evaluation, "no_backfeed_test")
    required = practice(evaluation, "loss_of_primary").citation
    for item in evaluation.system.equipment.values():
        if item.transfers:
            yield number_line(
                f"island:backfeed:{item.tag}",
                item.tag,
                "Highest voltage on the utility side of the open contactor: L1-L2, L1-N, L2-N, with a tester checked before and after",
                Limits(most=test.value("most_v")),
                "NEC",
                source=f"{required}; figure: {test.citation}",
                place=place_of(evaluation, item.tag),
                photo=True,
                why="back-feed kills line workers",
                safety="back-feed",
            )


def _island_voltage(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    range_ = practice(evaluation, "service_voltage_range").citation
    unbalance = value_text(practice(evaluation, "island_test_start").value("unbalance_w"))
    legs, line = leg_limits(evaluation), line_limits(evaluation)
    if legs is None or line is None:
        return
    yield number_line("island:L1-N", "", "Backup panel, L1 to neutral", legs, "CP", source=range_)
    yield number_line("island:L2-N", "", "Backup panel, L2 to neutral", legs, "CP", source=range_)
    yield number_line("island:L1-L2", "", "Backup panel, L1 to L2", line, "CP", source=range_)
    yield record_line("island:frequency", "", "Frequency", "Hz", "INST", source=practice(evaluation, "listed_and_instructed").citation)
    yield number_line(
        "island:unbalance",
        "",
        f"About {unbalance} put on one leg: that leg to neutral",
        legs,
        "CP",
        source=range_,
        also=((_OTHER_LEG, legs),),
        safety="island unbalance",
        why="a lost neutral or a missing neutral-forming transformer shows here before it does damage",
    )


def neutral_in(evaluation: Evaluation, mode: OperatingMode) -> Iterator[ChecklistLine]:
    """Yield the lines that look at the neutral bond again in a mode."""
    if mode not in evaluation.system.modes:
        return
    test = practice(evaluation, "neutral_under_load_test")
    key = str(mode).replace(" ", "-")
    cited = f"{practice(evaluation, 'single_neutral_bond').citation}; figure: {test.citation}"
    yield number_line(
        f"neutral-voltage:{key}",
        "",
        f"{mode}: neutral to ground at the farthest backup receptacle, under load",
        Limits(most=test.value("most_v")),
        "NEC",
        source=cited,
        safety="bond",
    )
    yield number_line(
        f"ground-current:{key}",
        "",
        f"{mode}: current on the grounding conductor of the feeder, by clamp",
        Limits(most=test.value("most_a")),
        "NEC",
        source=cited,
        safety="bond",
    )
