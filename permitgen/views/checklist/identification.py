"""How conductors are told apart on site, and what leads of current sensors ask for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.quantities.conductor_identification import Use, identifications
from permitgen.views.checklist.line import ChecklistLine, done_line, practice
from permitgen.views.wording import number_text, value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation

_POLARITY: tuple[Use, ...] = ("PV polarity", "dc polarity")


def identification_lines(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """Yield the lines on polarity, on circuits of several PV systems in one box, and on sensors where there are any."""
    for way in identifications(evaluation.given):
        if way.use in _POLARITY:
            yield _polarity(evaluation, way.use, way.circuits, way.provision)
    yield from _sensors(evaluation)


def _polarity(evaluation: Evaluation, use: Use, circuits: tuple[str, ...], provision: str) -> ChecklistLine:
    found = practice(evaluation, provision)
    words = f"+ and − are marked at every termination, connection and splice: {', '.join(circuits)}"
    if use == "PV polarity" and found.has("grouping_ft"):
        words += f"; circuits of several PV systems in one box are tied together by system every {value_text(found.value('grouping_ft'))}"
    return done_line(f"wiring:{use.replace(' ', '-').lower()}", "", words, "NEC", source=found.citation)


def _sensors(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """Current sensors come with energy monitors, and with devices that hold a busbar within its rating."""
    items = evaluation.system.equipment.values()
    monitors = [item.tag for item in items if item.kind == "energy_monitor" or item.answer("power_control_monitored")]
    leads, space = practice(evaluation, "monitoring_leads"), practice(evaluation, "power_monitoring_in_enclosure")
    if not monitors or not leads.is_in_force:
        return
    tags = ", ".join(monitors)
    share = f"; the wiring space stays filled to {number_text(space.value('all_percent').number, 'percent')} % of its cross section at most"
    yield done_line(
        "wiring:sensor-leads",
        "",
        f"Current sensors of {tags} are listed for it, their leads insulated for the highest voltage in the enclosure or separated{share}",
        "NEC",
        source=leads.citation,
        why="thin sensor leads run among busbars and lugs",
    )
    yield done_line(
        "wiring:sensor-shorted",
        "",
        f"Sensors of {tags} with a current output were never open while current flowed",
        "CP",
        why="an open current output builds up a voltage that destroys its insulation",
    )
