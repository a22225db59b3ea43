"""Reads one label specification file and checks every key of it; all mistakes are told at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, cast

from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import ProblemsError
from permitgen.views.label_spec import (
    BASES,
    DIAGRAMS,
    EDITIONS,
    FIRE_CODES,
    NOT,
    REFLECTIVE,
    ROLES,
    SIGNAL_COLORS,
    LabelSpec,
    LineSpec,
    PanelSpec,
    Section,
    Variable,
    Wording,
)
from permitgen.views.label_spec_file import Entry, SpecFile, read_entries

COLOR_WORDS = ("red", "orange", "yellow", "green", "blue", "white", "black")
_VARIABLE = re.compile(r"\{([a-z][a-z0-9_]*)\}")
_SMALLEST_IN, _LARGEST_IN = 0.05, 4.0


_KEYS = (
    "id",
    "name",
    "basis",
    "trigger",
    "one_per",
    "sections",
    "wording",
    "variables",
    "reflective",
    "material",
    "location",
    "spacing",
    "handwriting",
    "note",
    "exempt",
    "remove_when",
    "diagram",
    "border",
    "denied_by",
)
_WORDING_KEYS = ("editions", "variant", "when", "colors_fixed", "unseen", "doubt", "panels")
_PANEL_KEYS = ("role", "word", "lines", "items", "phrases", "colors", "binding_in", "also_mm", "own_in")


@dataclass(frozen=True)
class SharedWords:
    """What all specifications share: the facts they may ask for with their meanings, the materials by name, the ids of the rules."""

    facts: Mapping[str, str]
    materials: Mapping[str, str]
    rules: tuple[str, ...]


def read_label_spec(path: Path, shared: SharedWords) -> LabelSpec:
    """Return the specification in one file. Raises ProblemsError with one message for each mistake."""
    spec_file, top = read_entries(path)
    names = spec_file.named(top, _KEYS)
    spec = _SpecReader(spec_file, names, shared.facts).spec(top, shared)
    if spec.id != path.stem:
        spec_file.complain(names.get("id", top), f'"{spec.id}" differs from the name of the file, "{path.stem}"')
    if spec_file.problems:
        raise ProblemsError(spec_file.problems)
    return spec


class _SpecReader:
    """Reads one file; every mistake is noted and reading goes on, so that all are told at once."""

    def __init__(self, spec_file: SpecFile, names: dict[str, Entry], known_facts: Iterable[str]) -> None:
        self.file = spec_file
        self.known_facts = frozenset(known_facts)
        self.names = names
        self.variables = self._variables()

    def spec(self, top: Entry, shared: SharedWords) -> LabelSpec:
        file, names = self.file, self.names
        removal = file.named(names["remove_when"], ("fact", "because")) if "remove_when" in names else {}
        materials = shared.materials
        material = file.required(names, "material", top, lambda entry: file.text(entry, allowed=materials), "")
        no_wordings: tuple[Wording, ...] = ()
        wordings = file.required(names, "wording", top, self._wordings, no_wordings)
        return LabelSpec(
            id=file.required(names, "id", top, file.text, ""),
            name=file.required(names, "name", top, file.text, ""),
            basis=file.required(names, "basis", top, lambda entry: file.text(entry, allowed=BASES), ""),
            trigger=file.required(names, "trigger", top, self._fact, ""),
            one_per=file.required(names, "one_per", top, self._by_edition, {}),
            sections=file.required(names, "sections", top, self._sections, {}),
            wordings=wordings,
            variables=self.variables,
            reflective=self._by_edition(names["reflective"], REFLECTIVE) if "reflective" in names else {},
            material=materials.get(material, ""),
            location=file.required(names, "location", top, file.text, ""),
            spacing=self._optional_text("spacing"),
            handwriting=self._handwriting(),
            note=self._optional_text("note"),
            exempt=file.text(names["exempt"], allowed=("dwelling",)) if "exempt" in names else "",
            remove_when=self._fact(removal["fact"]) if "fact" in removal else "",
            remove_because=file.text(removal["because"]) if "because" in removal else "",
            diagram=file.text(names["diagram"], allowed=DIAGRAMS) if "diagram" in names else "",
            border="border" not in names or file.text(names["border"], allowed=("yes", "no")) == "yes",
            file=file.name,
            denied_by=self._denied_by(names["denied_by"], shared.rules, wordings) if "denied_by" in names else {},
        )

    def _denied_by(self, entry: Entry, rules: Iterable[str], wordings: Iterable[Wording]) -> dict[str, str]:
        """Rules, each with words that a line of the label has."""
        lines = [line.text for wording in wordings for panel in wording.panels for line in panel.lines]
        denied: dict[str, str] = {}
        for rule, value in self.file.named(entry).items():
            denied[rule] = self.file.text(value)
            if rule not in rules:
                self.file.complain(value, f'no rule is called "{rule}"{did_you_mean(rule, rules)}')
            if not any(denied[rule] in line for line in lines):
                self.file.complain(value, f'no line of this label has the words "{denied[rule]}"')
        return denied

    def _optional_text(self, name: str) -> str:
        return self.file.text(self.names[name]) if name in self.names else ""

    def _fact(self, entry: Entry) -> str:
        """Read a condition: the name of a known fact, or ``not`` and the name."""
        condition = self.file.text(entry)
        name = condition.removeprefix(NOT)
        if name and name not in self.known_facts:
            self.file.complain(entry, f'"{name}" is not a known fact (see _facts.yaml){did_you_mean(name, self.known_facts)}')
        return condition

    def _by_edition(self, entry: Entry, allowed: Iterable[str] = ()) -> dict[str, str]:
        """One text for all editions, or one an edition."""
        if isinstance(entry.value, str):
            return {"all": self.file.text(entry, allowed=allowed)}
        named = self.file.named(entry, (*EDITIONS, *FIRE_CODES))
        return {edition: self.file.text(value, allowed=allowed) for edition, value in named.items()}

    def _sections(self, entry: Entry) -> dict[str, Section | None]:
        sections: dict[str, Section | None] = {}
        for edition, value in self.file.named(entry, (*EDITIONS, *FIRE_CODES)).items():
            number = "" if value.value is None else self.file.text(value)
            is_absent = value.value is None or number == "none"
            sections[edition] = None if is_absent else Section(number.rstrip("?"), confirmed=not number.endswith("?"))
        return sections

    def _variables(self) -> dict[str, Variable]:
        variables: dict[str, Variable] = {}
        if "variables" in self.names:
            for name, entry in self.file.named(self.names["variables"]).items():
                means = self.file.text(entry)
                optional = means.startswith("optional: ")
                variables[name] = Variable(means.removeprefix("optional: "), optional)
        return variables

    def _handwriting(self) -> tuple[str, ...]:
        if "handwriting" not in self.names:
            return ()
        entry = self.names["handwriting"]
        allowed = self.file.texts(entry)
        for name in allowed:
            if name not in self.variables:
                self.file.complain(entry, f'"{name}" is not one of the variables of this label')
        return allowed

    def _wordings(self, entry: Entry) -> tuple[Wording, ...]:
        return tuple(self._wording(item) for item in self.file.items(entry))

    def _wording(self, entry: Entry) -> Wording:
        file = self.file
        names = file.named(entry, _WORDING_KEYS)
        no_editions: tuple[str, ...] = ()
        no_panels: list[Entry] = []
        editions = file.required(names, "editions", entry, self._editions, no_editions)
        return Wording(
            editions=editions,
            variant=file.text(names["variant"]) if "variant" in names else "",
            when=self._fact(names["when"]) if "when" in names else "",
            panels=tuple(self._panel(item) for item in file.required(names, "panels", entry, file.items, no_panels)),
            colors_fixed="colors_fixed" in names and file.text(names["colors_fixed"], allowed=("yes", "no")) == "yes",
            unseen=self._editions(names["unseen"]) if "unseen" in names else (),
            doubt=file.text(names["doubt"]) if "doubt" in names else "",
        )

    def _editions(self, entry: Entry) -> tuple[str, ...]:
        return tuple(self.file.text(item, allowed=(*EDITIONS, *FIRE_CODES)) for item in self.file.items(entry))

    def _panel(self, entry: Entry) -> PanelSpec:
        file = self.file
        names = file.named(entry, _PANEL_KEYS)
        role = file.required(names, "role", entry, lambda value: file.text(value, allowed=ROLES), "message")
        if role == "signal":
            return self._signal_panel(entry, names)
        text_color, background = self._colors(names.get("colors"))
        if ("lines" in names) == ("items" in names):
            file.complain(entry, "a panel has either lines (one sentence) or items (each a line of its own)")
        sentences = [file.texts(names["lines"])] if "lines" in names else []
        sentences += [(item,) for item in file.texts(names["items"])] if "items" in names else []
        lines = tuple(self._line(entry, names, breaks) for breaks in sentences)
        return PanelSpec(cast("Literal['title', 'message', 'added']", role), lines, background, text_color)

    def _signal_panel(self, entry: Entry, names: dict[str, Entry]) -> PanelSpec:
        word = self.file.required(names, "word", entry, lambda value: self.file.text(value, allowed=SIGNAL_COLORS), "WARNING")
        text_color, background = SIGNAL_COLORS.get(word, SIGNAL_COLORS["WARNING"])
        return PanelSpec("signal", (self._line(entry, names, (word,)),), background, text_color)

    def _colors(self, entry: Entry | None) -> tuple[str, str]:
        """Read ``white on red``: text color and background."""
        if entry is None:
            return "safety_black", "safety_white"
        words = self.file.text(entry).split()
        if len(words) != 3 or words[1] != "on" or words[0] not in COLOR_WORDS or words[2] not in COLOR_WORDS:
            self.file.complain(entry, f"colors are written like white on red, out of {', '.join(COLOR_WORDS)}")
            return "safety_black", "safety_white"
        return f"safety_{words[0]}", f"safety_{words[2]}"

    def _line(self, entry: Entry, names: dict[str, Entry], breaks: tuple[str, ...]) -> LineSpec:
        file = self.file
        text = " ".join(breaks)
        for name in _VARIABLE.findall(text):
            if name not in self.variables:
                file.complain(entry, f"{{{name}}} is printed but not listed under variables")
        binding = file.number(names["binding_in"], _SMALLEST_IN, _LARGEST_IN) if "binding_in" in names else None
        own = file.number(names["own_in"], _SMALLEST_IN, _LARGEST_IN) if "own_in" in names else None
        if binding is None and own is None and "word" not in names:
            file.complain(entry, "a letter height is missing; write binding_in (fixed by the code) or own_in (chosen), in inches")
        return LineSpec(
            text=text,
            breaks=breaks,
            phrases=file.texts(names["phrases"]) if "phrases" in names else (),
            own_height_in=own or binding or 0.0,
            binding_height_in=binding,
            least_height_mm=file.number(names["also_mm"], 1, 100) if "also_mm" in names else 0.0,
        )
