"""A walk of the tests' own over the connections of an installation, for sentences that say what stops and what stays live.

Written apart from the program's walks: it takes the list of connections, sources, handles and roles as they were read, and a graph
library for reachability. Common practice, no published source: interactive sources stop with their grid (IEEE 1547), an open switch
parts, electronics do not.
"""

import networkx as nx

UTILITY_MODE = "with the utility"


class OwnWalk:
    """What reaches what in one installation, with some handles open."""

    def __init__(self, system):
        self.system = system
        self.sources = {source.id: source for source in system.sources.values()}
        self.modes = [str(mode) for mode in system.modes]
        utility = {s.node for s in self.sources.values() if s.kind == "utility"}
        ahead = self._reached(utility, [link for link in system.graph.links if not link.handle])
        self.services = {
            link.handle
            for link in system.graph.links
            if link.handle and {link.first, link.second} & ahead and "autotransformer" not in link.part
        }
        own = {source.node for source in self.sources.values()}
        panels = ("panelboard", "meter_main", "microgrid_interconnect_device")
        combiners = {tag for tag in system.equipment if self._combines(tag)}
        buses = {b.node for b in system.busbars.values() if system.equipment[b.tag].kind in panels and b.tag not in combiners}
        inputs = {f"{tag}.input" for tag, item in system.equipment.items() if item.is_utilization_equipment}
        self.loads = (buses - ahead | inputs) - own

    @staticmethod
    def _reached(starts, links):
        graph = nx.Graph((link.first, link.second) for link in links)
        found = set(starts)
        for node in starts:
            if node in graph:
                found |= nx.node_connected_component(graph, node)
        return found

    def _combines(self, tag):
        """Whether a panel holds breakers of sources alone: by its role, or because it shows every breaker and sources lie behind each."""
        item, system = self.system.equipment[tag], self.system
        if any("combin" in role for role in item.roles):
            return True
        further = [each for each in (item.directory.further if item.directory is not None else ()) if not each.is_spare]
        has_loads = further or tag in system.known_loads or any(load.panel == tag for load in system.loads.values())
        if item.kind != "panelboard" or item.answer("all_breakers_in_file") is not True or has_loads:
            return False
        landed = [(c, end) for c in system.circuits.values() for end in c.ends if end.tag == tag and end.position is not None]
        return bool(landed) and all(self._has_sources_alone(c.tag, "finish" if c.start is end else "start") for c, end in landed)

    def _has_sources_alone(self, circuit, far):
        """Whether beyond an end of a circuit there are sources without the utility, no busbar and nothing that uses energy."""
        beyond = self._reached({f"{circuit}.{far}"}, [link for link in self.system.graph.links if link.circuit != circuit])
        kinds = {source.kind for source in self.sources.values() if source.node in beyond}
        items = [item for tag, item in self.system.equipment.items() if any(node.startswith(f"{tag}.") for node in beyond)]
        return bool(kinds) and "utility" not in kinds and not any(item.busbars() or item.is_utilization_equipment for item in items)

    def _closed(self, mode, opened, *, converters):
        links = (link for link in self.system.graph.links if mode in map(str, link.closed_in) and link.handle not in opened)
        return [link for link in links if converters or not link.is_converter]

    def _inverters(self):
        return [item for item in self.system.equipment.values() if item.kind == "inverter"]

    def _feeding(self, inverter):
        """Tags of the dc sources joined to an inverter's inputs, whatever is open."""
        dc = self._reached(
            {f"{inverter.tag}.{name}" for name in inverter.dc_inputs}, [li for li in self.system.graph.links if not li.is_converter]
        )
        return {s.tag for s in self.sources.values() if not s.is_ac and s.node in dc}

    def _outputs(self, array):
        """Nodes at which the inverters of an array give their ac."""
        return {f"{array.tag}.{name}" for name in array.branches} | {
            i.output_node for i in self._inverters() if array.tag in self._feeding(i)
        }

    def _forming(self, mode, opened, stopped):
        for source in self.sources.values():
            if not source.is_ac or source.tag in stopped:
                continue
            forms = source.forms_island and mode != UTILITY_MODE and self._has_energy(source, opened, stopped)
            if source.kind == "utility" or forms:
                yield source

    def _has_energy(self, source, opened, stopped):
        item = self.system.equipment[source.tag]
        if item.kind != "inverter" or not self._feeding(item):
            return True
        links = [link for link in self.system.graph.links if not link.is_converter and link.handle not in opened]
        dc = self._reached({f"{item.tag}.{name}" for name in item.dc_inputs}, links)
        return any(not s.is_ac and s.node in dc and s.tag not in stopped for s in self.sources.values())

    def stopped(self, opened):
        """Tags of the sources that the open handles stop: by control, or by taking from an array the ac that its inverters need."""
        found = {tag for handle in opened if handle in self.system.handles for tag in self.system.handles[handle].stops}
        found |= {i.tag for i in self._inverters() if self._feeding(i) and self._feeding(i) <= found}
        for item in self.system.equipment.values():
            if "rapid shutdown initiator" not in item.roles:
                continue
            handles = [h.id for h in item.handles() if h.kind != "breaker" and h.id in opened]
            for array in [a for a in self.system.equipment.values() if a.kind == "pv_array" and a.status != "removed"]:
                if handles and self._is_behind(array, handles[0]) and not self._has_ac(array, opened, found):
                    found.add(array.tag)
        return found | {i.tag for i in self._inverters() if self._feeding(i) and self._feeding(i) <= found}

    def _is_behind(self, array, handle):
        utility = {s.node for s in self.sources.values() if s.kind == "utility"}
        return not self._outputs(array) & self._reached(utility, [link for link in self.system.graph.links if link.handle != handle])

    def _has_ac(self, array, opened, stopped):
        for mode in self.modes:
            reached = self._reached(self._outputs(array), self._closed(mode, opened, converters=True))
            keeping = (s for s in self.sources.values() if s.is_ac and s.tag not in stopped and (s.kind == "utility" or s.forms_island))
            if any(source.node in reached for source in keeping):
                return True
        return False

    def reaching_loads(self, opened):
        """Ids of the sources that no open switch parts from every load, electronics not trusted."""
        stopped = self.stopped(opened)
        return {
            id_
            for id_, source in self.sources.items()
            if source.tag not in stopped
            and any(self.loads & self._reached({source.node}, self._closed(mode, opened, converters=True)) for mode in self.modes)
        }

    def on_utility(self, opened):
        """Ids of the sources that no open switch parts from the utility: an interactive one goes on exporting there (IEEE 1547)."""
        utility = {s.node for s in self.sources.values() if s.kind == "utility"}
        stopped = self.stopped(opened)
        return {
            id_
            for id_, source in self.sources.items()
            if source.kind != "utility"
            and source.tag not in stopped
            and any(utility & self._reached({source.node}, self._closed(mode, opened, converters=True)) for mode in self.modes)
        }

    def is_main_of_loads(self, handle):
        """Whether a service disconnect has a load behind it and no other of them before it."""
        utility = {s.node for s in self.sources.values() if s.kind == "utility"}
        around = self._reached(utility, [link for link in self.system.graph.links if link.handle not in self.services - {handle}])
        return handle in self.services and bool(around & self.loads)

    def left(self, opened):
        """Ids of the sources that steps leave: joined to a load or, but for the utility, to the utility."""
        return self.reaching_loads(opened) | self.on_utility(opened)

    def at(self, node, opened):
        """Tags of the sources that no open switch parts from one node."""
        stopped = self.stopped(opened)
        return {
            source.tag
            for source in self.sources.values()
            if source.tag not in stopped
            and any(node in self._reached({source.node}, self._closed(mode, opened, converters=True)) for mode in self.modes)
        }

    def energized(self, opened):
        """Nodes that each source energizes, by its id; interactive sources stop with their grid."""
        stopped = self.stopped(opened)
        found = {}
        for id_, source in self.sources.items():
            item = self.system.equipment[source.tag]
            if source.tag in stopped or (item.kind == "inverter" and self._feeding(item)):
                continue
            nodes = set().union(*(self._energized_in(mode, source, opened, stopped) for mode in self.modes))
            if nodes:
                found[id_] = nodes
        return found

    def _energized_in(self, mode, source, opened, stopped):
        plain = self._closed(mode, opened, converters=False)
        grid = self._reached({s.node for s in self._forming(mode, opened, stopped)}, plain)
        if source.is_ac:
            return self._reached({source.node}, plain) if source.node in grid else set()
        running = {i.tag for i in self._inverters() if i.output_node in grid}
        converting = [li for li in self._closed(mode, opened, converters=True) if li.is_converter and li.first.partition(".")[0] in running]
        return self._reached({source.node}, [*plain, *converting])

    def fed_by_utility(self, opened):
        """Nodes that the utility reaches while it is there."""
        utility = {s.node for s in self.sources.values() if s.kind == "utility"}
        return self._reached(utility, self._closed(UTILITY_MODE, opened, converters=True))
