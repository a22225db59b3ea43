"""The description of hardware was compared with its data sheet by a second person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, require
from permitgen.rules.rule import rule

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.described_hardware import DescribedHardware


@rule(
    "hardware-checked",
    title="The description of hardware was compared with its data sheet by a second person",
    provision="hardware_checked",
    judges="hardware description",
)
def judge(hardware: DescribedHardware, given: Given) -> Judgement:  # noqa: ARG001 - every rule is given the same
    """Judge whether somebody checked a description that many projects rest on.

    Requires: checked: with a name and a day at each entry of a hardware file, and at other hardware that names its data sheet or sources.
    Why: one wrong figure in a shared file makes every verdict wrong that rests on it, in every project, without a word.
    Applies to: used entries of hardware files, and hardware in the project file with data_sheet, sources or checked; a caution, as no
    section asks for it.
    Example that fails: an entry of hardware/modules.yaml with a data sheet and without checked.
    Example that passes: the same entry with checked: {by: M. Tarn, date: 2026-01-12}.
    """
    sheet = f" from {hardware.data_sheet}" if hardware.data_sheet else ""
    is_checked = bool(hardware.checked_by)
    who = f"checked by {hardware.checked_by} on {hardware.checked_on}" if is_checked else "nobody has checked it"
    places = (hardware.at,) if hardware.at is not None else ()
    return require(is_checked, f"{hardware.tag}: described{sheet}, {who}", otherwise=Verdict.CAUTION, places=places)
