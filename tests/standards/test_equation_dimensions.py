"""Every equation, run with quantities of the units library pint built from the suffixes, has the dimension its name says."""

from __future__ import annotations

import importlib
import pkgutil

import pint
import pytest

import permitgen.code.equations as package
from permitgen.values.equation import Equation
from permitgen.values.origin import Assumed
from permitgen.values.units import UNITS
from permitgen.values.value import Value
from tests.every_case import every_case

LIBRARY = pint.UnitRegistry()


def every_equation():
    for module in pkgutil.iter_modules(package.__path__):
        loaded = importlib.import_module(f"{package.__name__}.{module.name}")
        for found in vars(loaded).values():
            if isinstance(found, Equation) and found.function.__module__ == loaded.__name__:
                yield found


EQUATIONS = list(every_equation())


def numbers_for(equation):
    """A number for each argument: temperatures falling, so that roots stay real; ratios below one; loads above their tiers."""
    temperatures = iter((90.0, 40.0, 30.0))
    for index, (name, unit) in enumerate(equation.units.items()):
        if unit == "c":
            yield name, next(temperatures)
        elif name == "load_va":
            yield name, 100.0
        else:
            yield name, 0.5 if unit == "factor" else 7.0 + 3 * index


def quantity(number, suffix):
    return number * LIBRARY.parse_expression(UNITS[suffix][2])


def test_equations_are_found():
    assert len(EQUATIONS) >= 80


@every_case("equation", EQUATIONS)
def test_dimension_of_the_result(equation):
    given = {name: quantity(number, equation.units[name]) for name, number in numbers_for(equation)}
    result = LIBRARY.Quantity(equation(**given))
    assert result.dimensionality == quantity(1, equation.unit).dimensionality


@every_case("equation", EQUATIONS)
def test_traced_and_plain_numbers_agree(equation):
    plain = dict(numbers_for(equation))
    values = {name: Value(number, equation.units[name], Assumed("a test")) for name, number in plain.items()}
    derived = equation.derive(**values)
    assert derived.number == pytest.approx(equation(**plain), rel=1e-12)
    assert derived.unit == equation.unit
    assert {value.title or value.symbol for value in derived.origin.inputs}
    assert len(list(derived.leaves())) == len(plain)


@every_case("equation", EQUATIONS)
def test_docstring_says_what_and_whence(equation):
    text = equation.function.__doc__
    is_conversion = len(equation.units) == 1 and {UNITS[unit][1] for unit in equation.units.values()} == {UNITS[equation.unit][1]}
    assert text.startswith("Return ")
    assert "(" in text or is_conversion
    assert text.rstrip().endswith(".")


def test_a_volt_for_an_ampere_is_noticed():
    from permitgen.code.equations.voltage_drop import two_wire_voltage_drop_v

    wrong = two_wire_voltage_drop_v(
        length_ft=LIBRARY.Quantity(85, "foot"),
        current_a=LIBRARY.Quantity(40, "volt"),
        resistance_ohm_per_kft=LIBRARY.Quantity(0.778, "ohm / kilofoot"),
    )
    assert wrong.dimensionality != LIBRARY.Quantity(1, "volt").dimensionality
