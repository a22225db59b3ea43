"""Every equation against numbers worked by hand (``equation_examples.yaml``): the way to the answer and its source stand beside each."""

from __future__ import annotations

import importlib
import pkgutil
from pathlib import Path

import pytest
import yaml

import permitgen.code.equations as package
from permitgen.values.equation import Equation
from permitgen.values.origin import Assumed
from permitgen.values.value import Value
from tests.every_case import every_case

EXAMPLES = yaml.load(Path(__file__).with_name("equation_examples.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)


def equations():
    """Every equation by its module and name."""
    found = {}
    for module in pkgutil.iter_modules(package.__path__):
        loaded = importlib.import_module(f"{package.__name__}.{module.name}")
        for name, value in vars(loaded).items():
            if isinstance(value, Equation) and value.function.__module__ == loaded.__name__:
                found[f"{module.name}.{name}"] = value
    return found


EQUATIONS = equations()
ROWS = [(name, row) for name, rows in EXAMPLES.items() for row in rows]


@every_case(("name", "row"), ROWS)
def test_an_equation_gives_what_the_hand_gets(name, row):
    assert EQUATIONS[name](**row["given"]) == pytest.approx(row["gives"], rel=2e-7)


@every_case(("name", "row"), ROWS)
def test_so_does_the_derivation_that_is_printed(name, row):
    equation = EQUATIONS[name]
    inputs = {argument: Value(number, equation.units[argument], Assumed("an example")) for argument, number in row["given"].items()}
    assert equation.derive(**inputs).number == pytest.approx(row["gives"], rel=2e-7)


@every_case(("name", "row"), ROWS)
def test_an_example_shows_its_way_and_its_source(name, row):
    assert set(row) == {"given", "gives", "by hand", "source"}
    assert row["by hand"]
    assert row["source"]
    assert set(row["given"]) == set(EQUATIONS[name].units)


def test_every_equation_has_an_example_and_no_example_is_left_over():
    assert set(EXAMPLES) == set(EQUATIONS)
