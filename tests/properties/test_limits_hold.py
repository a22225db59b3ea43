"""Each limit of the limits card holds: what passes makes no finding worse anywhere, what is refused is refused by what it names.

Judged by a whole evaluation of a system that states the choice; the search itself asks only requirements that can change.
"""

import random
from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.finding import ORDER
from permitgen.evaluation.limit_search import Aspect, LimitSearch
from permitgen.evaluation.limits import limits_of
from permitgen.package.field_and_record import comparison_of_states
from permitgen.rules.judgement import Verdict
from permitgen.values.value import Value

ROOT = Path(__file__).resolve().parents[2]
PROJECTS = {path.stem: path for path in (ROOT / "demo_project", *sorted((ROOT / "tests" / "topologies").glob("*.yaml")))}
TRIED_IN_THE_SUITE = 6


def with_choice(system, limit, choice, ground=None):
    """Return the system that states a choice, made by hand and not by the search."""
    if limit.aspect is Aspect.RATING:
        device = system.devices[limit.tag].device
        return system.with_device(device, replace(device, rating_a=choice))
    if limit.aspect is Aspect.CONDUCTOR:
        circuits = dict(system.circuits)
        sized = circuits[limit.tag]
        circuits[limit.tag] = replace(sized, conductors=replace(sized.conductors, size=choice))
        if ground is not None:
            holder = circuits[sized.conductors.egc_shared_with or limit.tag]
            circuits[holder.tag] = replace(holder, conductors=replace(holder.conductors, egc_size=ground))
        return replace(system, circuits=circuits)
    field = {Aspect.TRADE_SIZE: "trade_size", Aspect.KIND: "kind", Aspect.LENGTH: "length_ft"}[limit.aspect]
    run = replace(system.raceways[limit.tag], **{field: choice})
    return replace(system, raceways={**system.raceways, run.tag: run})


def worse(before, after, limit, choice):
    """Return the findings that rank lower than before; that a longer run is not the one drawn is no finding about the run."""
    longer = limit.aspect is Aspect.LENGTH and choice.number > limit.now.number
    return {
        finding.id: finding
        for finding in after.findings
        if ORDER[finding.verdict] <= ORDER[Verdict.CAUTION]
        and (finding.id not in before.by_id or ORDER[before.by_id[finding.id].verdict] > ORDER[finding.verdict])
        and not (longer and finding.rule == "plan-agrees-length")
    }


def points(found):
    """Return every choice of the limits with what it is said to do, each thing once."""
    limits = {(limit.aspect, limit.tag): limit for circuit in found for limit in circuit.limits}
    for limit in limits.values():
        yield from ((limit, each.choice, each.ground, None) for each in limit.passes)
        refused = (limit.below, limit.above, limit.refused_now, *limit.others)
        yield from ((limit, each.choice, None, each.by) for each in refused if each is not None)


def hold(evaluation, taken):
    for limit, choice, ground, by in taken:
        after = evaluate(with_choice(evaluation.system, limit, choice, ground), evaluation.given.code, with_suggestions=False)
        what = f"{limit.aspect.value} of {limit.tag}: {choice.number if isinstance(choice, Value) else choice}"
        if by is None:
            assert not worse(evaluation, after, limit, choice), what
            continue
        was, now = evaluation.by_id.get(by.id), after.by_id[by.id]
        # A conductor may be refused with the larger ground that goes with it, which is tried together.
        if limit.aspect is not Aspect.CONDUCTOR:
            assert now.verdict is by.verdict, what
            is_worse = was is None or ORDER[now.verdict] < ORDER[was.verdict]
            assert is_worse or now.verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED) or now.judgement.message != was.judgement.message, what
        else:
            assert worse(evaluation, after, limit, choice) or now.verdict is by.verdict, what


@pytest.mark.nightly
def test_the_limits_of_what_was_built_hold(demo, seed, whole):
    """The demo's field log makes its built state another one: its limits are tried in that."""
    comparison = comparison_of_states(demo)
    assert comparison.differences
    every = list(points(limits_of(comparison.built)))
    hold(comparison.built, every if whole else random.Random(seed).sample(every, TRIED_IN_THE_SUITE))


@pytest.mark.nightly
def test_lengths_between_those_that_pass_pass_too(demo, seed):
    """Lengths are found by halving, which is right only where nothing refuses between two lengths that pass."""
    limits = {limit.tag: limit for circuit in limits_of(demo.evaluation) for limit in circuit.limits if limit.aspect is Aspect.LENGTH}
    chosen = random.Random(seed)
    taken = []
    for limit in chosen.sample(sorted(limits.values(), key=lambda each: each.tag), TRIED_IN_THE_SUITE):
        shortest, longest = (each.choice for each in limit.passes)
        between = replace(shortest, number=chosen.uniform(shortest.number, longest.number))
        taken.append((limit, between, None, None))
    hold(demo.evaluation, taken)


def test_what_cannot_be_judged_does_not_pass(demo):
    """Without the ambient of its run no rating or size of C7 passes: 310.15(B) asks for it before any ampacity."""
    system = demo.evaluation.system
    run = replace(system.raceways["R6"], ambient_c=None)
    silent = replace(system, raceways={**system.raceways, "R6": run}, site=replace(system.site, design_high_c=None))
    found = limits_of(evaluate(silent, demo.code, with_suggestions=False), ["C7"])
    limits = {(limit.aspect, limit.tag): limit for limit in found[0].limits}
    for limit in (limits[Aspect.RATING, "MID.PV"], limits[Aspect.CONDUCTOR, "C7"]):
        assert not limit.passes
        assert limit.not_judged is not None


def test_a_trial_asks_whoever_reads_what_was_changed(demo):
    """Of every requirement that a change moves in a whole evaluation, the measured readers of what was changed know."""
    evaluation = demo.evaluation
    search = LimitSearch(evaluation)
    size = evaluation.system.circuits["C7"].conductors
    readers = search.readers[search.slot(size, "size")]
    larger = replace(evaluation.system.circuits["C7"], conductors=replace(size, size=size.size.larger()))
    after = evaluate(evaluation.system.with_circuit(larger), demo.code, with_suggestions=False)
    moved = {(each.rule, each.subject) for each in after.findings if each.judgement.message != evaluation.by_id[each.id].judgement.message}
    assert moved
    assert moved <= readers


@pytest.mark.sample(every=30)
@pytest.mark.parametrize("name", PROJECTS)
def test_each_limit_holds(name, open_once, seed, whole):
    evaluation = open_once(PROJECTS[name]).evaluation
    every = list(points(limits_of(evaluation)))
    taken = every if whole else random.Random(f"{name} {seed}").sample(every, min(TRIED_IN_THE_SUITE, len(every)))
    hold(evaluation, taken)
