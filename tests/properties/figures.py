"""The figures that a limit in just_beyond_just_within.yaml is computed of: facts, cells of a table, and sums over a project."""

import re

from tests.properties.row_entries import Entry

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SUMS = {
    "contributions": ("fault_current",),
    "outputs": ("output",),
    "pv_outputs": ("output", "pv_array"),
    "storage_outputs": ("output", "energy_storage_system"),
}
"""Over all sources of alternating current: what each adds to a fault, its rated output, that of arrays or of storage alone."""


class NoFactError(Exception):
    """The project does not state a fact that the limit is computed of."""


def of(entry, name, tables):
    """Return the figure that a limit names in braces: a fact, ``table key``, ``total key``, or one of ``SUMS``.

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
    return _sum_a(entry.data, *SUMS[word]) if word in SUMS else entry.get(name)


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


def _sum_a(data, fact, kind=""):
    """Return a current of all sources together, A, each by what is stated of it; of one kind alone where one is named."""
    return sum(units * _number(item.get(f"{where}{fact}")) for item, each, where, units in _sources(data) if kind in ("", each))


def _landing_a(data, tag):
    """Return the ratings of the devices together through which circuits feed a panel from their far ends, A."""
    ends = [circuit.get("overcurrent", {}).get("to_end") for circuit in data["circuits"].values() if circuit["to"].partition(".")[0] == tag]
    return sum(_number(device["rating"]) for device in ends if device)
