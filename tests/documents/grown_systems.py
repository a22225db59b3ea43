"""Systems grown at random from a seed, for tests of drawings: parts join as in houses, and as in no house."""

from __future__ import annotations

import random

from permitgen.system.circuit import Circuit, End, one_way
from permitgen.system.conductors import Conductors
from permitgen.system.control_circuit import ControlCircuit
from permitgen.system.equipment.autotransformer import Autotransformer
from permitgen.system.equipment.disconnect import Disconnect, RapidShutdownInitiator, TransferSwitch
from permitgen.system.equipment.energy_storage_system import EnergyStorageSystem
from permitgen.system.equipment.equipment import Equipment
from permitgen.system.equipment.generator import Generator
from permitgen.system.equipment.grounding_electrode_system import GroundingElectrodeSystem
from permitgen.system.equipment.inverter import Inverter
from permitgen.system.equipment.microgrid_interconnect_device import MicrogridInterconnectDevice
from permitgen.system.equipment.panelboard import Panelboard
from permitgen.system.equipment.pass_through import JunctionBox, Meter
from permitgen.system.equipment.photovoltaic import ModuleInverter, PVArray
from permitgen.system.equipment.utility_service import UtilityService
from permitgen.system.equipment.utilization import Appliance, EnergyMonitor, EVSupplyEquipment
from permitgen.system.load import Load
from permitgen.system.neutral_bond import BondState, NeutralBond
from permitgen.system.overcurrent_device import OvercurrentDevice
from permitgen.system.place import Place
from permitgen.system.project_facts import Jurisdiction, ProjectFacts, Site
from permitgen.system.raceway import Raceway
from permitgen.system.system import System
from permitgen.system.terminal import Terminal
from permitgen.values.conductor_size import ALL_SIZES
from permitgen.values.origin import Assumed
from permitgen.values.value import Value

WORDS = ("garage", "wall", "left of", "the", "old", "meter", "behind", "water heater", "north side", "house", "walk", "stairs")


def value(number: float, unit: str) -> Value:
    return Value(number, unit, Assumed("generated"))


class Grower:
    """Grows one system from a seed."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.equipment: dict[str, Equipment] = {}
        self.circuits: dict[str, Circuit] = {}
        self.raceways: dict[str, Raceway] = {}
        self.controls: dict[str, ControlCircuit] = {}
        self.loads: dict[str, Load] = {}
        self.open_ends: list[End] = []
        self.budget = self.random.randint(2, 34)

    def words(self, count: int) -> str:
        return " ".join(self.random.choice(WORDS) for _ in range(self.random.randint(1, count)))

    def common(self, prefix: str) -> dict[str, object]:
        tag = f"{prefix}{len(self.equipment) + 1}"
        place = Place(description=self.words(9)) if self.random.random() < 0.8 else None
        bond = self.random.choice([None, NeutralBond(state=BondState.INSTALLED), NeutralBond(state=BondState.REMOVED)])
        return {
            "tag": tag,
            "name": self.words(6).capitalize(),
            "place": place,
            "neutral_bond": bond,
            "status": self.random.choice(["new", "new", "existing"]),
        }

    def device(self) -> OvercurrentDevice | None:
        if self.random.random() < 0.15:
            return None
        return OvercurrentDevice(
            kind=self.random.choice(["circuit breaker", "circuit breaker", "fuse"]),
            rating_a=value(self.random.choice([15, 20, 60, 200]), "a"),
            poles=self.random.choice([1, 2]),
            interrupting_rating_ka=value(22, "ka"),
        )

    def add(self, item: Equipment) -> Equipment:
        self.equipment[item.tag] = item
        return item

    def join(self, start: End, finish: End) -> None:
        tag = f"C{len(self.circuits) + 1}"
        runs = []
        for _ in range(self.random.randint(0, 2)):
            run = f"R{len(self.raceways) + 1}"
            self.raceways[run] = Raceway(tag=run, kind=self.random.choice(["EMT", "PVC-40", "TC-ER cable"]), trade_size="1-1/4")
            runs.append(run)
        conductors = Conductors(
            size=self.random.choice(ALL_SIZES[2:24]),
            insulation="THWN-2",
            neutral=self.random.random() < 0.6,
            egc_size=self.random.choice(ALL_SIZES[2:9]),
        )
        near, far = (self.device() if self.random.random() < 0.4 else None for _ in range(2))
        self.circuits[tag] = Circuit(
            tag=tag,
            name=self.words(4),
            start=start,
            finish=finish,
            conductors=conductors,
            start_device=near,
            finish_device=far,
            ways=one_way(tuple(runs)),
        )

    def grow(self) -> System:
        roots = self.random.choice([1, 1, 1, 1, 2, 0])
        for _ in range(roots):
            utility = self.add(
                UtilityService(
                    **self.common("U"),
                    line_to_line_v=value(240, "v"),
                    line_to_neutral_v=value(120, "v"),
                    fault_current_source=self.words(5),
                )
            )
            self.open_ends.append(End(utility.tag))
        if not roots:
            self.open_ends += self.panel()
        while self.open_ends and len(self.equipment) < self.budget:
            end = self.open_ends.pop(self.random.randrange(min(3, len(self.open_ends))))
            self.extend(end)
        self.extras()
        return System(
            project=ProjectFacts(name="Generated"),
            jurisdiction=Jurisdiction(name="Testing", edition=2023),
            site=Site(),
            equipment=self.equipment,
            circuits=self.circuits,
            raceways=self.raceways,
            controls=self.controls,
            loads=self.loads,
        )

    def extend(self, end: End) -> None:
        kind = self.random.choice(
            ["panel", "panel", "mid", "meter", "switch", "transfer", "box", "sets", "inverter", "leaf", "leaf", "leaf", "array"]
        )
        entry, onward = getattr(self, f"new_{kind}")()
        self.join(end, entry)
        if kind == "sets":
            return
        self.open_ends += onward

    def panel(self) -> list[End]:
        item = self.add(
            Panelboard(
                **self.common("P"),
                busbar_rating_a=value(200, "a"),
                main=self.device(),
                supply_end=self.random.choice(["top", "center", "bottom"]),
                short_circuit_rating_ka=value(10, "ka"),
            )
        )
        for _ in range(self.random.randint(0, 2)):
            tag = f"K{len(self.loads) + 1}"
            self.loads[tag] = Load(tag=tag, name=self.words(3), panel=item.tag)
        return [End(item.tag, "", position) for position in sorted(self.random.sample(range(1, 40), self.random.randint(0, 6)))]

    def new_panel(self) -> tuple[End, list[End]]:
        ends = self.panel()
        return End(next(reversed(self.equipment)), "main"), ends

    def new_mid(self) -> tuple[End, list[End]]:
        names = [f"S{n}" for n in range(self.random.randint(0, 4))]
        terminals = {
            name: Terminal(name=name, accepts=self.random.choice(["generator", "energy storage", "photovoltaic"]), relay=f"K{n}")
            for n, name in enumerate(names)
        }
        former = Autotransformer(neutral_a=value(50, "a"), device=self.device()) if self.random.random() < 0.5 else None
        item = self.add(
            MicrogridInterconnectDevice(
                **self.common("M"),
                terminals=terminals,
                main=self.device(),
                contactor_rating_a=value(200, "a"),
                autotransformer=former,
                supply_end=self.random.choice(["top", "bottom"]),
            )
        )
        onward = [
            End(item.tag, "load"),
            *(End(item.tag, name) for name in names),
            *(End(item.tag, "", p) for p in range(1, self.random.randint(1, 4))),
        ]
        return End(item.tag, "supply"), onward

    def new_meter(self) -> tuple[End, list[End]]:
        item = self.add(Meter(**self.common("T")))
        return End(item.tag, "line"), [End(item.tag, "load")] * self.random.randint(1, 3)

    def new_switch(self) -> tuple[End, list[End]]:
        item = self.add(Disconnect(**self.common("D"), rating_a=value(60, "a"), device=self.device(), purpose="pv system", lockable=True))
        return End(item.tag, "line"), [End(item.tag, "load")]

    def new_transfer(self) -> tuple[End, list[End]]:
        item = self.add(TransferSwitch(**self.common("X"), rating_a=value(200, "a")))
        return End(item.tag, "normal"), [End(item.tag, "alternate"), End(item.tag, "load")]

    def new_box(self) -> tuple[End, list[End]]:
        item = self.add(JunctionBox(**self.common("J")))
        return End(item.tag), [End(item.tag)] * self.random.randint(1, 3)

    def new_sets(self) -> tuple[End, list[End]]:
        """A junction box with circuits side by side from one panel to one array."""
        ends = self.panel()
        panel = self.equipment[next(reversed(self.equipment))]
        box = self.add(JunctionBox(**self.common("J")))
        names = "ABCD"[: self.random.randint(1, 4)]
        array = self.add(self.array_of(names))
        for index, name in enumerate(names):
            self.join(End(panel.tag, "", 2 * index + 1), End(box.tag, name))
            self.join(End(box.tag, name), End(array.tag, name))
        del ends
        return End(panel.tag, "main"), []

    def array_of(self, names: str) -> PVArray:
        counts = {name: value(self.random.randint(1, 11), "count") for name in names}
        inverter = ModuleInverter(name="Module inverter", output_a=value(1.4, "a")) if self.random.random() < 0.5 else None
        shown = {"branches": counts} if inverter else {"strings": counts}
        return PVArray(**self.common("V"), module_inverter=inverter, module_count=value(20, "count"), **shown)

    def new_array(self) -> tuple[End, list[End]]:
        item = self.add(self.array_of("AB"))
        if self.open_ends and self.random.random() < 0.6:
            self.join(self.open_ends.pop(), End(item.tag, "B"))
        return End(item.tag, "A"), []

    def new_inverter(self) -> tuple[End, list[End]]:
        names = [f"input{n}" for n in range(1, self.random.randint(1, 4))]
        item = self.add(
            Inverter(
                **self.common("I"),
                output_a=value(32, "a"),
                terminals={"ac": Terminal(name="ac"), **{n: Terminal(name=n) for n in names}},
                functions=frozenset({"multimode"}),
            )
        )
        return End(item.tag, "ac"), [End(item.tag, name) for name in names]

    def new_leaf(self) -> tuple[End, list[End]]:
        kinds = (
            lambda: EnergyStorageSystem(
                **self.common("B"),
                energy_kwh=value(13.5, "kwh"),
                coupling=self.random.choice(["ac", "dc"]),
                has_disconnect=self.random.random() < 0.5,
            ),
            lambda: Generator(**self.common("G"), output_a=value(58, "a"), device=self.device(), has_outside_stop=True),
            lambda: EVSupplyEquipment(**self.common("E"), current_a=value(48, "a")),
            lambda: Appliance(**self.common("A"), current_a=value(19, "a")),
            lambda: EnergyMonitor(**self.common("N")),
        )
        return End(self.add(self.random.choice(kinds)()).tag), []

    def extras(self) -> None:
        tags = list(self.equipment)
        buses = [tag for tag in tags if isinstance(self.equipment[tag], Panelboard)]
        if len(buses) > 1 and self.random.random() < 0.3:
            one, other = self.random.sample(buses, 2)
            self.join(End(one, "", 40), End(other, "", 41))
        if self.random.random() < 0.5:
            initiator = self.add(RapidShutdownInitiator(**self.common("S"), shuts_down=tuple(tags[:2])))
            tags.append(initiator.tag)
            for _ in range(self.random.randint(1, 2)):
                self.control(self.random.choice(tags[:-1]), initiator.tag)
        for _ in range(self.random.randint(0, 2)):
            if len(tags) > 1:
                self.control(*self.random.sample(tags, 2))
        if tags and self.random.random() < 0.6:
            self.add(
                GroundingElectrodeSystem(
                    **self.common("GES"),
                    electrodes=("concrete-encased", "ground rod"),
                    conductor_size=ALL_SIZES[7],
                    lands_at=self.random.choice(tags),
                )
            )

    def control(self, source: str, device: str) -> None:
        tag = f"Q{len(self.controls) + 1}"
        self.controls[tag] = ControlCircuit(
            tag=tag,
            name=tag,
            purpose="rapid shutdown",
            source=source,
            device=device,
            source_class="2",
            volts=value(12, "v"),
            size=ALL_SIZES[2],
        )
