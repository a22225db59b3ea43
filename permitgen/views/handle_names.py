"""What a handle is called by a person who stands before it: what it is, and the words of its label where those say it otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts.facts import where_it_holds
from permitgen.evaluation.label_facts.subject import on_handle
from permitgen.system.walks.isolation import service_handles
from permitgen.views.label_specs import load_label_specs

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.handle import Handle
    from permitgen.system.system import System
    from permitgen.views.languages import Phrases

# The labels that name a handle, the one that a hand looks for first: of a source's switch that is a service disconnect the source.
_NAMING_LABELS = (
    "rapid-shutdown-switch",
    "ess-emergency-shutdown",
    "generator-emergency-stop",
    "pv-disconnect",
    "ess-disconnect",
    "service-disconnect",
)


def handle_names(evaluation: Evaluation, handles: Sequence[Handle], phrases: Phrases) -> tuple[str, ...]:
    """Return what each of several handles is called: those of one place never alike.

    The words of labels come first; where they leave two alike, what each leads to tells them apart, and as the last resort their tags.
    """
    names = [handle_name(evaluation, handle, phrases) for handle in handles]
    for place, name in _alike(handles, names, phrases):
        those = [at for at, handle in enumerate(handles) if (handle_place(handle, phrases), names[at]) == (place, name)]
        leads = [_leads_to(evaluation.system, handles[at], phrases) for at in those]
        is_enough = all(leads) and len(set(leads)) == len(leads)
        for at, lead in zip(those, leads, strict=True):
            names[at] = phrases.say("object.to", object=name, name=lead) if is_enough else name
            names[at] += "" if is_enough else f" ({handles[at].id})"
    return tuple(names)


def _alike(handles: Sequence[Handle], names: Sequence[str], phrases: Phrases) -> list[tuple[str, str]]:
    """Return place and name of those that two handles share."""
    told = [(handle_place(handle, phrases), name) for handle, name in zip(handles, names, strict=True)]
    return [each for each in dict.fromkeys(told) if told.count(each) > 1]


def _leads_to(system: System, handle: Handle, phrases: Phrases) -> str:
    """Return the name of what the circuit at a handle leads to, seen from the enclosure of the handle; empty where there is no circuit."""
    for circuit in system.circuits.values():
        for own, other in ((circuit.start, circuit.finish), (circuit.finish, circuit.start)):
            if handle.id == str(own) and other.tag in system.equipment:
                name = system.equipment[other.tag].name
                return phrases.own.get(name, name)
    return ""


def handle_name(evaluation: Evaluation, handle: Handle, phrases: Phrases) -> str:
    """Return what a handle is, with the words of its label, or without any with the name of what it stands in."""
    system = evaluation.system
    what = _what_it_is(system, handle, phrases)
    if handle.label:
        return f'{what} "{handle.label}"'
    words = label_words(evaluation, handle)
    # Of two breakers at one place neither may be just a breaker; "Service disconnect" needs no SERVICE DISCONNECT behind it.
    if words and not _says_the_same(phrases, system, handle, words):
        return f'{what} "{words}"'
    item = system.equipment.get(handle.tag)
    if not words and handle.kind in ("breaker", "main breaker", "disconnect") and item is not None and item.name:
        name = phrases.own.get(item.name, item.name)
        return f"{what} ({name})" if handle.id == handle.tag else phrases.say("object.of", object=what, name=name)
    return what


def _says_the_same(phrases: Phrases, system: System, handle: Handle, words: str) -> bool:
    return any(
        part.casefold() in whole.casefold()
        for part, whole in ((words, _what_it_is(system, handle, phrases)), (_what_it_is(system, handle, phrases), words))
    )


def _what_it_is(system: System, handle: Handle, phrases: Phrases) -> str:
    if handle.kind == "rapid shutdown initiator" and handle.stops and not stops_photovoltaics(system, handle):
        return phrases.say("object.storage stop")
    service = ".service" if handle.id in service_handles(system) and handle.kind in ("main breaker", "service disconnect") else ""
    return phrases.choose(f"object.{handle.kind}{service}", f"object.{handle.kind}", "object.disconnect")


def label_words(evaluation: Evaluation, handle: Handle) -> str:
    """Return the title of the label that names a handle, empty where none is due on it."""
    edition, tag = evaluation.given.code.edition.value, on_handle(evaluation.system, handle).tag
    specs = load_label_specs(())
    for name in _NAMING_LABELS:
        spec = specs[name]
        if not any(subject.tag == tag for subject in where_it_holds(evaluation, spec.trigger) or ()):
            continue
        wording = next((each for each in spec.wordings if edition in each.editions), None)
        titles = [panel for panel in wording.panels if panel.role == "title"] if wording is not None else []
        if titles:
            return " ".join(line.text for line in titles[0].lines)
    return ""


def stops_photovoltaics(system: System, handle: Handle) -> bool:
    """Whether a handle stops a PV source by control."""
    return any(source.kind == "photovoltaic" for source in system.sources.values() if source.tag in handle.stops)


def handle_place(handle: Handle, phrases: Phrases) -> str:
    """Return where a handle is, in words; that it is not recorded where the project does not say."""
    return (
        phrases.place(handle.place.description) if handle.place is not None and handle.place.description else phrases.say("place.unknown")
    )
