"""Which facts of a system somebody read: a record that is kept while rules run and documents say what they say.

A fact stands in a slot: the object that holds it, the field, and the name within the field where the field holds facts by name.
Objects are told apart by where they stand in the system; copies of an object (with another size) count as the object.
"""

from __future__ import annotations

import sys
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import Field, dataclass, fields, is_dataclass
from types import FrameType
from typing import Any

from permitgen.values.origin import ProjectLine
from permitgen.values.value import Value

ROOM = "permitgen.system"
Owner = tuple[str, ...]
# What holds facts by name, and is asked through a method of the holder that takes the name.
_BY_NAME = {"facts", "answers", "words", "options"}
_ACCESSORS = {"fact", "answer", "word", "option"}
# Whole objects are handed on here, field by field.
_COPIERS = {"holds", "with_device", "__eq__", "__hash__", "__repr__"}


@dataclass(frozen=True, slots=True)
class Slot:
    """Where a fact stands; ``name`` is empty where the field is the fact."""

    owner: Owner
    field: str
    name: str = ""


@dataclass(slots=True)
class ReadRecord:
    """``slots`` that were read, and ``lines`` of the project file (file, line, column) whose number was."""

    slots: set[Slot]
    lines: set[tuple[str, int, int]]

    def holds(self, slot: Slot) -> bool:
        """Whether a slot was read, by its name or as a whole."""
        return slot in self.slots or Slot(slot.owner, slot.field) in self.slots


def slots_of(system: Any) -> dict[Slot, Any]:
    """Return what every slot of a system holds."""
    found: dict[Slot, Any] = {}
    for owner, thing in _objects(system):
        for each in fields(thing):
            if not _is_position(each):
                found.update(_held(owner, each.name, object.__getattribute__(thing, each.name)))
    return found


def owners_in(system: Any) -> dict[int, Owner]:
    """Return where each object of a system stands, by its ``id()``, which is good while the system lives."""
    found: dict[int, Owner] = {}
    for owner, thing in _objects(system):
        found.setdefault(id(thing), owner)
    return found


@contextmanager
def recorded(system: Any, of: Collection[type] = (), record: ReadRecord | None = None) -> Iterator[ReadRecord]:
    """Record what is read of ``system`` and of copies of its objects until the block ends; of the kinds ``of`` alone, if any are named.

    It is written into ``record``, or into a new one. Within another recording this one alone notes, until its block ends.
    """
    record = ReadRecord(set(), set()) if record is None else record
    owners = _Owners(system)
    kinds = {kind: names for kind, names in _kinds().items() if not of or kind in of}
    outer = {kind: vars(kind)["__getattribute__"] for kind in kinds if "__getattribute__" in vars(kind)}
    for kind, names in kinds.items():
        type.__setattr__(kind, "__getattribute__", _reader(record, owners, names))
    try:
        yield record
    finally:
        for kind in kinds:
            type.__delattr__(kind, "__getattribute__")
        for kind, reader in outer.items():
            type.__setattr__(kind, "__getattribute__", reader)


def _kinds() -> dict[type, frozenset[str]]:
    """Return every kind of object of a system with the fields that are no positions."""
    modules = [module for name, module in sys.modules.items() if name.startswith(ROOM)]
    found = [thing for module in modules for thing in vars(module).values() if isinstance(thing, type) and is_of_a_system(thing)]
    return {kind: frozenset(each.name for each in fields(kind) if not _is_position(each)) for kind in dict.fromkeys(found)}


def is_of_a_system(kind: type) -> bool:
    """Whether this is a kind of thing that a system is made of."""
    return is_dataclass(kind) and kind.__module__.startswith(ROOM) and kind.__module__ != __name__


def _is_position(field: Field[Any]) -> bool:
    """Whether a field says where a fact was written, which is no fact."""
    return "ProjectLine" in str(field.type)


def _reader(record: ReadRecord, owners: _Owners, names: frozenset[str]) -> Any:
    def read(thing: Any, name: str) -> Any:
        value = object.__getattribute__(thing, name)
        if name in names:
            _note(record, owners, thing, name, value)
        return value

    return read


def _note(record: ReadRecord, owners: _Owners, thing: Any, name: str, value: Any) -> None:
    caller = sys._getframe(2)  # noqa: SLF001 - who reads decides whether it counts
    owner = owners.of(thing)
    if owner is None:
        return
    slot = Slot(owner, name, _asked_name(caller) if name in _BY_NAME else "")
    if slot in record.slots or _hands_on(caller):
        return
    record.slots.add(slot)
    if isinstance(value, Value):
        record.lines.update(_lines_of(value))


def _asked_name(caller: FrameType) -> str:
    return str(caller.f_locals["name"]) if caller.f_code.co_name in _ACCESSORS else ""


def _hands_on(caller: FrameType) -> bool:
    """Whether the reader only copies whole objects: a dataclass that is replaced or compared."""
    while caller.f_code.co_name.startswith("<") and caller.f_back is not None and caller.f_code.co_name != "<module>":
        caller = caller.f_back  # a comprehension is no reader of its own
    return caller.f_globals.get("__name__") == "dataclasses" or caller.f_code.co_name in _COPIERS


def _lines_of(value: Value) -> Iterator[tuple[str, int, int]]:
    for leaf in value.leaves():
        if isinstance(leaf.origin, ProjectLine):
            yield leaf.origin.file, leaf.origin.line, leaf.origin.column


class _Owners:
    """Tells where an object stands: as the object itself, or as a copy of what stands at its line or has its tag."""

    def __init__(self, system: Any) -> None:
        self._kept: list[Any] = []
        self._by_id: dict[int, Owner] = {}
        self._by_mark: dict[tuple[type, str], Owner] = {}
        for owner, thing in _objects(system):
            self._kept.append(thing)
            self._by_id.setdefault(id(thing), owner)
            self._by_mark.setdefault((type(thing), _mark(thing)), owner)

    def of(self, thing: Any) -> Owner | None:
        """Return where it stands; None where it is no part of the system."""
        owner = self._by_id.get(id(thing))
        return owner if owner is not None else self._by_mark.get((type(thing), _mark(thing)))


def _mark(thing: Any) -> str:
    at = _get(thing, "at")
    if isinstance(at, ProjectLine):
        return at.path
    return next((str(found) for name in ("id", "tag", "part", "circuit", "name") if (found := _get(thing, name))), "")


def _get(thing: Any, name: str) -> Any:
    try:
        return object.__getattribute__(thing, name)
    except AttributeError:
        return None


def _objects(system: Any) -> Iterator[tuple[Owner, Any]]:
    return _below((), system)


def _below(owner: Owner, thing: Any) -> Iterator[tuple[Owner, Any]]:
    yield owner, thing
    for each in fields(thing):
        yield from _parts((*owner, each.name), object.__getattribute__(thing, each.name))


def _parts(owner: Owner, value: Any) -> Iterator[tuple[Owner, Any]]:
    if is_of_a_system(type(value)):
        yield from _below(owner, value)
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from _parts((*owner, str(key)), part)
    elif isinstance(value, tuple):
        for index, part in enumerate(value):
            yield from _parts((*owner, str(index)), part)


def _held(owner: Owner, field: str, value: Any) -> Iterator[tuple[Slot, Any]]:
    if field in _BY_NAME:
        yield from ((Slot(owner, field, str(name)), _plain(held)) for name, held in _pairs(value))
    else:
        yield Slot(owner, field), _plain(value)


def _pairs(value: Any) -> Iterable[tuple[Any, Any]]:
    return value.items() if isinstance(value, Mapping) else value


def _plain(value: Any) -> Any:
    """Return what compares alike where a fact is alike: an object of its own slots counts here only for being there."""
    if is_of_a_system(type(value)):
        return type(value).__name__
    if isinstance(value, Value):
        return value.number, value.unit, value.spelled
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    return tuple(_plain(part) for part in value) if isinstance(value, tuple) else value
