"""The states of an installation and its three gates: what is permitted, what was built, what was tested.

A test that failed, or a departure that breaks a rule, is *violated* from that state on; a test not done is *due*, never violated. The gates
are computed, and nothing opens them but a written grant (``granting.py``): FOR PERMIT from what is permitted, FOR HANGING where what
plates and labels say is true of what is permitted and built, FOR ENERGIZING (may be left in service) from what is built and tested.
Something built otherwise in words that cannot be judged is due to both: it would have to be judged as permitted.
What is not judged shuts a gate where its provision says so (``open_shuts``): a plate says *stops* only of what was checked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from permitgen.evaluation.field_verdict import FieldVerdict, Judged
from permitgen.evaluation.finding import Finding
from permitgen.evaluation.inspections import WorkItem, inspected, not_accepted
from permitgen.rules.judgement import Judgement, Verdict

if TYPE_CHECKING:
    from permitgen.evaluation.comparison import Comparison
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.values.origin import ProjectLine

GateName = Literal["permit", "hang", "energize"]
SafetyTest = Literal["", "rapid shutdown", "emergency stop", "back-feed", "island unbalance", "bond", "insulation", "generator interlock"]

GATE_TITLES: dict[GateName, str] = {"permit": "FOR PERMIT", "hang": "FOR HANGING", "energize": "FOR ENERGIZING"}

# Tests whose failure denies what a plate or a label says: the switch does not stop what stands on it.
_TESTS_OF_A_PLATE = ("rapid shutdown", "emergency stop")


@dataclass(frozen=True, slots=True, kw_only=True)
class TestedLine:
    """A line of the field checklist as it stands.

    ``safety`` is the test without which the house may not be left in service; ``proves`` the tags of a switch and of what it is
    tested to stop (empty: all that it stops).
    """

    id: str
    tag: str
    what: str
    safety: SafetyTest
    judged: Judged
    source: str
    proves: tuple[str, str] = ("", "")
    at: ProjectLine | None = None

    @property
    def is_due(self) -> bool:
        """Whether a safety test is still to be made."""
        return bool(self.safety) and self.judged.verdict in (FieldVerdict.NOT_DONE, FieldVerdict.COULD_NOT_TEST)


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate with what shuts it: ids of findings that are violated, of what is due (tests, departures in words), and of open points.

    Of these ``unchecked`` are those whose provision says that they shut it. ``not_judged`` counts all that could not be judged: what is
    not among ``unchecked`` is said beside its name.
    """

    name: GateName
    violated: tuple[str, ...]
    due: tuple[str, ...] = ()
    not_judged: int = 0
    unchecked: tuple[str, ...] = ()

    @property
    def title(self) -> str:
        """The name as printed."""
        return GATE_TITLES[self.name]

    @property
    def is_open(self) -> bool:
        """Whether nothing shuts the gate."""
        return not self.violated and not self.due and not self.unchecked


@dataclass(frozen=True, slots=True)
class Standing:
    """How an installation stands: what is violated as built and as tested beside the permitted findings, tests due, and the gates.

    ``denied`` are switches with what they failed to stop, as ``TestedLine.proves`` has them. ``inspected`` is what did not pass at
    inspections, ``work`` the list of it, ``accepted_on`` the day of the inspection that makes the installation accepted (empty: it is
    not).
    """

    built: tuple[Finding, ...]
    failed: tuple[Finding, ...]
    due: tuple[TestedLine, ...]
    gates: tuple[Gate, ...]
    denied: frozenset[tuple[str, str]] = frozenset()
    inspected: tuple[Finding, ...] = ()
    work: tuple[WorkItem, ...] = ()
    accepted_on: str = ""

    @property
    def violated(self) -> tuple[Finding, ...]:
        """What is violated in the states after the permitted one and was not granted in writing."""
        return (*(finding for finding in self.built if finding.is_open), *self.failed, *(f for f in self.inspected if f.is_open))

    def gate(self, name: GateName) -> Gate:
        """Return one of the gates."""
        return next(gate for gate in self.gates if gate.name == name)


def standing_of(comparison: Comparison, lines: Sequence[TestedLine]) -> Standing:
    """Return how an installation stands, from both of its evaluations and every line of its checklist."""
    permitted = tuple(f.id for f in (*comparison.permitted.findings, *comparison.permitted.approval) if f.is_open)
    in_service = tuple(f.id for f in comparison.permitted.findings if f.shuts_service)
    built = (*comparison.worse, *comparison.record_findings)
    failed = [line for line in lines if line.judged.verdict is FieldVerdict.FAILS]
    due = tuple(line for line in lines if line.is_due)
    result = inspected(comparison.permitted.system.inspections)
    not_passed = tuple(finding.id for finding in result.findings if finding.is_open)
    open_approvals = _open_approvals(comparison.permitted)
    as_built = (*in_service, *(finding.id for finding in built if finding.shuts_service))
    not_known = tuple(finding.id for finding in comparison.not_known)
    denied = tuple(_id(line) for line in failed if line.safety in _TESTS_OF_A_PLATE)
    gates = (
        Gate(
            "permit",
            permitted,
            not_judged=_open_count(comparison.permitted) + open_approvals,
            unchecked=_unchecked(comparison.permitted, "permit"),
        ),
        Gate(
            "hang",
            (*as_built, *denied),
            not_known,
            not_judged=_open_count(comparison.built),
            unchecked=_unchecked(comparison.built, "hang"),
        ),
        Gate(
            "energize",
            (*as_built, *(_id(line) for line in failed), *not_passed),
            (*(line.id for line in due), *not_known),
            not_judged=_open_count(comparison.built),
        ),
    )
    not_proven = frozenset(line.proves for line in failed if line.proves[0])
    why = _why_not_accepted(comparison, gates, due, open_approvals)
    about = (*result.findings, *([not_accepted(result, why)] if result.passed_on and why else []))
    accepted_on = "" if why else result.passed_on
    return Standing(built, tuple(_failure(line) for line in failed), due, gates, not_proven, about, result.work, accepted_on)


def _why_not_accepted(comparison: Comparison, gates: tuple[Gate, ...], due: tuple[TestedLine, ...], open_approvals: int) -> str:
    """Return what stands against acceptance; empty where nothing does."""
    if due:
        return f"{len(due)} safety tests are due"
    if shut := [gate.title for gate in gates if not gate.is_open]:
        return f"{', '.join(shut)} shut"
    if not comparison.permitted.system.project.is_approved:
        return "the stamped set of this revision is not in the project"
    return "what was approved is not kept" if open_approvals else ""


def _open_count(evaluation: Evaluation) -> int:
    return evaluation.counts[Verdict.NOT_JUDGED]


def _unchecked(evaluation: Evaluation, gate: GateName) -> tuple[str, ...]:
    return tuple(finding.id for finding in evaluation.findings if finding.open_point_shuts(gate))


def _open_approvals(evaluation: Evaluation) -> int:
    return sum(finding.verdict is Verdict.NOT_JUDGED for finding in evaluation.approval)


def _id(line: TestedLine) -> str:
    return f"field-test:{line.id}"


def _failure(line: TestedLine) -> Finding:
    """Return a failed test as a finding: its line, what was found, and where the result stands."""
    why = f": {line.judged.why}" if line.judged.why else ""
    # What somebody typed is not repeated: findings are read by everybody.
    judgement = Judgement(Verdict.VIOLATED, f"{line.what}{why}")
    return Finding("field-test", "What was tested in the field passes", line.id, judgement, "", line.source, line.at)
