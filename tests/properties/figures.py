"""The figures that a limit in just_beyond_just_within.yaml is computed of: facts, cells of a table, and sums over a project."""

import re

from tests.properties.row_entries import Entry

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


class NoFactError(Exception):
    """The project does not state a fact that the limit is computed of."""


def of(entry, name, tables):
    """Return the figure that a limit names in braces: a fact, ``table key``, ``total key``, or one of the sums below.

    Raises:
        NoFactError: the project does not state a fact that belongs to it.
    """
    word, _, key = name.partition(" ")
    if word in tables:
        return tables[word].get(entry.get(key))
    if word == "total":
        return sum(map(_number, (entry.get(key) or {}).values()))
    if word == "longest":
        return max(map(_number, (entry.get("strings") or {}).values()), default=None)
    if word == "landing":
        return _landing_a(entry.data, entry.end_of(key)[0])
    sums = {"contributions": _contributions_a, "outputs": _outputs_a, "pv_outputs": _pv_outputs_a, "storage_outputs": _storage_outputs_a}
    return sums[word](entry.data) if word in sums else entry.get(name)


def _number(value):
    found = NUMBER.search(str(value))
    if value is None or found is None:
        raise NoFactError(str(value))
    return float(found[0])


def _sources(data):
    """Yield each source that feeds alternating current in parallel with the utility, and how many units it has."""
    for tag in data["equipment"]:
        item = Entry(data, "equipment", tag)
        kind = item.get("kind")
        if kind == "pv_array" and item.get("module_inverter"):
            yield item, kind, "module_inverter.", sum(map(_number, item.get("branches").values()))
        elif kind == "inverter" or (kind == "energy_storage_system" and item.get("coupling") == "ac") or item.get("exports") == "yes":
            yield item, kind, "", 1.0


def _contributions_a(data):
    """Return what all inverters add to a fault, A, each by the value marked on it."""
    total = 0.0
    for item, _, where, units in _sources(data):
        total += units * _number(item.get(f"{where}fault_current"))
    return total


def _outputs_a(data):
    """Return the rated output currents of all sources together, A."""
    return sum(units * _number(item.get(f"{where}output")) for item, _, where, units in _sources(data))


def _storage_outputs_a(data):
    return sum(_number(item.get("output")) for item, kind, _, _ in _sources(data) if kind == "energy_storage_system")


def _pv_outputs_a(data):
    return sum(units * _number(item.get(f"{where}output")) for item, kind, where, units in _sources(data) if kind == "pv_array")


def _landing_a(data, tag):
    """Return the ratings of the devices together through which circuits feed a panel from their far ends, A."""
    ends = [circuit.get("overcurrent", {}).get("to_end") for circuit in data["circuits"].values() if circuit["to"].partition(".")[0] == tag]
    return sum(_number(device["rating"]) for device in ends if device)
