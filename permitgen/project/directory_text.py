"""A panel's directory as people read it on the door: one line a device, its space first, then what it is and what it serves.

    main   200A 2P 10kA   utility                existing
    1      20A 1P         "KITCHEN RECEPTACLES"  existing
    2,4    60A 2P 10kA    F1  "BACKUP PANEL"     new
    38,40  30A 2P 10kA    C7  "SOLAR DISCONNECT" new, back-fed, held down
    6-36 even  blank
    14,16  50A 2P         "OLD SPA"              to be removed

The text of one line is read here by itself; what it names, and what the lines of one directory say together, is looked at elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import quoted

REST = "rest"
UTILITY = "utility"

# What each word says of the device, as the key of a device in the project file and its value.
_SAYS: dict[str, tuple[str, str]] = {
    "breaker": ("kind", "circuit breaker"),
    "fuse": ("kind", "fuse"),
    "fuses": ("kind", "fuse"),
    "full": ("space", "full"),
    "half": ("space", "half"),
    "quad": ("space", "quad"),
    "new": ("status", "new"),
    "existing": ("status", "existing"),
    "relocated": ("status", "relocated"),
    "held down": ("fastened", "yes"),
    "not held down": ("fastened", "no"),
    "line/load marked": ("marked_line_and_load", "yes"),
    "not line/load marked": ("marked_line_and_load", "no"),
    "100 % rated": ("listed_for_100_percent", "yes"),
    "lockable": ("lockable", "yes"),
    "not lockable": ("lockable", "no"),
    "tied handles": ("handle_tied", "yes"),
    "gfci": ("ground_fault_protection", "yes"),
    "afci": ("arc_fault_protection", "yes"),
    "listed for back-feed": ("listed_for_backfeed", "yes"),
    "current limiting": ("current_limiting", "yes"),
    "adjustable": ("adjustable", "yes"),
    "nonstandard": ("nonstandard", "yes"),
    "ac": ("dc_rated", "no"),
    "dc": ("dc_rated", "yes"),
    "positive": ("polarity", "positive"),
    "negative": ("polarity", "negative"),
}
_LEAVES = ("blank", "spare")
_BACK_FED = "back-fed"
_REMOVED = "to be removed"
_OPEN = ("?", "unknown", "size")
_WORDS = (*_SAYS, *_LEAVES, _BACK_FED, _REMOVED, UTILITY, "size", "unknown")

_SPACES = re.compile(r"(\d{1,3}(?:[ \t]*[,-][ \t]*\d{1,3})*)(?:[ \t]+(even|odd))?(?=[ \t]|$)", re.IGNORECASE)
_END = r"(?=[\s,;]|$)"
_TOKEN = re.compile(
    r'(?P<name>"[^"]*")'
    rf"|(?P<interrupting_rating>(?:\d+(?:\.\d+)?|\?) ?kA){_END}"
    rf"|(?P<rating>(?:\d+(?:\.\d+)?|\?) ?A){_END}"
    rf"|(?P<poles>(?:[0-9]+|\?) ?P){_END}"
    rf"|(?P<voltage>(?:\d+(?:Y? ?/ ?\d+)?|\?) ?V(?: ?dc(?![a-z]))?){_END}"
    r"|(?P<phrase>(?:not )?(?:held down|line/load marked|lockable)|100 ?% rated|tied handles|to be removed|listed for back-feed"
    rf"|current limiting){_END}"
    r'|(?P<word>[^\s,;"]+)',
    re.IGNORECASE,
)
_NAMED = {
    "rating": "rating",
    "poles": "number of poles",
    "interrupting_rating": "interrupting rating",
    "voltage": "marked voltage",
    "kind": "kind of device",
    "space": "size of space",
    "status": "state",
}


@dataclass(frozen=True, slots=True)
class Word:
    """A word of a line and the column, from 0, at which it begins in the line."""

    text: str
    column: int


class DirectoryError(Exception):
    """What is wrong with a line, at which column from 0."""

    def __init__(self, column: int, message: str) -> None:
        super().__init__(message)
        self.column = column
        self.message = message


@dataclass(slots=True)
class Line:
    """One line: where the device stands, what is said of it by key of a device, what it serves.

    ``spaces`` are breaker spaces in the order written, empty where ``place`` names something else (``main``, a terminal) or ``rest``.
    """

    place: Word
    spaces: tuple[int, ...] = ()
    is_range: bool = False
    says: dict[str, Word] = field(default_factory=dict)
    serves: Word | None = None
    name: Word | None = None
    leaves: Word | None = None
    back_fed: Word | None = None
    removed: Word | None = None

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands there."""
        return self.leaves is not None and self.leaves.text == "blank"


def read_line(text: str, tags: Collection[str], near: Collection[str]) -> Line | None:
    """Read one line; None where it says nothing. ``tags`` are those it may refer to, ``near`` those likely here, for messages.

    Raises:
        DirectoryError: a word that is none, or one that says again or otherwise what was said.
    """
    bare = _without_comment(text)
    if not bare.strip():
        return None
    line, at = _place(bare)
    for found in _words(bare, at):
        _take(line, found, tags, near)
    _whole(line)
    return line


def _without_comment(text: str) -> str:
    """Return the text up to a ``#`` outside of quotes that begins a word."""
    in_quotes = False
    for column, character in enumerate(text):
        if character == '"':
            in_quotes = not in_quotes
        elif character == "#" and not in_quotes and (column == 0 or text[column - 1].isspace()):
            return text[:column]
    if in_quotes:
        raise DirectoryError(text.rindex('"'), "the quoted name does not end; expected a second quotation mark on this line")
    return text


def _place(text: str) -> tuple[Line, int]:
    start = len(text) - len(text.lstrip())
    found = _SPACES.match(text, start)
    if found is None:
        word = text[start:].split(maxsplit=1)[0]
        if word[0].isdigit():
            message = f"{quoted(word)} is not a space; write 2, the spaces of one device as 2,4, a range as 6-36 or 6-36 even"
            raise DirectoryError(start, message)
        return Line(Word(word, start)), start + len(word)
    place = Word(found[0], start)
    spaces, is_range = _spaces(place, found[1], (found[2] or "").casefold())
    return Line(place, spaces, is_range), found.end()


def _spaces(place: Word, numbers: str, column: str) -> tuple[tuple[int, ...], bool]:
    spaces: list[int] = []
    is_range = bool(column)
    for part in numbers.split(","):
        first, dash, last = (number.strip() for number in part.partition("-"))
        if "-" in last or (dash and int(first) >= int(last)):
            raise DirectoryError(place.column, f"{quoted(place.text)} is not a range of spaces; expected the lower space first, as 6-36")
        is_range = is_range or bool(dash)
        spaces += range(int(first), int(last or first) + 1)
    if column:
        spaces = [space for space in spaces if space % 2 == (column == "odd")]
    return tuple(spaces), is_range


def _words(text: str, at: int) -> Iterator[re.Match[str]]:
    while found := _TOKEN.search(text, at):
        yield found
        at = found.end()


def _take(line: Line, found: re.Match[str], tags: Collection[str], near: Collection[str]) -> None:
    kind, word = found.lastgroup or "", Word(found[0], found.start())
    if kind == "name":
        _name(line, word)
    elif kind in ("word", "phrase"):
        _word(line, word, tags, near)
    else:
        _figure(line, kind, word)


def _name(line: Line, word: Word) -> None:
    text = " ".join(word.text.strip('"').split())
    if not text:
        raise DirectoryError(word.column, "the quoted name is empty; expected the words on the label of the device")
    if line.name is not None:
        raise DirectoryError(word.column, f"a second name; {quoted(line.name.text)} is the one name of this device")
    line.name = Word(text, word.column)


def _figure(line: Line, key: str, word: Word) -> None:
    text = "unknown" if word.text.startswith("?") else word.text
    if key == "poles" and text != "unknown":
        text = text.rstrip("Pp ")
        if text not in ("1", "2", "3", "4"):
            raise DirectoryError(word.column, f"{quoted(word.text)} is not a number of poles; expected 1P to 4P")
    if key in ("rating", "interrupting_rating"):
        text = re.sub(r"(?<=[\d.])(?=k?A)", " ", text, flags=re.IGNORECASE)  # 20A is 20 A wherever it is printed or compared
    if key == "voltage" and text != "unknown":
        text = re.sub(r" ?V", " V", re.sub(r" ?/ ?", "/", text), flags=re.IGNORECASE)
    _say(line, key, text, word)


def _say(line: Line, key: str, text: str, word: Word) -> None:
    if key in line.says:
        first = line.says[key].text
        what = _NAMED.get(key)
        message = (
            f"{quoted(word.text)} is a second {what} of this device" if what else f"{quoted(word.text)} contradicts or repeats {first}"
        )
        raise DirectoryError(word.column, message)
    line.says[key] = Word(text, word.column)


def _word(line: Line, word: Word, tags: Collection[str], near: Collection[str]) -> None:
    plain = re.sub(r"100 ?%", "100 %", word.text.casefold())
    if word.text in tags:
        _serves(line, word)
    elif plain == UTILITY:
        _serves(line, Word(UTILITY, word.column))
    elif plain in _SAYS:
        key, value = _SAYS[plain]
        _say(line, key, value, word)
    elif plain in _LEAVES:
        _leaves(line, Word(plain, word.column))
    elif plain == _BACK_FED:
        line.back_fed = word
    elif plain == _REMOVED:
        line.removed = word
    elif plain in _OPEN:
        _open_rating(line, Word(plain, word.column))
    else:
        raise DirectoryError(word.column, _no_word(word.text, near))


def _leaves(line: Line, word: Word) -> None:
    if line.leaves is not None:
        raise DirectoryError(word.column, f"{quoted(word.text)} after {line.leaves.text}; expected one of both")
    line.leaves = word


def _open_rating(line: Line, word: Word) -> None:
    if "rating" in line.says:
        raise DirectoryError(word.column, f"{quoted(word.text)} after a rating; expected ?P or ?kA for what else nobody knows")
    line.says["rating"] = Word("size" if word.text == "size" else "unknown", word.column)


def _no_word(text: str, near: Collection[str]) -> str:
    if text[0].isdigit() and re.fullmatch(r"\d+(?:\.\d+)?", text):
        return f"{quoted(text)} needs a unit; write {text}A for a rating, {text}kA for an interrupting rating or {text}P for poles"
    expected = "expected the tag of a circuit or load, a name in quotes, or a word of a directory"
    return f"{quoted(text)} says nothing here; {expected}{did_you_mean(text, (*near, *_WORDS))}"


def _serves(line: Line, word: Word) -> None:
    if line.serves is not None:
        raise DirectoryError(
            word.column, f"{quoted(word.text)} after {line.serves.text}; one device serves one circuit, write each in its own line"
        )
    line.serves = word


def _whole(line: Line) -> None:
    """Refuse a line that leaves open what stands there."""
    if line.is_blank:
        if said := [*line.says.values(), *(word for word in (line.serves, line.name, line.back_fed, line.removed) if word is not None)]:
            raise DirectoryError(min(word.column for word in said), "a blank space holds nothing; expected the spaces and blank alone")
        return
    at = line.place.column
    if line.is_range or line.place.text == REST:
        both = ",".join(map(str, (line.spaces[0], line.spaces[-1]))) if line.spaces else "2,4"
        raise DirectoryError(
            at, f"{quoted(line.place.text)} names many spaces for one device; write its own as {both}, or blank behind a range"
        )
    if line.leaves is not None and (line.serves or line.name) is not None:
        raise DirectoryError(line.leaves.column, "a spare serves nothing; leave out the name, or the word spare")
    if line.spaces and "rating" not in line.says:
        raise DirectoryError(at, "the line gives no rating; expected for example 20A, size to have it chosen, or ? where nobody knows it")
    if line.spaces and line.leaves is None and line.serves is None and line.name is None:
        raise DirectoryError(
            at, "the line does not say what the device serves; expected the tag of a circuit, a name in quotes, spare or blank"
        )
    _goes(line)


def _goes(line: Line) -> None:
    """Refuse what cannot be said of a device that is taken out: it stands in a space today and serves nothing afterwards."""
    if line.removed is None:
        return
    if not line.spaces:
        message = f"{quoted(line.place.text)} is no space; only a device in a breaker space is told as one that is taken out"
        raise DirectoryError(line.removed.column, message)
    if line.serves is not None:
        message = f"{line.serves.text} is served by a device that is to be removed; expected its name in quotes, the tag where it is served"
        raise DirectoryError(line.serves.column, message)
    if word := line.says.get("status", line.back_fed):
        raise DirectoryError(word.column, f"{quoted(word.text)} of a device that is to be removed; expected one of both")
    if line.says["rating"].text == "size":
        raise DirectoryError(line.says["rating"].column, "a device that is to be removed is not chosen; expected its rating or ?")


def said_by_place(line: Line) -> dict[str, Word]:
    """Return what the name of a place says of the device in it, by key of a device: ``fuses`` are fuses."""
    return {_SAYS[line.place.text][0]: Word(_SAYS[line.place.text][1], line.place.column)} if line.place.text in _SAYS else {}
