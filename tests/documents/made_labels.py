"""Every shipped label with invented values, for tests of how labels are set, and of the sheets and files that hold them."""

from pathlib import Path

import yaml

from permitgen.documents.canvas.bounds import placed_boxes
from permitgen.documents.canvas.shapes import Text
from permitgen.views.label import DiagramArray, LabelUse, RoofDiagram, RoofPlane, label_view
from permitgen.views.label_specs import load_label_specs

VALUES = {
    name: tuple(value) if isinstance(value, list) else value
    for name, value in yaml.load((Path(__file__).parent / "label_values.yaml").read_text("utf-8"), yaml.CSafeLoader).items()
}
ROOF = RoofDiagram(
    planes=(RoofPlane(((0, 0), (46, 0), (46, 15), (0, 15)), 180, 27), RoofPlane(((0, 15), (46, 15), (46, 30), (0, 30)), 0, 27)),
    arrays=(
        DiagramArray(((3, 3), (20, 3), (20, 12), (3, 12)), 0, "PV-1"),
        DiagramArray(((26, 3), (43, 3), (43, 12), (26, 12)), 0, "PV-2", stays_energized=True),
    ),
    initiators=(("RIGHT OF GARAGE DOOR", (20, 0)),),
)
QR_ADDRESS = "HTTPS://EXAMPLE.ORG/R/AB12-CD34"


def _filled(spec, wording, edition, values):
    chosen = {name: VALUES.get(name, "EXAMPLE WORDS") for name in spec.variables} | values
    address = QR_ADDRESS if spec.id == "as-built-qr" else ""
    return label_view(spec, wording, LabelUse(edition, chosen, diagram=ROOF, qr_address=address))


def example(label_id, edition="2023", variant="", **values):
    """One label with invented values, those of the caller in their place."""
    spec = load_label_specs()[label_id]
    wording = next(w for w in spec.wordings if edition in w.editions and variant in ("", w.variant))
    return _filled(spec, wording, edition, values)


VIEWS = [_filled(spec, wording, wording.editions[-1], {}) for spec in load_label_specs().values() for wording in spec.wordings]
NAMES = [f"{view.id}-{view.edition}-{index}" for index, view in enumerate(VIEWS)]


def texts_of(shapes):
    return [(shape, box) for shape, box in placed_boxes(shapes) if isinstance(shape, Text)]
