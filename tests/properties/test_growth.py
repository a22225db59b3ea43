"""Work grows with the number of circuits, not with its square; and what the forest answers is what a walk finds.

Nodes visited and links followed are counted, not seconds, so that the test says the same on every machine. The walk it is compared
with is a breadth-first search of the networkx library, which does not know this program.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType

import networkx
import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from permitgen.code.codebook import CodeBook
from permitgen.documents.canvas.bounds import Box
from permitgen.documents.diagram.drafting import Drafting
from permitgen.documents.diagram.manner import Manner
from permitgen.documents.diagram.sketch import Block
from permitgen.documents.sheets.one_line_sheet import one_line_part
from permitgen.evaluation.evaluate import evaluate
from permitgen.project.load import load_project
from permitgen.system.graph import Graph
from permitgen.system.link import Link
from permitgen.system.spanning_forest import SpanningForest
from permitgen.views.one_line import Unit
from permitgen.views.one_line_units import one_line_of

GROWTH = Path(__file__).parents[1] / "benchmarks" / "growth.py"
FEW, MANY = 50, 200
LINKS = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9), st.booleans()), min_size=1, max_size=16)


def growth() -> ModuleType:
    spec = importlib.util.spec_from_file_location("growth", GROWTH)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def visits(branches: int, folder: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Return the circuits of an invented house and the nodes that its evaluation visits."""
    system = load_project(growth().write_project(branches, folder)).system
    counted = 0
    walk, search = Graph.reach, SpanningForest.__init__

    def counting_walk(self: Graph, starts: Iterable[str], passes: Callable[[Link], bool]) -> dict[str, Link | None]:
        nonlocal counted
        found = walk(self, starts, passes)
        counted += len(found)
        return found

    def counting_search(self: SpanningForest, graph: Graph, passes: Callable[[Link], bool]) -> None:
        nonlocal counted
        search(self, graph, passes)
        counted += len(self.order)

    with monkeypatch.context() as patch:
        patch.setattr(Graph, "reach", counting_walk)
        patch.setattr(SpanningForest, "__init__", counting_search)
        evaluate(system, CodeBook(2023))
    return len(system.circuits), counted


@pytest.mark.nightly
def test_nodes_visited_grow_no_faster_than_circuits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    few, visited_few = visits(FEW, tmp_path, monkeypatch)
    many, visited_many = visits(MANY, tmp_path, monkeypatch)
    assert visited_few > few, "the evaluation walks the graph at all"
    assert visited_many / many <= 1.2 * visited_few / few


def drafted(branches: int, folder: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """Return the circuits of an invented house and the units drafted for its one-line diagram, each with what hangs on it."""
    system = load_project(growth().write_project(branches, folder)).system
    view = one_line_of(evaluate(system, CodeBook(2023)))
    counted = 0
    draft = Drafting._draft

    def counting_draft(self: Drafting, unit: Unit, pitch: float, manner: Manner) -> Block:
        nonlocal counted
        counted += len(unit.branches)
        return draft(self, unit, pitch, manner)

    with monkeypatch.context() as patch:
        patch.setattr(Drafting, "_draft", counting_draft)
        one_line_part(view, Box(0.0, 0.0, 340.0, 240.0))
    return len(system.circuits), counted


@pytest.mark.nightly
def test_a_large_diagram_is_not_drafted_anew_for_every_leaf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The drafting of each circuit grew to the 1.8-fold with three times the circuits while every leaf was tried for every cut."""
    few, drafted_few = drafted(20, tmp_path, monkeypatch)
    many, drafted_many = drafted(60, tmp_path, monkeypatch)
    assert drafted_few > few
    assert drafted_many / many <= 1.5 * drafted_few / few


def graph_of(ends: list[tuple[int, int, bool]]) -> Graph:
    links = tuple(Link(first=f"N{a}", second=f"N{b}", part=str(n), is_converter=converts) for n, (a, b, converts) in enumerate(ends))
    nodes = dict.fromkeys(node for link in links for node in (link.first, link.second))
    return Graph(links, {node: tuple(link for link in links if node in (link.first, link.second)) for node in nodes})


@for_all(LINKS)
def test_side_of_a_link_is_what_a_search_without_it_finds(ends: list[tuple[int, int, bool]]) -> None:
    graph = graph_of(ends)
    forest = SpanningForest(graph, lambda link: not link.is_converter)
    reference = networkx.MultiGraph()
    reference.add_nodes_from(graph.at_node)
    reference.add_edges_from((link.first, link.second, link.part) for link in graph.links if not link.is_converter)
    for link in graph.links:
        without = reference.copy()
        without.remove_edges_from([(link.first, link.second, link.part)])
        for node in graph.at_node:
            expected = networkx.node_connected_component(without, node)
            side = forest.side(link, node)
            assert set(side) == expected
            assert len(side) == len(expected)
            assert {other for other in graph.at_node if other in side} == expected
