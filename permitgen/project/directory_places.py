"""Where a device of a directory stands: spaces of a panel, or a place of an enclosure that has a name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from permitgen.project.directory_text import REST, DirectoryError, Line
from permitgen.reading.nearest import did_you_mean
from permitgen.system.equipment.kinds import KINDS

_NOTHING_NAMED: Mapping[str, tuple[str, ...]] = {}
_MOST_IN_A_SPACE = 2
_MOST_DIGITS = 3


def has_directory(kind: str) -> bool:
    """Whether a kind of equipment has a directory."""
    return kind in KINDS and KINDS[kind].directory_names is not None


@dataclass(slots=True)
class Enclosure:
    """One piece of equipment with its hardware laid under it, and which of its spaces the lines so far take.

    ``left`` are the spaces of devices that are taken out: another device, or none, stands there afterwards.
    """

    tag: str
    hardware: Mapping[str, Any]
    taken: dict[int, list[Line]] = field(default_factory=dict)
    left: dict[int, list[Line]] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)

    @property
    def kind(self) -> str:
        """The kind of equipment."""
        return str(self.hardware.get("kind", ""))

    @property
    def spaces(self) -> int | None:
        """How many spaces it has, None where nobody says."""
        text = str(self.hardware.get("spaces", "")).strip()
        return int(text) if text.isdecimal() and len(text) <= _MOST_DIGITS else None

    @property
    def has_two_columns(self) -> bool:
        """Whether spaces count in two columns."""
        return KINDS[self.kind].has_two_columns

    @property
    def names(self) -> Mapping[str, tuple[str, ...]]:
        """The devices that are called by a name, and where each is described below the entry."""
        return KINDS[self.kind].directory_names or _NOTHING_NAMED

    @property
    def shows_all(self) -> bool:
        """Whether every space has a line."""
        return self.spaces is not None and set(range(1, self.spaces + 1)) <= self.taken.keys()

    def source_terminals(self) -> tuple[str, ...]:
        """Names of the terminals that are made for a source."""
        terminals = self.hardware.get("terminals")
        found = terminals.items() if isinstance(terminals, dict) else ()
        return tuple(name for name, terminal in found if isinstance(terminal, dict) and terminal.get("accepts"))

    def hardware_path(self, line: Line) -> tuple[str, ...]:
        """Return the path of the device below the entry that a named place stands for, empty for spaces and source terminals."""
        return () if line.spaces else self.names.get(line.place.text, ())

    def landings(self, line: Line) -> tuple[str, ...]:
        """Return where the circuits of a device land: its space, the supply of a main, either side of a switch; "" the tag alone."""
        kind = KINDS[self.kind]
        if line.place.text == "main":
            return (kind.directory_supply,)
        if kind.has_positions:
            return (str(line.spaces[0]) if line.spaces else line.place.text,)
        return kind.fixed_terminals or ("",)

    def put(self, line: Line) -> None:
        """Let a line stand in its place.

        Raises:
            DirectoryError: there is no such place, another device stands there, or the device does not fit it.
        """
        if line.spaces and not KINDS[self.kind].has_positions:
            raise DirectoryError(line.place.column, f"{self.tag} has no spaces; expected one of its places ({', '.join(self.names)})")
        if line.place.text == REST and self.spaces is not None:
            line.spaces = tuple(space for space in range(1, self.spaces + 1) if space not in self.taken)
        elif not line.spaces:
            self._put_by_name(line)
            return
        self._in_range(line)
        if not line.is_blank:
            self._fits(line)
        spaces = self.taken if line.removed is None else self.left
        for space in line.spaces:
            _free(spaces.get(space, []), space, line)
        for space in line.spaces:
            spaces.setdefault(space, []).append(line)

    def _put_by_name(self, line: Line) -> None:
        name = line.place.text
        known = [*self.names, *self.source_terminals()]
        if name not in known:
            by_number = [f"1 to {self.spaces}" if self.spaces else "the number of a space"] if KINDS[self.kind].has_positions else []
            places = ", ".join([*known, *by_number])
            raise DirectoryError(line.place.column, f'{self.tag} has no place "{name}"{did_you_mean(name, known)} (places: {places})')
        if name in self.named:
            raise DirectoryError(line.place.column, f"{name} has a line already; one device stands in one line")
        self.named.add(name)

    def _in_range(self, line: Line) -> None:
        if len(set(line.spaces)) < len(line.spaces):
            raise DirectoryError(line.place.column, f'"{line.place.text}" names a space twice')
        beyond = [space for space in line.spaces if space < 1 or (self.spaces is not None and space > self.spaces)]
        if beyond and self.spaces is not None:
            message = f"{self.tag} has the spaces 1 to {self.spaces}; there is no space {beyond[0]}"
            raise DirectoryError(line.place.column, message)
        if beyond:
            raise DirectoryError(line.place.column, "spaces count from 1; there is no space 0")

    def _fits(self, line: Line) -> None:
        """Hold poles against spaces; of a full-size breaker its spaces say how many poles it has."""
        poles = line.says.get("poles")
        if not self.has_two_columns:
            if len(line.spaces) > 1:
                raise DirectoryError(line.place.column, f"the positions of {self.tag} take one device each; name one")
            return
        _one_below_the_other(line)
        size = line.says["space"].text if "space" in line.says else "full"
        if poles is None:
            if size != "full":
                raise DirectoryError(
                    line.says["space"].column, f"a {size}-size breaker does not show its poles by its spaces; expected 1P or 2P"
                )
            return
        if poles.text == "unknown":
            if size == "full":
                raise DirectoryError(
                    poles.column, f"{_spaces(len(line.spaces))} of a full-size breaker show {_poles(len(line.spaces))}; leave out ?P"
                )
            return
        number = int(poles.text)
        fitting = {number} if size == "full" else {number, (number + 1) // 2}
        if len(line.spaces) not in fitting:
            expected = " or ".join(_spaces(count) for count in sorted(fitting))
            raise DirectoryError(line.place.column, f"{_spaces(len(line.spaces))} for a breaker of {_poles(number)}; expected {expected}")


def _free(others: list[Line], space: int, line: Line) -> None:
    if not others:
        return
    small = all("space" in each.says and each.says["space"].text != "full" for each in (*others, line))
    if line.is_blank or others[0].is_blank:
        raise DirectoryError(line.place.column, f"space {space} is written twice, once as {'blank' if others[0].is_blank else 'taken'}")
    if not small:
        raise DirectoryError(line.place.column, f"two devices in space {space}; expected half or quad behind both where they share it")
    if len(others) >= _MOST_IN_A_SPACE:
        raise DirectoryError(line.place.column, f"three devices in space {space}; two half-size breakers share one")


def _one_below_the_other(line: Line) -> None:
    for above, below in zip(line.spaces, line.spaces[1:], strict=False):
        if below != above + 2:
            expected = ",".join(str(line.spaces[0] + 2 * row) for row in range(len(line.spaces)))
            message = (
                f'"{line.place.text}" stand beside each other or apart; the poles of a breaker stand one below the other, as {expected}'
            )
            raise DirectoryError(line.place.column, message)


def _poles(number: int) -> str:
    return "1 pole" if number == 1 else f"{number} poles"


def _spaces(number: int) -> str:
    return "1 space" if number == 1 else f"{number} spaces"


def is_to_be_removed(circuit: Mapping[str, Any]) -> bool:
    """Whether the entry of a circuit says that it is taken out in this work."""
    return str(circuit.get("to_be_removed", "")).strip().casefold() == "yes"


def ends_at(circuits: Mapping[str, Any], tag: str) -> Iterable[tuple[str, str, str]]:
    """Yield circuit, key of the end and what it names there, for every end that lands on a piece of equipment.

    A directory is that of afterwards: what is to be removed lands nowhere.
    """
    for name, circuit in circuits.items():
        for key in ("from", "to"):
            end = circuit.get(key) if isinstance(circuit, dict) and not is_to_be_removed(circuit) else None
            if isinstance(end, str) and end.partition(".")[0].strip() == tag:
                yield name, key, end.strip()
