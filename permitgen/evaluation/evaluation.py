"""The result of one evaluation: what every document is written from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING

from permitgen.evaluation.finding import ORDER, Finding
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import all_rules
from permitgen.values.origin import Assumed

if TYPE_CHECKING:
    from permitgen.evaluation.sizing import Sizing
    from permitgen.rules.given import Given
    from permitgen.system.system import System
    from permitgen.values.value import Value


@cache
def _rule_ids() -> frozenset[str]:
    return frozenset(rule.id for rule in all_rules())


@dataclass(frozen=True)
class Evaluation:
    """Everything computed for one state of the system under one edition.

    ``given`` holds the sized system and remembers every traced quantity; ``findings`` are in order of weight; ``not_made`` are
    titles of documents that could not be written from it. ``approval`` are findings about what was approved, beside those of the code.
    """

    given: Given
    findings: tuple[Finding, ...]
    sizings: tuple[Sizing, ...]
    state: str = "permitted"
    not_made: tuple[str, ...] = ()
    approval: tuple[Finding, ...] = ()

    @property
    def system(self) -> System:
        """The system with every size filled in."""
        return self.given.system

    @property
    def edition(self) -> int:
        """Year of the edition in force."""
        return self.system.jurisdiction.edition

    @cached_property
    def by_id(self) -> Mapping[str, Finding]:
        """Findings by id."""
        return {finding.id: finding for finding in self.findings}

    def of(self, subject: str) -> tuple[Finding, ...]:
        """Return the findings about a subject (a tag)."""
        return tuple(f for f in self.findings if f.subject == subject)

    def findings_of(self, rule: str) -> tuple[Finding, ...]:
        """Return the findings of a rule.

        Raises:
            KeyError: no rule is called so.
        """
        if rule not in _rule_ids():
            raise KeyError(rule)
        return tuple(f for f in self.findings if f.rule == rule)

    @cached_property
    def counts(self) -> Mapping[Verdict, int]:
        """How many findings there are of each verdict."""
        return {verdict: sum(f.verdict is verdict for f in self.findings) for verdict in ORDER}

    @property
    def has_violations(self) -> bool:
        """Whether any rule is violated that nobody granted in writing."""
        return any(finding.is_open for finding in self.findings)

    @property
    def may_be_permitted(self) -> bool:
        """Whether nothing is violated, and nothing is open without which a permit cannot be decided."""
        return not self.has_violations and not any(finding.open_point_shuts("permit") for finding in self.findings)

    @property
    def granted_count(self) -> int:
        """How many of the rules that are violated were granted in writing."""
        return sum(f.verdict is Verdict.VIOLATED and f.granted is not None for f in self.findings)

    @cached_property
    def assumptions(self) -> tuple[Value, ...]:
        """Every value the program chose because the project did not state it, each once."""
        found: dict[tuple[str, str, float], Value] = {}
        for finding in self.findings:
            for value in finding.judgement.all_values():
                for leaf in value.leaves():
                    if isinstance(leaf.origin, Assumed):
                        found.setdefault((leaf.title, leaf.origin.reason, leaf.number), leaf)
        return tuple(found.values())
