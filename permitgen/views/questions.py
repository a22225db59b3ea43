"""What people are asked: every fact that a *not judged* finding misses, put as one question for each who knows and can answer in one go."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.system.circuit import End
from permitgen.system.equipment.photovoltaic import PVArray
from permitgen.views.question_spec import OTHER, WHO_KNOWS, row_of

if TYPE_CHECKING:
    from permitgen.system.equipment.equipment import Equipment
    from permitgen.system.system import System
    from permitgen.values.origin import ProjectLine
    from permitgen.views.findings import FindingText

_SECTIONS = {"equipment": "equipment", "raceways": "raceways", "circuits": "circuits", "controls": "control", "loads": "loads"}
_LOAD = "load"
"""A listed load among the kinds of equipment of ``questions.yaml``."""
_TERMINALS, _OF_THE_WHOLE, _FACES = "terminals", "^", "{faces}"


@dataclass(frozen=True, slots=True)
class AskedFact:
    """One fact: what the rules call it, the thing and key of the project file that answer it, empty where no single key does.

    ``file`` and ``line`` are those of the thing, empty and 0 where it has none. ``opens`` counts the verdicts that miss nothing else,
    ``among`` those that miss other facts too.
    """

    asked: str
    thing: str
    key: str
    file: str
    line: int
    opens: int
    among: int

    @property
    def path(self) -> str:
        """The whole key: ``equipment.MTR.socket_listed``."""
        return ".".join(part for part in (self.thing, self.key) if part)


@dataclass(frozen=True, slots=True)
class Question:
    """What one person answers in one go: who knows, what is asked, the facts, and the findings that wait for them.

    ``opens`` counts the verdicts that miss nothing beside these facts, ``among`` those that miss facts of other questions too.
    """

    knows: str
    words: str
    facts: tuple[AskedFact, ...]
    opens: int
    among: int
    findings: tuple[str, ...]


def questions_of(findings: Iterable[FindingText], system: System) -> tuple[Question, ...]:
    """Return the questions by who knows, those that open most first; every missing fact stands in exactly one."""
    waiting = [finding for finding in findings if finding.verdict == "not judged" and finding.missing]
    by_question: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for finding in waiting:
        for fact in finding.missing:
            by_question[_asked_in(fact)][fact] = None
    found = [_question(knows, words, tuple(facts), waiting, system) for (knows, words), facts in by_question.items()]
    return tuple(sorted(found, key=lambda q: (WHO_KNOWS.index(q.knows), -q.opens, -q.among, q.words)))


def _asked_in(fact: str) -> tuple[str, str]:
    """Return who knows a fact and in which question it is put; what no row names is a question of its own for the installer."""
    found = row_of(fact)
    return (found[0].knows, found[0].question) if found is not None else ("installer", fact)


def _question(knows: str, words: str, facts: Sequence[str], waiting: Sequence[FindingText], system: System) -> Question:
    asked = frozenset(facts)
    touched = [finding for finding in waiting if not asked.isdisjoint(finding.missing)]
    opens = sum(asked.issuperset(finding.missing) for finding in touched)
    return Question(
        knows,
        words,
        tuple(_fact(fact, waiting, system) for fact in facts),
        opens,
        len(touched) - opens,
        tuple(finding.id for finding in touched),
    )


def _fact(fact: str, waiting: Sequence[FindingText], system: System) -> AskedFact:
    missed_by = [set(finding.missing) for finding in waiting if fact in finding.missing]
    opens = sum(missing == {fact} for missing in missed_by)
    thing, key, at = _answer_at(fact, system)
    return AskedFact(fact, thing, key, at.file if at else "", at.line if at else 0, opens, len(missed_by) - opens)


def _answer_at(fact: str, system: System) -> tuple[str, str, ProjectLine | None]:
    """Return the thing and the key that answer a fact, and the line of the thing; empty where they cannot be told."""
    found = row_of(fact)
    if found is None:
        return "", "", None
    row, tag = found
    whole = _whole(tag, system)
    key = row.key(whole.kind) if whole is not None else row.key(_LOAD if tag in system.loads else OTHER)
    kind, slash, rest = key.partition("/")
    if not key or (slash and not kind):
        return "", rest, None
    if slash:
        return _at_the_only(kind, rest, system)
    if key.startswith(_OF_THE_WHOLE):
        return _at_the_whole(whole, key.removeprefix(_OF_THE_WHOLE), tag.partition(".")[2])
    terminal = tag.partition(".")[2]
    if key.startswith(_TERMINALS) and terminal and whole is not None:
        return f"equipment.{whole.tag}", key.replace(_TERMINALS, f"{_TERMINALS}.{terminal}", 1), whole.at
    thing, at = _thing(tag, system)
    return thing, key, at


def _whole(tag: str, system: System) -> Equipment | None:
    """Return the equipment that a tag names, or whose terminal or device it is; None where it is neither."""
    head = tag.partition(".")[0]
    inside = system.devices[tag].enclosure if tag in system.devices else ""
    return system.equipment.get(head) or system.equipment.get(inside)


def _at_the_whole(whole: Equipment | None, key: str, terminal: str) -> tuple[str, str, ProjectLine | None]:
    """Return the key at the whole equipment; no key where it hangs on the wall that a terminal faces, which nobody says."""
    if whole is None:
        return "", "", None
    if _FACES in key:
        end = whole.terminal_of(End(whole.tag, "", int(terminal)) if terminal.isdecimal() else End(whole.tag, terminal))
        if end is None or not end.faces:
            return f"equipment.{whole.tag}", "", whole.at
        key = key.replace(_FACES, end.faces)
    return f"equipment.{whole.tag}", key, whole.at


def _at_the_only(kind: str, key: str, system: System) -> tuple[str, str, ProjectLine | None]:
    only = [item for item in system.equipment.values() if item.kind == kind]
    return (f"equipment.{only[0].tag}", key, only[0].at) if len(only) == 1 else ("equipment", key, None)


def _thing(tag: str, system: System) -> tuple[str, ProjectLine | None]:
    """Return the path of the thing of a tag or of the hardware that it names, and its line; a name that is neither in brackets."""
    if tag in system.devices:
        at = system.devices[tag].at
        return (at.path if at is not None else tag), at
    for field, section in _SECTIONS.items():
        things: Mapping[str, object] = getattr(system, field)
        if tag in things:
            return f"{section}.{tag}", getattr(things[tag], "at", None)
    arrays = (item for item in system.equipment.values() if isinstance(item, PVArray))
    hardware = (each for array in arrays for each in (array.module, array.module_inverter, array.converter) if each is not None)
    at = next((each.at for each in hardware if each.name == tag), None)
    if at is not None:
        return at.path, at
    return (f"({tag})" if tag else ""), None
