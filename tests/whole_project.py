"""A project in one text: what it uses of hardware files stands in its catalog, for tests that change the text or read it as data."""

import re
from functools import cache
from pathlib import Path

_NAMED = re.compile(r"\b(?:catalog|module|module_inverter|converter): ([a-z0-9-]+)")
_NOTES = re.compile(r"^    (?:data_sheet|sources|checked): .*\n", re.MULTILINE)
_PLACE = re.compile(r"^  file: places/\S+\n", re.MULTILINE)
_HARDWARE = re.compile(r"^hardware: (\S+).*\n", re.MULTILINE)


@cache
def whole_text(path: Path) -> str:
    """Return the text of a project file with the hardware entries that it names as its catalog, and without its jurisdiction file."""
    text = _PLACE.sub("", path.read_text("utf-8"))
    named = _HARDWARE.search(text)
    if named is None:
        return text
    entries: dict[str, str] = {}
    for file in sorted((path.parent / named[1]).glob("*.yaml")):
        below = file.read_text("utf-8").partition("catalog:\n")[2]
        entries |= {each.partition(":")[0].strip(): each for each in re.split(r"(?m)^(?=  [a-z0-9-]+:$)", below) if each}
    used = [entries[name] for name in dict.fromkeys(_NAMED.findall(text))]
    return text.replace(named[0], "catalog:\n" + _NOTES.sub("", "".join(used)), 1)
