"""Checks what an ordinance names beyond the code: kinds of equipment, things around them, places, rules, labels, colors, materials."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from permitgen.reading.nearest import did_you_mean
from permitgen.rules.local_factor import compares
from permitgen.rules.rule import all_rules
from permitgen.system.site.roof_edges import EDGES
from permitgen.system.site.surroundings import EQUIPMENT, NOT_IN, THINGS
from permitgen.views.label_spec_reader import COLOR_WORDS
from permitgen.views.label_specs import load_label_specs, shipped_materials

if TYPE_CHECKING:
    from pathlib import Path

    from permitgen.code.amendment import Amendment
    from permitgen.code.local_requirement import LabelProfile, LocalRequirement
    from permitgen.package.opened_project import OpenedProject
    from permitgen.reading.problems import Problem
    from permitgen.views.label_spec import LabelSpec

_MOST_NAMED = 20


def local_name_problems(amendments: Sequence[Amendment], own_labels: Path) -> list[Problem]:
    """Return every name in the ordinances that means nothing here; ``own_labels`` is the folder beside the project file."""
    if not amendments:
        return []
    specs = load_label_specs([own_labels] if own_labels.is_dir() else [])
    return [problem for amendment in amendments for problem in _problems(amendment, specs)]


def idle_factors(opened: OpenedProject, amendments: Iterable[Amendment]) -> Iterator[Problem]:
    """Yield each factor of the ordinances on a rule of which no verdict here compares a number: nothing would be multiplied."""
    for amendment in amendments:
        for each in amendment.additions.factors:
            found = opened.evaluation.findings_of(each.rule)
            if not any(compares(finding.judgement) for finding in found):
                yield amendment.file.problem(
                    ("factors", each.rule), f"no verdict of {each.rule} compares a number here, so that nothing would be multiplied"
                )


def _problems(amendment: Amendment, specs: dict[str, LabelSpec]) -> Iterator[Problem]:
    added = amendment.additions
    for requirement in added.requirements:
        yield from _of_requirement(amendment, requirement)
    rules = [rule.id for rule in all_rules()]
    for factor in added.factors:
        yield from _unknown(amendment, ("factors", factor.rule), "rule", factor.rule, rules, at_key=True)
    for key, names in (("required", added.labels.required), ("struck", added.labels.struck)):
        for name in names:
            yield from _unknown(amendment, ("labels", key), "label", name, specs)
    for index, profile in enumerate(added.labels.profiles):
        yield from _of_profile(amendment, index, profile, specs)


def _of_requirement(amendment: Amendment, requirement: LocalRequirement) -> Iterator[Problem]:
    where = ("adds", requirement.section)
    if requirement.of:
        yield from _unknown(amendment, (*where, "of"), "kind of equipment", requirement.of, EQUIPMENT)
    if requirement.beside:
        yield from _unknown(amendment, (*where, "from"), "thing", requirement.beside, THINGS)
    for name in requirement.not_in:
        yield from _unknown(amendment, (*where, "not_in"), "place", name, NOT_IN)
    for name in requirement.roof_edges:
        yield from _unknown(amendment, (*where, "roof_edges"), "edge of a roof", name, EDGES)


def _of_profile(amendment: Amendment, index: int, profile: LabelProfile, specs: dict[str, LabelSpec]) -> Iterator[Problem]:
    where = ("marks", index)
    for name in profile.labels:
        yield from _unknown(amendment, (*where, "labels"), "label", name, specs)
        if profile.colors and name in specs and any(wording.colors_fixed for wording in specs[name].wordings):
            yield amendment.file.problem((*where, "colors"), f"the code fixes the colors of the label {name}")
    for color in profile.colors.split(" on ") if profile.colors else ():
        yield from _unknown(amendment, (*where, "colors"), "color", color, COLOR_WORDS)
    if profile.material:
        yield from _unknown(amendment, (*where, "material"), "material", profile.material, shipped_materials())
    for text in profile.words:
        if "{" in text or "}" in text:
            yield amendment.file.problem((*where, "words"), "words are printed as they stand; braces are not")


def _unknown(
    amendment: Amendment, where: tuple[str | int, ...], what: str, name: str, known: Iterable[str], *, at_key: bool = False
) -> Iterator[Problem]:
    names = list(known)
    if name not in names:
        listed = f" ({', '.join(names)})" if len(names) <= _MOST_NAMED else ""
        yield amendment.file.problem(where, f'no {what} is called "{name}"{did_you_mean(name, names) or listed}', at_key=at_key)
