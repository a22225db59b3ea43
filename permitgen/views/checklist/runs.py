"""Raceways and cables on site: supports, seals, what guards them in framing, what steel around conductors asks for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Verdict
from permitgen.rules.quantities.circuit_current import role
from permitgen.rules.quantities.raceway_ends import seal_of
from permitgen.system.walks.circuit_sides import CircuitRole
from permitgen.values.conductor_size import ConductorSize
from permitgen.values.trade_size import TRADE_SIZES
from permitgen.views.checklist.line import ChecklistLine, done_line, match_line, number_with_unit, practice
from permitgen.views.circuit_text import run_text
from permitgen.views.wiring_schedules import fewest_text, known_supports
from permitgen.views.wording import value_text

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.raceway import Raceway

# Raceways that need no plate where they pass through framing, and none below a metal roof deck.
_GUARDED_IN_FRAMING = frozenset({"RMC", "IMC", "EMT", "PVC-40", "PVC-80"})
_GUARDED_BELOW_DECK = frozenset({"RMC", "IMC"})


def run_lines(evaluation: Evaluation) -> Iterator[ChecklistLine]:
    """Yield the lines of every new run: kind and size, supports, seals; then framing, roof deck and steel where they occur."""
    runs = [run for run in evaluation.system.raceways.values() if _is_new(evaluation, run)]
    for run in runs:
        if run.is_conduit and run.trade_size is not None:
            yield _size(evaluation, run)
        else:
            yield from _fastened(evaluation, run)
        yield from _sealed(evaluation, run)
    yield from _in_framing(evaluation, runs)
    yield from _for_all(evaluation, runs)


def _is_new(evaluation: Evaluation, run: Raceway) -> bool:
    """Whether something that is not existing lies in the run."""
    circuits = [evaluation.system.circuits[tag] for tag in evaluation.system.circuits_in_run[run.tag]]
    return not circuits or any(not circuit.existing for circuit in circuits)


def _size(evaluation: Evaluation, run: Raceway) -> ChecklistLine:
    held = _held(evaluation, run)
    return match_line(
        f"raceway:{run.tag}",
        run.tag,
        f"{_what(evaluation, run)}; {held or 'supported'}, reamed, fittings tight",
        f"raceways.{run.tag}.trade_size",
        f"{run.trade_size} in",
        choices=tuple(f"{size} in" for size in TRADE_SIZES),
        place=run.location,
        source=practice(evaluation, "conduit_fill").citation,
    )


def _what(evaluation: Evaluation, run: Raceway) -> str:
    """Return the run in words without its tag, which stands before every line."""
    return run_text(evaluation.system, run.tag).partition(": ")[2]


def _held(evaluation: Evaluation, run: Raceway) -> str:
    found = known_supports(evaluation, run)
    if found is None:
        return ""
    limits = f"supported within {value_text(found.from_enclosure_ft)} of each enclosure and every {value_text(found.between_ft)}"
    if run.underground:
        return f"risers {limits}"
    return f"{limits} ({fewest_text(found, run)})" if found.may_be_none else f"{limits}, at least {fewest_text(found, run)}"


def _fastened(evaluation: Evaluation, run: Raceway) -> Iterator[ChecklistLine]:
    found, held = known_supports(evaluation, run), _held(evaluation, run)
    if found is not None and held:
        yield done_line(
            f"support:{run.tag}",
            run.tag,
            f"{_what(evaluation, run)}; {held}, without damage to its jacket",
            "NEC",
            source=found.provision.citation,
            place=run.location,
        )
    elif run.is_free_air and _carries_pv_dc(evaluation, run):
        yield _exposed_conductors(evaluation, run)


def _carries_pv_dc(evaluation: Evaluation, run: Raceway) -> bool:
    circuits = (evaluation.system.circuits[tag] for tag in evaluation.system.circuits_in_run[run.tag])
    return any(role(evaluation.given, circuit) is CircuitRole.PV_DC for circuit in circuits)


def _exposed_conductors(evaluation: Evaluation, run: Raceway) -> ChecklistLine:
    below = "roof" if run.above_roof_in is not None or run.on_building else "ground"
    words = f"Exposed conductors are secured off the {below}, out of the sun where possible, away from sharp edges"
    provision = practice(evaluation, "pv_conductor_support")
    if not provision.is_in_force:
        return done_line(f"support:{run.tag}", run.tag, words, "CP", place=run.location)
    every = value_text(provision.value("between_in"))
    size = ConductorSize(provision.text("to_size"))
    return done_line(
        f"support:{run.tag}",
        run.tag,
        f"{words}; {size} and smaller at least every {every}",
        "NEC",
        source=provision.citation,
        place=run.location,
    )


def _sealed(evaluation: Evaluation, run: Raceway) -> Iterator[ChecklistLine]:
    seal = seal_of(evaluation.given, run)
    if seal is None or not seal.at:
        return
    provision = practice(evaluation, seal.provision)
    if provision.status != "absent":
        yield done_line(
            f"seal:{run.tag}",
            run.tag,
            f"{seal.why[0].upper()}{seal.why[1:]}: sealed inside at {' and '.join(seal.at)} with a compound identified for the conductors",
            "NEC",
            source=provision.citation,
            place=run.location,
            why="moist air and water travel through a raceway into live parts",
        )


def _in_framing(evaluation: Evaluation, runs: list[Raceway]) -> Iterator[ChecklistLine]:
    """Cables and soft raceways inside: distance from the edge of framing; all but rigid metal conduit below a metal roof deck."""
    provision = practice(evaluation, "physical_protection")
    if not provision.is_in_force:
        return
    inside = [run for run in runs if run.inside and not run.is_free_air]
    soft = [run.tag for run in inside if run.kind not in _GUARDED_IN_FRAMING]
    if soft:
        edge = value_text(provision.value("framing_edge_in"))
        text = f"Through framing, {', '.join(soft)} is {edge} or more from the nearest edge, or behind a steel plate"
        yield done_line("wiring:framing", "", text, "NEC", source=provision.citation)
    under_deck = [run.tag for run in inside if run.kind not in _GUARDED_BELOW_DECK]
    if under_deck:
        deck = value_text(provision.value("metal_roof_deck_in"))
        text = f"Below metal-corrugated roof decking, if any, wiring inside is {deck} or more from it: {', '.join(under_deck)}"
        yield done_line("wiring:roof-deck", "", text, "NEC", source=provision.citation)
    if inside:
        stop = practice(evaluation, "firestop")
        text = "Openings through fire-rated walls and ceilings, including between garage and house, are firestopped with a listed system"
        yield done_line("wiring:firestop", "", text, "NEC", source=stop.citation, photo=True)


def _judged(evaluation: Evaluation, rule: str, run: Raceway) -> bool:
    finding = evaluation.by_id.get(f"{rule}:{run.tag}")
    return finding is not None and finding.verdict is not Verdict.DOES_NOT_APPLY


def _for_all(evaluation: Evaluation, runs: list[Raceway]) -> Iterator[ChecklistLine]:
    steel = [run.tag for run in runs if _judged(evaluation, "induced-heating", run)]
    provision = practice(evaluation, "induced_heating")
    if steel and provision.status != "absent":
        text = f"All conductors of a circuit pass through steel in one opening, or the steel between is slotted: {', '.join(steel)}"
        yield done_line("wiring:induced-heating", "", text, "NEC", source=provision.citation)
    if any(run.is_filled for run in runs):
        hung = practice(evaluation, "raceway_support")
        text = "Each raceway and cable is supported on its own; a raceway supports only control wiring of the equipment it feeds"
        yield done_line("wiring:hung", "", text, "NEC", source=hung.citation)
    free = practice(evaluation, "free_conductor_length")
    if free.is_in_force:
        length, beyond = (number_with_unit(free.value(name).number, "in") for name in ("free_in", "beyond_opening_in"))
        text = f"{length} of free conductor at each box, {beyond} of it outside the opening"
        yield done_line("wiring:free-conductor", "", text, "NEC", source=free.citation)
