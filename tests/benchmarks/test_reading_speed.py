"""Reading a project file against the bare YAML parser, and reading a quantity against the units library, in the same run."""

from __future__ import annotations

from time import perf_counter

import pint
import yaml

from permitgen.project.quantities import parse_quantity
from permitgen.reading.reader import read_text

CIRCUIT = """\
  C{n}:  # circuit {n}
    from: MSP.bus
    to: "LOAD {n}"
    length: {n} ft
    conductors: {{size: 6 AWG, material: copper, insulation: THWN-2}}
    raceway:
      type: EMT
      trade_size: 1-1/4 in
    splices:
      - {{place: J1, device: connector}}
"""
PROJECT = "circuits:\n" + "".join(CIRCUIT.format(n=n) for n in range(1, 61))


def best_of(runs, action):
    times = []
    for _ in range(runs):
        start = perf_counter()
        action()
        times.append(perf_counter() - start)
    return min(times)


def test_reading_600_lines_costs_a_few_times_the_bare_parser():
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    floor = best_of(20, lambda: list(yaml.parse(PROJECT, Loader=loader)))
    assert best_of(20, lambda: read_text(PROJECT, "project.yaml")) < 5 * floor  # measured 2.6


def test_a_quantity_costs_a_tenth_of_the_units_library():
    library = pint.UnitRegistry()
    library.Quantity("35 ft")
    floor = best_of(50, lambda: library.Quantity("35 ft").to("inch"))
    assert best_of(50, lambda: parse_quantity("35 ft", "in")) < floor / 10  # measured a fiftieth
    assert best_of(50, lambda: parse_quantity("5 ft 6-1/2 in", "in")) < floor / 5
