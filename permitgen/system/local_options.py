"""Local interpretations that a project may state: where readings of the code differ, what the authority having jurisdiction says.

What is left out is read strictly. Each is asked for by its name (``jurisdiction.option``), which therefore has to be one of these.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LocalOption:
    """What the option decides, and its choices; without choices it is a text of the writer's own.

    ``is_reading`` is False where nothing of the code is read differently: a choice of the office.
    """

    meaning: str
    choices: tuple[str, ...] = ()
    is_reading: bool = True


_YES_NO = ("no", "yes")
LOCAL_OPTIONS: Mapping[str, LocalOption] = {
    "backup_capacity_basis": LocalOption(
        "What the sources of an island have to carry: the full calculated load, or the largest load alone.",
        ("full calculated load", "largest load"),
    ),
    "built_differences": LocalOption(
        "Which differences from the permitted documents need approval: the usual ones, or every one.",
        ("usual", "all need approval"),
        is_reading=False,
    ),
    "diagram": LocalOption(
        "Whether sheet E-602 adds a three-line diagram to the one-line diagram.", ("one-line", "three-line"), is_reading=False
    ),
    "dwelling_permission_is_minimum_size": LocalOption(
        "Whether the smaller conductors permitted to the service or feeder of a whole dwelling are the size from which its grounding "
        "conductor grows.",
        _YES_NO,
    ),
    "ess_limit_counts": LocalOption(
        "Whether the fire code's limit of stored energy counts each location, or the whole property too.", ("location", "property")
    ),
    "feed_through_busbar_alone": LocalOption("Whether a feed-through panelboard is judged by its own busbar alone.", _YES_NO),
    "feeder_surge_within_dwelling": LocalOption(
        "Whether a panel that a feeder supplies within one dwelling needs surge protection, or is only advised to have it.",
        ("required", "advised"),
    ),
    "feeder_with_source_next_size_up": LocalOption("Whether a feeder with a source may have the next standard size of device.", _YES_NO),
    "grounding_conductor_sized_by": LocalOption(
        "Name of the qualified person who sized an equipment grounding conductor that did not grow in proportion."
    ),
    "interconnect_device_in_feeder": LocalOption(
        "Whether the busbar of an interconnect device in a feeder is checked as a busbar, or as a part of the feeder alone.",
        ("busbar", "part of the feeder"),
    ),
    "longest_service_conductors_inside_ft": LocalOption(
        "Longest service conductors that the authority lets run inside the building ahead of the disconnect, in feet."
    ),
    "power_control_by_listing": LocalOption(
        "Whether power control systems are accepted by their listing before the edition that names them.", _YES_NO
    ),
    "pv_waiver_reaches_inverter_output": LocalOption(
        "Whether the waiver for PV circuits enlarged against voltage drop reaches the ac output of an inverter.", _YES_NO
    ),
    "sum_of_breakers_counts_autotransformer": LocalOption(
        "Whether the breaker of the neutral-forming transformer counts in the sum of breakers.", _YES_NO
    ),
}
