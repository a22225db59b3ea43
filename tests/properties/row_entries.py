"""An entry of a project file as the rows of just_beyond_just_within.yaml see it: its keys, and what it hangs together with.

``from.`` and ``to.`` lead from a circuit to the equipment at its ends, ``run.`` to the last of its runs and ``first_run.`` to the first
of several, ``module.`` and the like to a catalog entry, ``/`` to the top of the file. ``*`` stands for every key, ``@`` for the terminal
at which the circuit ends there (``breaker`` for a space), ``@to`` for the tag of the equipment at its far end.
"""

CATALOG_KEYS = ("module", "module_inverter", "converter")
ENDS = ("from", "to")
RUNS = ("run", "first_run")


class Entry:
    """One entry of a section, as rows see it."""

    def __init__(self, data, section, tag):
        self.data, self.section, self.tag = data, section, tag

    def get(self, key):
        """Return the text of a key, None where it is not stated."""
        if key.startswith("/"):
            return value_at(self.data, key[1:].split("."))
        first, *rest = self._steps(key)
        if first in ENDS and rest:
            return _below(self, self.end(first), rest)
        if first in RUNS and rest:
            run = self.run(first)
            return None if run is None else value_at(self.data["raceways"][run], rest)
        return _below(self, self.merged(), [first, *rest])

    def merged(self):
        """Return the entry with what its catalog entry says below it."""
        return merged(self.data, self.section, self.tag)

    def end(self, which):
        """Return the equipment at an end of a circuit, with what the terminal tells of a branch or string."""
        tag, terminal = self.end_of(which)
        item = dict(merged(self.data, "equipment", tag))
        item["terminal"] = terminal
        for part in ("branches", "strings"):
            item["count"] = item.get(part, {}).get(terminal, item.get("count"))
        return item

    def end_of(self, which):
        """Return tag and terminal of an end of a circuit."""
        tag, _, terminal = self.data[self.section][self.tag][which].partition(".")
        return tag, terminal

    def run(self, which):
        """Return the tag of the last of a circuit's runs, or of the first of several."""
        runs = tags_in(self.merged().get("runs"))
        if which == "run":
            return runs[-1] if runs else None
        return runs[0] if len(runs) > 1 else None

    def catalog(self, name):
        return self.data.get("catalog", {}).get(name, {})

    def paths(self, key):
        """Yield the paths in the file on which a key of the row lies, whether it is stated or not."""
        if key.startswith("/"):
            yield tuple(key[1:].split("."))
            return
        first, *rest = self._steps(key)
        entry = self.merged()
        if first in ENDS and rest:
            yield from Entry(self.data, "equipment", self.end_of(first)[0]).paths(".".join(rest))
        elif first in RUNS and rest:
            run = self.run(first)
            yield from Entry(self.data, "raceways", run).paths(".".join(rest)) if run else ()
        elif first in CATALOG_KEYS and rest:
            yield from Entry(self.data, "catalog", entry[first]).paths(".".join(rest)) if entry.get(first) else ()
        else:
            yield from ((self.section, self.tag, *steps) for steps in _spread(entry, [first, *rest]))

    def _steps(self, key):
        """Return the steps of a key, with the names of the terminal or of the far end where it asks for them."""
        first, *rest = key.split(".")
        if "@" in rest:
            tag, terminal = self.end_of(first)
            stated = merged(self.data, "equipment", tag).get("terminals", {})
            named = terminal if terminal in stated else "breaker" if terminal or len(stated) != 1 else next(iter(stated))
            rest = [named if step == "@" else step for step in rest]
        return [first, *(self.end_of("to")[0] if step == "@to" else step for step in rest)]


def tags_in(runs):
    """Return the tags of runs as a list, however a file writes them."""
    return [each.strip() for each in runs.split(",")] if isinstance(runs, str) else list(runs or ())


def merged(data, section, tag):
    """Return an entry with what its catalog entry says below it."""
    entry = data[section][tag]
    if section != "equipment":
        return entry
    return {**data.get("catalog", {}).get(entry.get("catalog"), {}), **entry}


def stated_at(data, path):
    """Return what a path of the file leads to, the catalog entry of a piece of equipment included; None where it is not stated."""
    if len(path) < 2 or not isinstance(data.get(path[0], {}).get(path[1]), dict):
        return value_at(data, path)
    return value_at(merged(data, path[0], path[1]), path[2:])


def value_at(tree, steps):
    """Return what stands at the end of some steps, None where there is nothing."""
    for step in steps:
        tree = tree.get(step) if isinstance(tree, dict) else None
    return tree


def _below(entry, tree, steps):
    for number, step in enumerate(steps):
        tree = tree.get(step) if isinstance(tree, dict) else None
        if step in CATALOG_KEYS and number + 1 < len(steps):
            tree = entry.catalog(tree)
    return tree


def _spread(tree, steps):
    if not steps:
        yield ()
    elif steps[0] == "*":
        for name, part in tree.items() if isinstance(tree, dict) else ():
            yield from ((name, *rest) for rest in _spread(part, steps[1:]))
    else:
        part = tree.get(steps[0]) if isinstance(tree, dict) else None
        yield from ((steps[0], *rest) for rest in _spread(part, steps[1:]))
