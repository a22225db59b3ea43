"""The island test, with the neutral bond looked at again in each mode."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.island import neutral_origin
from permitgen.system.walks.trials import Trial, island_start, parting_trials
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
from permitgen.views.checklist.proof import Proof, called, parting_proof
from permitgen.views.checklist.shutdown_tests import emergency_stops_in, rapid_shutdown_in
from permitgen.views.checklist.voltages import leg_limits, line_limits
from permitgen.views.shed_loads import shed_in_island
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.gates import SafetyTest

_BEFORE = FurtherInput("before", "Utility voltage there before", "V")
_OTHER_LEG = FurtherInput("other_leg", "Other leg", "V")


def island_tests(evaluation: Evaluation) -> ChecklistSection:
    """Return the island test; empty where the house cannot run islanded."""
    lines = tuple(_island(evaluation)) if OperatingMode.ISLANDED in evaluation.system.modes else ()
    intro = "Take the utility away, not the override: the test is of what happens when it fails. Back-feed is proven before anything else."
    return ChecklistSection("island", "Backup mode test", intro, lines, steps=True)


def _island(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    start = practice(evaluation, "island_test_start")
    charge = value_text(start.value("least_percent"))
    instructed = practice(evaluation, "listed_and_instructed").citation
    yield done_line("island:preset", "", f"Storage at {charge} or more, little load, computers shut down", "CP", source=start.citation)
    opened = [evaluation.system.handles[handle] for handle in island_start(evaluation.system)]
    how = f"{', '.join(called(handle) for handle in opened)} opened" if opened else "Supply parted by the utility ahead of the house"
    yield record_line(
        "island:transfer",
        opened[0].tag if opened else "",
        f"{how}: time until the backup loads run",
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
    shed = [name for _, name in shed_in_island(evaluation.system)]
    if shed:
        yield done_line("island:shed", "", f"Loads shed in backup mode: {', '.join(shed)}", "INST", source=instructed)
    yield from rapid_shutdown_in(evaluation, OperatingMode.ISLANDED)
    yield from emergency_stops_in(evaluation, OperatingMode.ISLANDED)
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
    required = practice(evaluation, "loss_of_primary").citation
    for switch, trial in parting_trials(evaluation.system, OperatingMode.ISLANDED):
        yield nothing_comes_back(
            evaluation,
            f"island:backfeed:{switch.partition('.')[0]}",
            switch,
            trial,
            Asked("Highest voltage on the utility side of the open contactor", required, "back-feed kills line workers", "back-feed"),
        )


@dataclass(frozen=True, slots=True)
class Asked:
    """The words of a test that nothing comes back: what is measured, which section requires it, why, and which safety test it is."""

    instruction: str
    required: str
    why: str
    safety: SafetyTest


def nothing_comes_back(evaluation: Evaluation, id_: str, switch: str, trial: Trial, asked: Asked) -> ChecklistLine:
    """Return the test that no source of the house shows on the utility side of a switch where the utility was seen before."""
    test = practice(evaluation, "no_backfeed_test")
    tag = switch.partition(".")[0]
    line = line_limits(evaluation)
    return number_line(
        id_,
        tag,
        asked.instruction,
        Limits(most=test.value("most_v")),
        "NEC",
        source=f"{asked.required}; figure: {test.citation}",
        place=place_of(evaluation, tag),
        photo=True,
        why=asked.why,
        safety=asked.safety,
        before=((_BEFORE, Limits(least=line.least if line is not None else test.value("most_v"))),),
        proof=parting_proof(evaluation.system, switch, trial),
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
        proof=_unbalance_proof(evaluation, unbalance),
        why="a lost neutral or a missing neutral-forming transformer shows here before it does damage",
    )


def _unbalance_proof(evaluation: Evaluation, unbalance: str) -> Proof:
    """The load stands on one leg alone: with equal legs a lost neutral shows nothing."""
    system = evaluation.system
    nodes = [switch.island_node for switch in system.islanding_switches]
    tags = [tag for node in nodes for tag in neutral_origin(system, node, OperatingMode.ISLANDED).made_by]
    made = ", ".join(dict.fromkeys(system.equipment[tag].name for tag in tags))
    return Proof(
        mode=str(OperatingMode.ISLANDED),
        meter="backup panel busbar: L1 to neutral and L2 to neutral at the same time",
        closed=f"what forms the neutral ({made})" if made else "every source that forms the island",
        before=f"both legs within their limits; then {unbalance} on one leg, as little as possible on the other",
        otherwise="the loaded leg sinks and the other one rises toward the voltage from leg to leg",
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
        proof=Proof(
            mode=str(mode),
            meter="farthest backup receptacle, neutral slot to ground slot",
            closed="its breaker, with a load that runs on it",
            before="leg to neutral reads normal at the same receptacle, under load",
            otherwise="without a bond the neutral floats: tens of volts to ground",
        ),
    )
    yield number_line(
        f"ground-current:{key}",
        "",
        f"{mode}: current on the grounding conductor of the feeder, by clamp",
        Limits(most=test.value("most_a")),
        "NEC",
        source=cited,
        safety="bond",
        proof=Proof(
            mode=str(mode),
            meter="clamp around the equipment grounding conductor of the feeder alone",
            closed="line-to-neutral loads running, so that the neutral carries current",
            before="the same clamp shows current on the neutral of the feeder",
            otherwise="with a second bond part of the neutral current flows here",
        ),
    )
