"""The sources of an island, or the generator, carry what they are to supply without the utility.

Two readings stand against each other. As an optional standby system with automatic transfer, the sources carry the full calculated
load that is transferred, or what load management connects. As sources that run stand-alone, they carry at least the largest single
load. Both are computed and shown; the jurisdiction's option ``backup_capacity_basis`` decides for storage and inverters, and the
stricter one where it says nothing. A generator is always an optional standby system; where it is transferred by hand, the user
selects what it carries.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, Verdict, any_of, does_not_apply, not_judged, require_at_least
from permitgen.rules.loads.methods import judge_methods
from permitgen.rules.quantities.load_backup import BackupMode, backup_of
from permitgen.rules.rule import rule
from permitgen.system.operating_mode import OperatingMode
from permitgen.system.walks.generator_start import is_transferred_by_hand

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.subjects import InMode

OPTION = "backup_capacity_basis"
FULL, LARGEST = "full calculated load", "largest load"


@rule(
    "backup-capacity",
    title="The sources of an island, or the generator, carry what they are to supply without the utility",
    provision="standby_capacity",
    judges="mode",
)
def judge(subject: InMode, given: Given) -> Judgement:
    """Judge the sources against the load in one mode without the utility.

    Requires: output of the sources that keep the mode alive ≥ the calculated load transferred or managed; or, where the
        jurisdiction reads it so, ≥ the largest single load.
    Why: an overloaded island collapses, and with it everything that the backup was bought for.
    Applies to: islanded operation and operation on a generator.
    Example that fails: 11.5 kVA of storage, 14.2 kVA of backup load, no load management.
    Example that passes: the same where the jurisdiction asks for the largest load, 10 kVA.
    """
    if subject.mode is OperatingMode.WITH_UTILITY:
        return does_not_apply("the utility carries the load")
    backup = backup_of(given, subject.mode)
    if backup is None:
        return does_not_apply(f"{subject.tag}: no source keeps the house energized in this mode")
    if backup.scope.is_empty:
        return not_judged(f"loads that are supplied {subject.tag}")
    basis = given.option(OPTION, FULL)
    full = _standby(subject, given, backup)
    if subject.mode is OperatingMode.ON_GENERATOR and is_transferred_by_hand(given.system):
        full = _selected_by_user(given, full)
    if full.verdict is Verdict.VIOLATED and backup.asked:
        full = not_judged(*backup.asked)
    largest = _largest(subject, given, backup)
    if subject.mode is OperatingMode.ISLANDED and basis == LARGEST:
        return replace(largest, parts=(full, largest))
    return replace(full, parts=(full, largest))


def of_the_full_load(judgement: Judgement) -> Judgement:
    """Return what was found of all loads together, from a judgement of this rule whichever reading decided it."""
    parts = judgement.parts
    both = len(parts) == _BOTH and parts[1].provision in ("island_capacity", "stand_alone_capacity")
    return parts[0] if both and judgement.verdict is not Verdict.NOT_JUDGED else judgement


_BOTH = 2


def _standby(subject: InMode, given: Given, backup: BackupMode) -> Judgement:
    """The full load transferred, or the load that the load management leaves connected."""
    full = _against(given, backup, managed=False)
    shed = [load.name for load in backup.scope.loads if load.shed in ("island", "always")]
    if not shed:
        return replace(full, message=f"{subject.tag}: {full.message}")
    managed = _against(given, backup, managed=True)
    return any_of(subject.tag, [full, managed])


def _selected_by_user(given: Given, full: Judgement) -> Judgement:
    """Transfer by hand: who starts the machine chooses what runs, so that more load than it carries is a caution, not a violation."""
    provision = given.provision("standby_capacity_manual")
    if full.verdict is not Verdict.VIOLATED:
        return full.under(provision)
    message = f"{full.message}; transferred by hand, so the user switches on no more than that"
    return replace(full, verdict=Verdict.CAUTION, message=message, method="selected by the user", remedies=()).under(provision)


def _against(given: Given, backup: BackupMode, *, managed: bool) -> Judgement:
    scope = backup.scope.without(("island", "always")) if managed else backup.scope
    provision = given.provision("standby_capacity_managed" if managed else "standby_capacity_automatic")
    words = "load that the load management leaves connected" if managed else "full calculated load"
    found = any_of(f"{words} on sources of {backup.output_a.figure} A", judge_methods(given, scope, backup.output_a))
    return replace(found, method=words).under(provision)


def _largest(subject: InMode, given: Given, backup: BackupMode) -> Judgement:
    """The largest single load that can run in the mode; general lighting is no single load."""
    provision = given.provision("island_capacity" if given.in_force("island_capacity") else "stand_alone_capacity")
    largest = backup.largest_load_a
    if backup.scope.known:
        behind = ", ".join(known.tag for known in backup.scope.known)
        return not_judged(f"largest single load behind {behind}, whose load is known as one figure").under(provision)
    if largest is None:
        message = f"{subject.tag}: only general loads, none of which is a single load"
        return Judgement(Verdict.PASSES, message, method="largest single load").under(provision)
    return require_at_least(
        f"{subject.tag}: sources of {backup.output_a.figure} A; the {largest.title} takes {largest.number:.4g} A",
        computed=backup.output_a,
        limit=largest,
        method="largest single load",
    ).under(provision)
