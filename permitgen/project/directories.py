"""Puts the devices of directories where they act: at the ends of circuits, in the hardware of their enclosure, on its spaces.

A line of a directory is another way of writing what ``overcurrent:`` of a circuit or ``main:`` of a panel says. After this step both
ways are the same data, and every fact of a device stands where its word was written.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from permitgen.project.added_data import AddedData
from permitgen.project.copied_file import mapping
from permitgen.project.directory_places import Enclosure, ends_at, has_directory, is_to_be_removed
from permitgen.project.directory_text import UTILITY, DirectoryError, Line, Word, read_line, said_by_place
from permitgen.project.fields import NONE, UNKNOWN
from permitgen.project.quantity_breaker import parse_breaker
from permitgen.project.quantity_error import QuantityError
from permitgen.reading.characters import cleaned, split_lines
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.positions import Path, Place
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile
from permitgen.system.equipment.kinds import KINDS
from permitgen.system.equipment.panelboard import Panelboard

_END = {"from": "from_end", "to": "to_end"}
_EXPECTED = "expected the lines of a panel door as text, one device a line, below directory: |"
_OF_A_PLACE = "a directory is that of one panel in its place; write it in the equipment entry"
# What counts breakers, and is counted where a directory shows every space.
_TOTALS = ("spaces_used", "all_breakers_but_main", "poles_in_use", "all_breakers_in_file")


class DirectoryRows(list[Any]):
    """The lines of a directory that was read; a list that a person wrote is none."""

    def copy(self) -> DirectoryRows:
        """Return a list that was read, too."""
        return DirectoryRows(self)


@dataclass(frozen=True, slots=True)
class Claim:
    """What a line says of the way the current comes, which the graph has to show: that a device is back-fed, or fed by the utility."""

    enclosure: str
    device: str
    says: str
    place: Place


def read_directories(file: ReadFile) -> tuple[ReadFile, tuple[Claim, ...], list[Problem]]:
    """Return the file with the devices of its directories where they act, what the lines claim, and what is wrong with them."""
    equipment = mapping(file.data.get("equipment"))
    given = {tag: entry["directory"] for tag, entry in equipment.items() if isinstance(entry, dict) and entry.get("directory") is not None}
    catalog = mapping(file.data.get("catalog"))
    everywhere = [("catalog", name, "directory") for name, entry in catalog.items() if isinstance(entry, dict) and "directory" in entry]
    lists = [tag for tag, told in given.items() if not isinstance(told, str | DirectoryRows)]
    problems = [file.problem(("equipment", tag, "directory"), _EXPECTED) for tag in lists]
    problems += [file.problem(path, _OF_A_PLACE, at_key=True) for path in everywhere]
    texts = {tag: told for tag, told in given.items() if isinstance(told, str) and told.strip().casefold() not in (NONE, UNKNOWN)}
    if not texts:
        return file, (), problems
    work = AddedData(file)
    claims: list[Claim] = []
    for tag, text in texts.items():
        entry = equipment[tag]
        hardware = {**mapping(catalog.get(str(entry.get("catalog")))), **entry}
        # Of other kinds the reader of the section says that the key is unknown there.
        if has_directory(str(hardware.get("kind"))):
            directory = _Directory(work, Enclosure(tag, hardware), places_of_lines(file, ("equipment", tag, "directory"), text))
            claims += directory.read(text)
    return work.file(), tuple(claims), [*problems, *work.problems]


class _Directory:
    """The directory of one enclosure."""

    def __init__(self, work: AddedData, enclosure: Enclosure, places: list[Place]) -> None:
        self._work = work
        self._in = enclosure
        self._places = places
        self._line_at: Place = places[0]
        self._rows = 0
        self._loads: dict[str, str] = {}
        self._is_read_whole = True
        self._claims: list[Claim] = []

    def read(self, text: str) -> list[Claim]:
        """Put every device where it acts; return what the lines claim."""
        tag = self._in.tag
        path: Path = ("equipment", tag, "directory")
        self._work.put(path, DirectoryRows(), self._work.place_of(path))
        loads = [name for name, load in self._work.section("loads").items() if mapping(load).get("panel") == tag]
        tags = (*self._work.section("circuits"), *self._work.section("loads"))
        near = (*(name for name, _, _ in ends_at(self._work.section("circuits"), tag)), *loads)
        for place, written in zip(self._places, text.split("\n"), strict=False):
            self._line_at = place
            try:
                line = read_line(written.strip(), tags, near)
                if line is not None:
                    self._take(line)
            except DirectoryError as fault:
                self._is_read_whole = False
                self._work.refuse(f"equipment.{tag}.directory", self._at(fault.column), fault.message)
        self._line_at = self._work.place_of(path)
        if self._is_read_whole:
            self._look_at_the_whole()
        return self._claims

    def _at(self, column: int) -> Place:
        return (self._line_at[0], self._line_at[1] + column)

    def _take(self, line: Line) -> None:
        self._in.put(line)
        if line.is_blank:
            if named := self._in.hardware_path(line):
                key = named[0]
                raise DirectoryError(
                    line.place.column, f"only spaces are blank; leave the line out, and say {key}: none where there is none"
                )
            self._row(line, {"blank": ("yes", line.place)})
            return
        if line.removed is not None:
            path = self._row(line, {"to_be_removed": ("yes", line.removed)})
            self._put_device((*path, "device"), self._device(line), line)
            return
        circuit = self._circuit_of(line)
        if (path := self._in.hardware_path(line)) or (not line.spaces and not circuit) or self._is_built_in(line):
            self._in_hardware(line, path or ("terminals", line.place.text, "device"))
        elif circuit:
            self._at_circuit(line, *circuit)
        else:
            self._by_itself(line)
        for word, says in ((line.back_fed, "back-fed"), (line.serves if _is_utility(line) else None, UTILITY)):
            if word is not None:
                self._claims.append(Claim(self._in.tag, self._id(line), says, self._at(word.column)))

    def _id(self, line: Line) -> str:
        return f"{self._in.tag}.{line.spaces[0] if line.spaces else line.place.text}"

    def _circuit_of(self, line: Line) -> tuple[str, str] | None:
        """Return the circuit whose device this is, and the key of its end here.

        Raises:
            DirectoryError: the circuit named does not land here, or one that lands here is not named.
        """
        circuits = self._work.section("circuits")
        if _is_utility(line) and line.place.text != "main":
            raise DirectoryError(
                _column(line.serves), "only a main is fed by the utility itself; expected the tag of the circuit that lands here"
            )
        named = line.serves.text if line.serves is not None and line.serves.text in circuits else ""
        places = {".".join(filter(None, (self._in.tag, place))) for place in self._in.landings(line)}
        here = {name: key for name, key, end in ends_at(circuits, self._in.tag) if end in places}
        bare = {name: key for name, key, end in ends_at(circuits, self._in.tag) if end == self._in.tag}
        if named and named in bare and named not in here and line.spaces:
            key = bare[named]
            self._work.put(("circuits", named, key), self._id(line), self._at(line.place.column))
            return named, key
        if named and named not in here:
            ends = mapping(circuits[named])
            if is_to_be_removed(ends):
                raise DirectoryError(_column(line.serves), f"{named} is to be removed; a directory shows what is there afterwards")
            message = f"{named} does not land on {' or '.join(sorted(places))}; it runs from {ends.get('from')} to {ends.get('to')}"
            raise DirectoryError(_column(line.serves), f"{message}{did_you_mean(named, here)}")
        left = [name for name in here if name != named]
        if left and not _shares(line) and not self._in.hardware_path(line):
            raise DirectoryError(line.place.column, f"{left[0]} lands on {self._id(line)}; expected its tag in this line")
        return (named, here[named]) if named else None

    def _device(self, line: Line) -> dict[str, tuple[str, Word]]:
        by_place = said_by_place(line) if line.place.text in self._in.names else {}
        found = {key: (word.text, word) for key, word in (by_place | line.says).items()}
        if found.get("rating", ("", None))[0] == "size":
            del found["rating"]
        if line.name is not None:
            found["name"] = (line.name.text, line.name)
        if line.spaces and self._in.has_two_columns:
            found.setdefault("poles", (str(len(line.spaces)), line.place))
        return found

    def _put_device(self, path: Path, device: dict[str, tuple[str, Word]], line: Line) -> None:
        if not isinstance(self._work.at(path), dict):
            self._work.put(path, {}, self._at(line.place.column))
        for key, (text, word) in device.items():
            self._work.put((*path, key), text, self._at(word.column))

    def _is_built_in(self, line: Line) -> bool:
        """Whether the hardware brings the device of a source terminal along, so that the line only names it."""
        terminal = mapping(mapping(self._in.hardware.get("terminals")).get(line.place.text))
        return not line.spaces and terminal.get("device") is not None and not set(line.says) - {"status"}

    def _in_hardware(self, line: Line, below: tuple[str, ...]) -> None:
        """A main, a load device, the breaker of a neutral former: told here, or in the hardware and only named here."""
        tag, path = self._in.tag, ("equipment", self._in.tag, *below)
        self._work.lift(tag, below[0])
        known = self._work.at(path)
        is_said = bool(set(line.says) - {"status"})
        has_lugs = below == ("main",) and str(self._in.hardware.get("main_lugs_only", "")).casefold() == "yes"
        if len(below) == 1 and (_is_none(known) or has_lugs):
            raise DirectoryError(
                line.place.column, f"{tag} is said to have no {below[0]} ({below[0]}: none); leave out this line or that key"
            )
        if len(below) > 1 and not isinstance(self._work.at(path[:-1]), dict):
            raise DirectoryError(line.place.column, f"{tag} has no {below[-2]}; describe it in the hardware first")
        if is_said and known is not None:
            at = self._work.place_of(path)[0]
            raise DirectoryError(
                line.place.column, f"the device is described in the hardware already (line {at}); write it once, here or there"
            )
        if not is_said and known is None:
            raise DirectoryError(line.place.column, "the line gives no rating; expected for example 200A, or ? where nobody knows it")
        if isinstance(known, str):
            self._work.put(path, self._long_form(known, line), self._work.place_of(path))
        self._put_device(path, self._device(line), line)

    def _long_form(self, short: str, line: Line) -> dict[str, str]:
        try:
            found = parse_breaker(short)
        except QuantityError as error:
            raise DirectoryError(line.place.column, f"the device in the hardware is not readable: {error}") from error
        return {"rating": f"{found.rating_a:g} A"} | ({"poles": str(found.poles)} if found.poles is not None else {})

    def _at_circuit(self, line: Line, circuit: str, key: str) -> None:
        path: Path = ("circuits", circuit, "overcurrent", _END[key])
        if self._work.at(path) is not None or not isinstance(self._work.at(path[:-1]) or {}, dict):
            at = self._work.place_of(path)[0]
            raise DirectoryError(
                line.place.column, f"the device of {circuit} is written here and at the circuit (line {at}); write it once"
            )
        if "rating" not in line.says:
            raise DirectoryError(line.place.column, "the line gives no rating; expected for example 60A, size to have it chosen, or ?")
        self._put_device(path, self._device(line), line)

    def _by_itself(self, line: Line) -> None:
        """A device of a circuit that does not stand in the file: there already, or for a load that is listed."""
        if line.says["rating"].text == "size":
            raise DirectoryError(
                line.says["rating"].column, "only the device of a circuit of this file can be sized; expected its rating or ?"
            )
        load = line.serves
        if load is not None:
            told = mapping(self._work.section("loads")[load.text])
            if told.get("panel") != self._in.tag:
                raise DirectoryError(load.column, f"{load.text} is a load of {told.get('panel')}, not of {self._in.tag}")
            if load.text in self._loads:
                raise DirectoryError(
                    load.column, f"{load.text} has a breaker already, on {self._loads[load.text]}; expected each load in one line"
                )
            self._loads[load.text] = line.place.text
            self._leg(line, load)
        said: dict[str, tuple[str, Word]] = {"load": (load.text, load)} if load is not None else {}
        if line.leaves is not None:
            said["spare"] = ("yes", line.leaves)
        path = self._row(line, said)
        self._put_device((*path, "device"), self._device(line), line)

    def _leg(self, line: Line, load: Word) -> None:
        """The space of a full-size breaker says on which leg its load lies: the rows of a panel take turns."""
        if "space" in line.says or not self._in.has_two_columns:
            return
        row = (line.spaces[0] + 1) // 2
        leg = "both" if len(line.spaces) > 1 else "L1" if row % 2 else "L2"
        path: Path = ("loads", load.text, "leg")
        stated = self._work.at(path)
        if stated is not None and str(stated).casefold() != UNKNOWN:
            place = self._work.place_of(path)[0]
            raise DirectoryError(
                line.place.column, f"{line.place.text} is on {leg}, and {load.text} states its leg too (line {place}); write it once"
            )
        self._work.put(path, leg, self._at(line.place.column))

    def _row(self, line: Line, said: dict[str, tuple[str, Word]]) -> Path:
        path: Path = ("equipment", self._in.tag, "directory", self._rows)
        self._rows += 1
        self._work.put(path, {}, self._at(line.place.column))
        self._work.put((*path, "spaces"), ",".join(map(str, line.spaces)), self._at(line.place.column))
        for key, (text, word) in said.items():
            self._work.put((*path, key), text, self._at(word.column))
        return path

    def _look_at_the_whole(self) -> None:
        tag = self._in.tag
        shown = {f"{tag}.{space}" for space in self._in.taken}
        written = {f"{tag}.{line.spaces[0]}" for lines in self._in.taken.values() for line in lines if not line.is_blank}
        for name, key, end in ends_at(self._work.section("circuits"), tag):
            if end in shown - written:
                message = f"{name} lands on {end}, which the directory shows as blank or as the second space of a breaker"
                self._work.refuse(f"circuits.{name}.{key}", self._work.place_of(("circuits", name, key)), message)
        self._totals()

    def _totals(self) -> None:
        """What a whole directory shows is counted, and not typed a second time."""
        tag, hardware = self._in.tag, self._in.hardware
        if not self._in.shows_all:
            if str(hardware.get("all_breakers_in_file", "")).casefold() == "yes":
                left = sorted(set(range(1, (self._in.spaces or 0) + 1)) - self._in.taken.keys())
                which = f"space {left[0]}" if left else "how many spaces there are"
                self._refuse_key(
                    "all_breakers_in_file", f"the directory does not show {which}; expected a line for every space, blank or not"
                )
            return
        for key in _TOTALS:
            if hardware.get(key) is not None:
                self._refuse_key(key, f"the directory of {tag} shows every space, which says this; leave the key out")
        if issubclass(KINDS[self._in.kind], Panelboard):
            self._work.put(("equipment", tag, "all_breakers_in_file"), "yes", self._line_at)

    def _refuse_key(self, key: str, message: str) -> None:
        entry = self._work.at(("equipment", self._in.tag))
        path: Path = ("equipment", self._in.tag, key) if key in entry else ("catalog", str(entry.get("catalog")), key)
        self._work.refuse(".".join(map(str, path)), self._work.place_of(path), message)


def _column(word: Word | None) -> int:
    return word.column if word is not None else 0


def _is_none(value: Any) -> bool:
    return isinstance(value, str) and value.strip().casefold() == NONE


def _is_utility(line: Line) -> bool:
    return line.serves is not None and line.serves.text == UTILITY


def _shares(line: Line) -> bool:
    """Whether another device may stand in the same space, which the other circuit may have."""
    return "space" in line.says and line.says["space"].text != "full"


def places_of_lines(file: ReadFile, path: Path, text: str) -> list[Place]:
    """Return where each line of a text begins in the file; all at the text's own place where it is not written line by line."""
    place = file.position(path)
    lines = split_lines(file.text)
    found: list[Place] = []
    number = place[0]
    for written in text.split("\n"):
        while not found and number < len(lines) and not lines[number].strip():
            number += 1
        if number >= len(lines) or cleaned(lines[number]) != written.strip():
            return [place] * len(text.split("\n"))
        found.append((number + 1, len(lines[number]) - len(lines[number].lstrip()) + 1))
        number += 1
    return found
