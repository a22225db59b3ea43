"""The smallest conductor that the load, the factors, the terminals' temperature and the overcurrent device need.

Asks the rules that size conductors themselves, so that "larger than needed" means the same here as where the program chooses
a size. Rules about what fits under a terminal do not count: a conductor too small for a lug has sufficient ampacity all the same.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from permitgen.code.errors import NotInTableError
from permitgen.rules.judgement import Verdict
from permitgen.rules.rule import Rule, all_rules
from permitgen.values.conductor_size import ALL_SIZES, ConductorSize
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.rules.judgement import Judgement
    from permitgen.system.circuit import Circuit

SMALLEST = ConductorSize("14")
_ABOUT_FIT = frozenset({"equipment", "terminations"})


def smallest_sufficient_size(given: Given, circuit: Circuit, *, without: str = "") -> ConductorSize:
    """Return the smallest size of the same material and number of sets that every rule about current accepts.

    ``without`` is the provision of a method of which no use is made. Walks downward from the installed size and stops at the first size
    that is refused. Where the installed size itself does not suffice, it is returned: the conductor is then not larger than needed.

    Raises:
        MissingFactError: the size, or a fact that a sizing rule needs, is not stated.
    """
    size = given.need(circuit.conductors.size, f"conductor size of {circuit.tag}")
    key = ("smallest sufficient size", circuit.tag, size.name, circuit.conductors.sets, without)
    return given.once_for_topology(key, lambda: _walk_down(given, circuit, size, without))


def _walk_down(given: Given, circuit: Circuit, size: ConductorSize, without: str) -> ConductorSize:
    needed = size
    for smaller in reversed([s for s in ALL_SIZES if SMALLEST <= s < size]):
        if not _suffices(given, circuit, smaller, without):
            break
        needed = smaller
    return needed


def _suffices(given: Given, circuit: Circuit, size: ConductorSize, without: str) -> bool:
    sized = replace(circuit, conductors=replace(circuit.conductors, size=size))
    candidate = given.with_sizes(given.system.with_sizes_of(sized))
    missing: tuple[str, ...] = ()
    for rule in rules_about_current():
        if not given.in_force(rule.provision):
            continue
        try:
            judgement = rule.judge(sized, candidate)
        except NotInTableError:
            return False
        except MissingFactError as absent:
            missing += absent.names
            continue
        if judgement.verdict is Verdict.VIOLATED or (without and not _is_met_without(judgement, without)):
            return False
        missing += judgement.missing if judgement.verdict is Verdict.NOT_JUDGED else ()
    if missing:
        raise MissingFactError(*dict.fromkeys(missing))
    return True


def _is_met_without(judgement: Judgement, provision: str) -> bool:
    """Whether a requirement is not violated where no use is made of the method of a provision; what is open counts as met."""
    if judgement.combined:
        parts = [part for part in judgement.parts if part.verdict is not Verdict.DOES_NOT_APPLY]
        met = [_is_met_without(part, provision) for part in parts]
        return not met or (any(met) if judgement.combined == "any" else all(met))
    return judgement.verdict is not Verdict.VIOLATED and judgement.provision != provision


@lru_cache(maxsize=1)
def rules_about_current() -> tuple[Rule, ...]:
    """Return the rules that size conductors by what they carry and what protects them."""
    return tuple(rule for rule in all_rules() if "conductor" in rule.sizes and rule.module.rsplit(".", 2)[1] not in _ABOUT_FIT)
