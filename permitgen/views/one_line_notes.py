"""Notes of the one-line diagram: each explains something that is on the drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.system.equipment.photovoltaic import PVArray

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation


def notes_of(evaluation: Evaluation) -> tuple[str, ...]:
    """Return the notes that this system needs, in order."""
    system = evaluation.system
    found = ["Circuit tags refer to the conductor schedule, E-603; equipment tags to E-604. Conductor sizes are AWG unless marked kcmil; N neutral, G equipment grounding conductor, IR interrupting rating."]
    bonded = [item.tag for item in system.equipment.values() if item.neutral_bond is not None and item.neutral_bond.state.is_bonded]
    if bonded:
        found.append(f"Neutral and ground are bonded at {' and '.join(bonded)} and at no other place drawn here, the utility's equipment excepted.")
    found.append("A number in a black disc is the step of the shutdown procedure on the directory placard, E-608.")
    if any(isinstance(item, PVArray) for item in system.equipment.values()):
        found.append("Array boundary: dash-dot line. Conductors beyond it are controlled by rapid shutdown.")
    return tuple(found)
