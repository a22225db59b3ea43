"""Checks that what a project file names exists: tags, terminals, runs, catalog parts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from permitgen.project.built_references import built_claims, inspections
from permitgen.project.choice_references import asked, confirmations, grants, options, review_sheets, roles, settings, submission
from permitgen.project.circuits_told_twice import circuits_told_twice
from permitgen.project.converted_energy import inverter_energy, is_dc_terminal, storage_coupling
from permitgen.project.figures_and_controls import known_load_faults, power_control_faults
from permitgen.project.messages import Location, Where
from permitgen.project.place_building import usual_roof
from permitgen.project.reference_check import Check
from permitgen.project.removed_things import is_to_be_removed, left_hanging
from permitgen.project.run_place import contradictions
from permitgen.project.run_ways import contradictory_ways, runs_named
from permitgen.project.sections import equipment as kinds
from permitgen.project.sections.project_file import ProjectFile
from permitgen.project.sections.wiring import CircuitModel
from permitgen.project.site_references import buildings, dwelling_units, layouts, openings_shown, roof_planes, surroundings
from permitgen.project.source_references import sources_told_twice
from permitgen.project.storage_references import storage_units
from permitgen.reading.nearest import did_you_mean
from permitgen.reading.problems import Problem
from permitgen.reading.reader import ReadFile
from permitgen.system.equipment.kinds import KINDS

TAG = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,15}")


def reference_problems(models: ProjectFile, file: ReadFile, where: Where) -> list[Problem]:
    """Return every reference that leads nowhere and every tag that cannot stand on a drawing."""
    check = Check(models, file, where)
    found: list[Problem] = []
    for part in _PARTS:
        found.extend(part(check))
    return found


def _tags(check: Check) -> Iterator[Problem]:
    first: dict[str, Location] = {}
    for section in ("equipment", "raceways", "circuits", "control", "loads", "power_control"):
        for tag in getattr(check.models, section):
            location: Location = (section, tag)
            if not TAG.fullmatch(tag):
                yield check.problem(location, f'"{tag}" is not a tag; a tag is a letter and up to 15 letters, digits, - or _', at_key=True)
            if tag in first:
                line, _ = check.file.key_position(first[tag])
                yield check.problem(
                    location,
                    f'the tag "{tag}" is used twice (line {line} and here); tags appear on every drawing and must be unique',
                    at_key=True,
                )
            first.setdefault(tag, location)


def _circuits(check: Check) -> Iterator[Problem]:
    for tag, circuit in check.models.circuits.items():
        yield from _end(check, ("circuits", tag, "from"), circuit.from_)
        yield from _end(check, ("circuits", tag, "to"), circuit.to)
        yield from _unnamed(check, tag, circuit)
        yield from _kinds_of_current(check, tag, circuit)
        yield from _ways(check, tag, circuit)
        if circuit.conductors.ungrounded == 0 or circuit.conductors.sets == 0:
            yield check.problem(("circuits", tag, "conductors"), "expected at least one ungrounded conductor and one set")


def _unnamed(check: Check, tag: str, circuit: CircuitModel) -> Iterator[Problem]:
    """An end without a terminal, where several could be meant: nobody knows on which the circuit lands.

    Of a panelboard it is a breaker of an unknown space, where a breaker is told or the circuit leads away.
    """
    ends = (("from", circuit.from_, circuit.overcurrent.from_end), ("to", circuit.to, circuit.overcurrent.to_end))
    for key, end, device in ends:
        item = check.models.equipment.get(end)
        if item is None or len(_to_choose_from(item)) < 2:
            continue
        if KINDS[item.kind].tag_alone_is_a_space and (device is not None or key == "from"):
            continue
        named = ", ".join(f"{end}.{name}" for name in terminal_names(item))
        space = f", or the space of its breaker as {end}.1" if KINDS[item.kind].has_positions else ""
        yield check.problem(("circuits", tag, key), f"{end} has several terminals; name the one on which the circuit lands: {named}{space}")


def _to_choose_from(item: Any) -> Sequence[str]:
    return terminal_names(item) if isinstance(item, kinds.InverterModel) else KINDS[item.kind].fixed_terminals


def _ways(check: Check, tag: str, circuit: CircuitModel) -> Iterator[Problem]:
    for key, runs in runs_named(circuit):
        for run in runs:
            if run not in check.models.raceways:
                yield check.unknown(("circuits", tag, *key), "no raceway has the tag", run, check.models.raceways)
    for name in circuit.parallel:
        if not TAG.fullmatch(name):
            message = f'"{name}" is not a name of a set; it is a letter and up to 15 letters, digits, - or _, as A and B'
            yield check.problem(("circuits", tag, "parallel", name), message, at_key=True)
    for key, message in contradictory_ways(circuit, check.models.raceways):
        yield check.problem(("circuits", tag, *key), message)


def _kinds_of_current(check: Check, tag: str, circuit: Any) -> Iterator[Problem]:
    """A string on an ac port, or a panel on a dc port, is a slip of the pen that nothing behind it would survive."""
    for key, here, there in (("from", circuit.from_, circuit.to), ("to", circuit.to, circuit.from_)):
        inverter, terminal = _named(check, here)
        other, strings = _named(check, there)
        if isinstance(inverter, kinds.DCCombinerModel) and _gives_ac(check, there):
            yield check.problem(("circuits", tag, key), f"{here} is on direct current, and {there} is on alternating current")
        if not isinstance(inverter, kinds.InverterModel) or other is None:
            continue
        is_dc = is_dc_terminal(inverter, terminal)
        if not is_dc and isinstance(other, kinds.PVArrayModel) and strings in other.strings:
            dc = ", ".join(name for name in terminal_names(inverter) if is_dc_terminal(inverter, name)) or "none; describe them under ports"
            yield check.problem(("circuits", tag, key), f"a string gives direct current, and {here} is an ac port (dc ports: {dc})")
        if is_dc and KINDS[other.kind].is_ac_only:
            ac = ", ".join(name for name in terminal_names(inverter) if not is_dc_terminal(inverter, name))
            yield check.problem(("circuits", tag, key), f"{there} is on alternating current, and {here} is a dc port (ac ports: {ac})")


def _gives_ac(check: Check, text: str) -> bool:
    item, terminal = _named(check, text)
    if isinstance(item, kinds.InverterModel):
        return bool(terminal) and not is_dc_terminal(item, terminal)
    stated = getattr(item, "coupling", "") == "ac"
    return item is not None and (KINDS[item.kind].is_ac_only or stated)


def _named(check: Check, text: str) -> tuple[Any, str]:
    tag, _, terminal = text.partition(".")
    return check.models.equipment.get(tag), terminal


def _ports(check: Check) -> Iterator[Problem]:
    """Terminals are the lugs of the ports: they have the same names."""
    for tag, item in check.models.equipment.items():
        if not isinstance(item, kinds.InverterModel) or not item.ports:
            continue
        for name in item.terminals:
            if name not in item.ports:
                known = ", ".join(item.ports)
                yield check.problem(("equipment", tag, "terminals", name), f"{tag} has no port of this name (ports: {known})", at_key=True)
        by_kind = [port.kind for port in item.ports.values()]
        for kind in ("utility", "load", "generator"):
            if by_kind.count(kind) > 1:
                yield check.problem(("equipment", tag, "ports"), f"{by_kind.count(kind)} ports of the kind {kind}; one is read")


def _end(check: Check, location: Location, text: str) -> Iterator[Problem]:
    tag, _, terminal = text.partition(".")
    item = check.models.equipment.get(tag)
    if item is None:
        yield check.unknown(location, "no equipment has the tag", tag, check.models.equipment)
        return
    known = terminal_names(item)
    kind = KINDS[item.kind]
    if not terminal or kind.takes_any_terminal:
        return
    if terminal.isdecimal() and kind.has_positions:
        spaces = getattr(item, "spaces", None)
        if spaces is not None and not 1 <= int(terminal) <= spaces:
            yield check.problem(location, f"{tag} has the breaker spaces 1 to {spaces}; there is no space {terminal}")
        return
    if terminal not in known:
        have = ", ".join(known) or "none; write the tag alone"
        yield check.problem(location, f'{tag} has no terminal "{terminal}"{_instead(item, terminal, known)} (terminals: {have})')
    elif isinstance(item, kinds.MicrogridInterconnectDeviceModel) and terminal not in kind.fixed_terminals:
        yield from _accepts(check, tag, terminal, item)


def _instead(item: kinds.EquipmentModel, terminal: str, known: Sequence[str]) -> str:
    """Return what was meant: the nearest terminal, or the inputs of an inverter that describes none."""
    if isinstance(item, kinds.InverterModel) and not item.ports:
        return f"; the dc inputs of an inverter are ports: ports: {{ac: {{kind: utility}}, {terminal}: {{kind: photovoltaic}}}}"
    return did_you_mean(terminal, known)


def _accepts(check: Check, tag: str, terminal: str, item: kinds.MicrogridInterconnectDeviceModel) -> Iterator[Problem]:
    """A source terminal that does not say its source would lead nowhere, and nothing behind it would be judged."""
    if not item.terminals[terminal].accepts:
        kinds_of_source = "photovoltaic, energy storage, generator or any source"
        message = f"a circuit ends on this terminal of {tag}; expected accepts with the kind of source it is made for: {kinds_of_source}"
        yield check.problem(("equipment", tag, "terminals", terminal), message, at_key=True)


def terminal_names(item: Any) -> tuple[str, ...]:
    """Return the names of the terminals a piece of equipment has."""
    names = [*KINDS[item.kind].fixed_terminals, *(name for name in item.terminals if name != "breaker")]
    if isinstance(item, kinds.PVArrayModel):
        names += [*item.branches, *item.strings]
    if isinstance(item, kinds.InverterModel) and item.ports:
        names = [*item.ports]
    return tuple(dict.fromkeys(names))


def _catalog_parts(check: Check) -> Iterator[Problem]:
    wanted = {"module": kinds.ModuleModel, "module_inverter": kinds.ModuleInverterModel, "converter": kinds.ConverterModel}
    for tag, item in check.models.equipment.items():
        if not isinstance(item, kinds.PVArrayModel):
            continue
        for key, model in wanted.items():
            name = getattr(item, key)
            fitting = [entry for entry, found in check.models.catalog.items() if isinstance(found, model)]
            if name and name not in fitting:
                yield check.unknown(("equipment", tag, key), f"the catalog has no {key.replace('_', ' ')}", name, fitting)


def _branches(check: Check) -> Iterator[Problem]:
    for tag, item in check.models.equipment.items():
        if isinstance(item, kinds.PVArrayModel) and item.branches and not item.module_inverter:
            message = "branches are ac circuits of microinverters; expected module_inverter with the name of a catalog entry, or strings"
            yield check.problem(("equipment", tag, "branches"), message, at_key=True)


def _module_order(check: Check) -> Iterator[Problem]:
    """Each branch or string takes its modules once."""
    for tag, item in check.models.equipment.items():
        if not isinstance(item, kinds.PVArrayModel) or not item.module_order:
            continue
        names = [*item.branches, *item.strings]
        if sorted(item.module_order) != sorted(names):
            said = ", ".join(item.module_order)
            message = (
                f"{said} is not every branch or string of {tag} once; expected {', '.join(names) or 'branches or strings'} in some order"
            )
            yield check.problem(("equipment", tag, "module_order"), message)


def _pv_counts(check: Check) -> Iterator[Problem]:
    for tag, item in check.models.equipment.items():
        if not isinstance(item, kinds.PVArrayModel) or item.modules is None:
            continue
        parts = [*item.branches.values(), *item.strings.values()]
        if any(part is None for part in parts):
            continue
        total = sum(part.number for part in parts if part is not None)
        if parts and total != item.modules.number:
            what = "branches" if item.branches else "strings"
            yield check.problem(
                ("equipment", tag, "modules"), f"{tag} says {item.modules.number:.0f} modules; its {what} add up to {total:.0f}"
            )


def _equipment_references(check: Check) -> Iterator[Problem]:
    for tag, item in check.models.equipment.items():
        lists = {"shuts_down": getattr(item, "shuts_down", ()), "also_stops": getattr(item, "also_stops", ())}
        for key, tags in lists.items():
            for name in tags:
                if name not in check.models.equipment:
                    yield check.unknown(("equipment", tag, key), "no equipment has the tag", name, check.models.equipment)
        if isinstance(item, kinds.PowerInletModel):
            yield from _plugged(check, tag, item)
        if isinstance(item, kinds.GroundingElectrodeSystemModel):
            yield from _landings(check, tag, item)


def _landings(check: Check, tag: str, item: kinds.GroundingElectrodeSystemModel) -> Iterator[Problem]:
    for name in item.lands_at:
        if name not in check.models.equipment:
            yield check.unknown(("equipment", tag, "lands_at"), "no equipment has the tag", name, check.models.equipment)
    for name in item.to_each:
        if name not in item.lands_at:
            message = f'lands_at does not name "{name}"{did_you_mean(name, item.lands_at)}'
            yield check.problem(("equipment", tag, "to_each", name), message, at_key=True)


def _plugged(check: Check, tag: str, item: kinds.PowerInletModel) -> Iterator[Problem]:
    machines = [name for name, found in check.models.equipment.items() if isinstance(found, kinds.GeneratorModel)]
    if item.generator and item.generator not in machines:
        asked = "expected the tag of the portable generator that is plugged into this inlet"
        known = did_you_mean(item.generator, machines)
        yield check.problem(("equipment", tag, "generator"), f'no generator has the tag "{item.generator}"{known}; {asked}')


def _controls_and_loads(check: Check) -> Iterator[Problem]:
    for tag, control in check.models.control.items():
        for key in ("source", "device"):
            name = getattr(control, key)
            if name not in check.models.equipment:
                yield check.unknown(("control", tag, key), "no equipment has the tag", name, check.models.equipment)
        for run in control.runs:
            if run not in check.models.raceways:
                yield check.unknown(("control", tag, "runs"), "no raceway has the tag", run, check.models.raceways)
    for tag, load in check.models.loads.items():
        if load.panel not in check.models.equipment:
            yield check.unknown(("loads", tag, "panel"), "no equipment has the tag", load.panel, check.models.equipment)


def _figures_and_controls(check: Check) -> Iterator[Problem]:
    for faults in (known_load_faults, power_control_faults):
        for location, message, at_key in faults(check.models):
            yield check.problem(location, message, at_key=at_key)


def _unconnected(check: Check) -> Iterator[Problem]:
    used = {end.partition(".")[0] for circuit in check.models.circuits.values() for end in (circuit.from_, circuit.to)}
    used |= {name for control in check.models.control.values() for name in (control.source, control.device)}
    used |= {item.generator for item in check.models.equipment.values() if isinstance(item, kinds.PowerInletModel)}
    for tag, item in check.models.equipment.items():
        if tag not in used and not is_to_be_removed(item) and not KINDS[item.kind].needs_no_circuit:
            yield check.problem(
                ("equipment", tag), f'{tag} has no circuit; connect it under circuits, or write "status: to be removed"', at_key=True
            )


def _run_places(check: Check) -> Iterator[Problem]:
    for tag, run in check.models.raceways.items():
        for key, message in contradictions(run):
            yield check.problem(("raceways", tag, key), message)


def _told(models: ProjectFile, tag: str, key: str) -> bool:
    item = models.equipment[tag]
    if key == "energy":
        return bool(inverter_energy(models, tag))
    coupling = storage_coupling(models, tag) if item.kind == "energy_storage_system" else ""
    return bool(coupling) if key == "coupling" else coupling == "dc" or bool(getattr(item, key))


def _asked_for(check: Check) -> Iterator[Problem]:
    """What decides which rules bind at all is asked for: silence would leave them out."""
    for tag, item in check.models.equipment.items():
        for key, expected in item.asked_for.items():
            if not is_to_be_removed(item) and not _told(check.models, tag, key):
                yield check.problem(("equipment", tag), f"{tag} does not say its {key}; expected {key}: {expected}", at_key=True)
    plan = check.models.site.plan
    for name, plane in plan.roof_planes.items() if plan is not None else ():
        if not plane.building and not usual_roof(check.models):
            known = ", ".join(plan.buildings) if plan is not None else ""
            message = f"the roof plane does not say its building; expected building: one of {known}"
            yield check.problem(("site", "plan", "roof_planes", name), message, at_key=True)


_PARTS = (
    _tags,
    _circuits,
    circuits_told_twice,
    _ports,
    _catalog_parts,
    _branches,
    _module_order,
    _pv_counts,
    storage_units,
    _equipment_references,
    _controls_and_loads,
    _figures_and_controls,
    _unconnected,
    left_hanging,
    _run_places,
    _asked_for,
    openings_shown,
    surroundings,
    buildings,
    dwelling_units,
    layouts,
    roof_planes,
    sources_told_twice,
    built_claims,
    inspections,
    options,
    confirmations,
    grants,
    settings,
    submission,
    review_sheets,
    asked,
    roles,
)
