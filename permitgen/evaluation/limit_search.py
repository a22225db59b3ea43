"""Tries a change at a circuit and tells whether it passes: by every requirement that reads what was changed, and by no other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import TYPE_CHECKING

from permitgen.evaluation.evaluate import evaluate_some
from permitgen.evaluation.finding import ORDER, Finding
from permitgen.evaluation.kept_quantities import KeptQuantities, kept_quantities
from permitgen.evaluation.what_reads import Requirement
from permitgen.rules.given import Given
from permitgen.rules.judgement import TOLERANCE, Judgement, Verdict
from permitgen.rules.rule import all_rules
from permitgen.system.read_facts import Slot
from permitgen.system.walks.in_series import devices_in_series
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.value import Value

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.circuit import Circuit
    from permitgen.system.conductors import Conductors
    from permitgen.system.overcurrent_device import OvercurrentDevice
    from permitgen.system.raceway import Raceway
    from permitgen.system.system import System


class Aspect(Enum):
    """What is chosen of a circuit."""

    RATING = "overcurrent device"
    CONDUCTOR = "conductor"
    TRADE_SIZE = "raceway"
    KIND = "kind of raceway"
    LENGTH = "length"


FIELD = {
    Aspect.RATING: "rating_a",
    Aspect.CONDUCTOR: "size",
    Aspect.TRADE_SIZE: "trade_size",
    Aspect.KIND: "kind",
    Aspect.LENGTH: "length_ft",
}

Choice = Value | ConductorSize | str
"""A rating (A) or a length (ft), a conductor size, a trade size or a kind of raceway."""


@dataclass(frozen=True, slots=True)
class Passing:
    """A choice that was tried and passes; ``ground`` is the equipment grounding conductor that goes with it where it has to be larger."""

    choice: Choice
    ground: ConductorSize | None = None


@dataclass(frozen=True, slots=True)
class Refused:
    """A choice that was tried and does not pass, and the finding that says why."""

    choice: Choice
    by: Finding


@dataclass(frozen=True, slots=True)
class Trial:
    """A system with a choice in it, and the slots that differ; whether they are sizes of conductors and raceways only.

    ``not_asked`` are ids of rules that do not judge it.
    """

    system: System
    slots: tuple[Slot, ...]
    is_of_sizes: bool = False
    not_asked: frozenset[str] = frozenset()


class LimitSearch:
    """Tries changes of one evaluated state."""

    def __init__(self, evaluation: Evaluation) -> None:
        self.given = evaluation.given
        self.system = evaluation.system
        self._findings = evaluation.findings
        self._before = evaluation.by_id
        # Sizes are listed as the last edition prints them that was read; whether one passes is judged by the edition in force.
        self.listed = Given(self.system, self.given.code.last_read)
        self._rules_by_field: dict[str, frozenset[str]] = {}
        # Of these a rule may have stopped before it read: they were judged with numbers in place of what nobody states.
        self._tried = frozenset((finding.rule, finding.subject) for finding in evaluation.findings if finding.judgement.whatever)

    @property
    def _kept(self) -> KeptQuantities:
        return kept_quantities(self.given)

    @property
    def readers(self) -> Mapping[Slot, frozenset[Requirement]]:
        """Who reads each fact."""
        return self._kept.reads.readers

    def slot(self, thing: Conductors | OvercurrentDevice | Raceway, field: str) -> Slot:
        """Return the slot of a field of what stands in the system."""
        return Slot(self._kept.owners[id(thing)], field)

    def about(self, circuit: Circuit) -> tuple[Finding, ...]:
        """Return the findings about a circuit, its terminations, the devices in series with it and its runs."""
        tags = {circuit.tag, *circuit.runs, *(device.tag for device in devices_in_series(self.system, circuit))}
        return tuple(f for f in self._findings if f.subject in tags or f.subject.partition("@")[0] == circuit.tag)

    def not_judged(self, aspect: Aspect, circuits: Iterable[Circuit]) -> Finding | None:
        """Return what is not judged about circuits by a rule that this aspect concerns: it might refuse any choice."""
        rules = self._rules_that_read(FIELD[aspect]) | rules_that_size(aspect.value)
        found = (finding for circuit in circuits for finding in self.about(circuit))
        return next((finding for finding in found if finding.verdict is Verdict.NOT_JUDGED and finding.rule in rules), None)

    def _rules_that_read(self, field: str) -> frozenset[str]:
        if field not in self._rules_by_field:
            readers = (readers for slot, readers in self.readers.items() if slot.field == field)
            self._rules_by_field[field] = frozenset(rule for each in readers for rule, _ in each)
        return self._rules_by_field[field]

    def circuits_in(self, run: Raceway) -> tuple[Circuit, ...]:
        """Return the circuits of a run."""
        return tuple(self.system.circuits[tag] for tag in self.system.circuits_in_run[run.tag])

    def tried(self, choice: Choice, trial: Trial, likely: Finding | None = None) -> Passing | Refused:
        """Return whether a choice passes; where several findings speak against it, the weightiest is named.

        ``likely`` is what refused another choice: where it refuses this one too, nothing else is asked.
        """
        found = self.refusals(trial, {(likely.rule, likely.subject)}) if likely is not None else ()
        found = found or self.refusals(trial, until=Verdict.VIOLATED)
        return Refused(choice, min(found, key=lambda finding: ORDER[finding.verdict])) if found else Passing(choice)

    def refusals(self, trial: Trial, only: Set[Requirement] | None = None, until: Verdict | None = None) -> tuple[Finding, ...]:
        """Return the findings that speak against a change, of all requirements that can change or ``only`` of some of them.

        Behind the first finding with the verdict ``until`` no more may be asked.
        """
        can_change = self._tried.union(*(self.readers.get(slot, frozenset()) for slot in trial.slots))
        wanted: dict[str, set[str]] = {}
        for rule, subject in can_change if only is None else only:
            wanted.setdefault(rule, set()).add(subject)
        for rule in trial.not_asked:
            wanted.pop(rule, None)
        given = self._kept.given_for(trial.system, trial.slots, is_of_sizes=trial.is_of_sizes)
        return tuple(finding for finding in evaluate_some(given, wanted, until) if is_against(self._before.get(finding.id), finding))


def is_against(before: Finding | None, after: Finding) -> bool:
    """Whether a finding speaks against the change after which it stands; ``before`` is the same without it.

    A violation and what cannot be judged always do, a caution where there was none or it is farther from its limit or of more parts.
    """
    if after.verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED):
        return True
    if after.verdict is not Verdict.CAUTION:
        return False
    if before is None or ORDER[before.verdict] > ORDER[Verdict.CAUTION]:
        return True
    was, now = before.judgement, after.judgement
    return _cautions(now) > _cautions(was) or _beyond(now) > _beyond(was) + TOLERANCE


def _cautions(judgement: Judgement) -> int:
    return sum(part.verdict is Verdict.CAUTION for part in judgement.nested())


def _beyond(judgement: Judgement) -> float:
    """Return by how much of its limit a comparison misses it."""
    computed, limit = judgement.computed, judgement.limit
    return abs(computed.number - limit.number) / (abs(limit.number) or 1.0) if computed is not None and limit is not None else 0.0


@cache
def rules_that_size(what: str) -> frozenset[str]:
    """Return the ids of the rules that limit a size the program would choose."""
    return frozenset(rule.id for rule in all_rules() if what in rule.sizes)


@cache
def rules_under(provision: str) -> frozenset[str]:
    """Return the ids of the rules that stand on a provision."""
    return frozenset(rule.id for rule in all_rules() if rule.provision == provision)
