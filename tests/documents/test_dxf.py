"""Drawings for engravers, opened again by the library: true size, closed outlines, layers by tool, the same bytes.

No published source: what an engraver's program needs.
"""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from permitgen.documents.canvas.to_dxf import dxf_bytes
from permitgen.documents.labels.ink import ENGRAVED
from permitgen.documents.labels.label_files import engraved_page
from permitgen.documents.labels.set_label import set_label
from permitgen.documents.placard import placard_plates
from permitgen.package.label_job import labels_of
from permitgen.views.placard import placards_of
from tests.documents.drawn import files_of

try:
    import ezdxf
except ImportError:
    if os.environ.get("CI"):
        raise
    pytest.skip('needs the extra dxf: pip install -e ".[test]"', allow_module_level=True)

ROOT = Path(__file__).resolve().parents[2]


def _opened(content):
    return ezdxf.read(io.StringIO(content.decode("utf-8")))


def _extent(drawing, layer=None):
    points = [point for entity in drawing.modelspace() if layer in (None, entity.dxf.layer) for point in entity.get_points("xy")]
    return min(x for x, _ in points), min(y for _, y in points), max(x for x, _ in points), max(y for _, y in points)


def _label(demo, name):
    return set_label(next(label for label in labels_of(demo).labels if label.id == name), inks=ENGRAVED)


def test_a_label_is_as_large_as_it_is_cut(demo):
    label = _label(demo, "service-disconnect")
    drawing = _opened(dxf_bytes(engraved_page(label)))
    assert drawing.units == ezdxf.units.MM
    assert _extent(drawing, "CUT") == pytest.approx((0.0, 0.0, label.width_mm, label.height_mm), abs=0.01)


def test_letters_are_closed_outlines_of_the_height_that_binds(demo):
    """230.85(E): emergency disconnect, 1/2 in capitals at least: the outline of a letter is that high."""
    label = _label(demo, "service-emergency-disconnect")
    drawing = _opened(dxf_bytes(engraved_page(label)))
    filled = [entity for entity in drawing.modelspace() if entity.dxf.layer.startswith("FILL-")]
    assert filled
    assert all(entity.closed for entity in filled)
    heights = [max(y for _, y in points) - min(y for _, y in points) for points in (list(e.get_points("xy")) for e in filled)]
    assert sum(height >= 0.5 * 25.4 for height in heights) >= 10
    assert {entity.dxf.layer for entity in drawing.modelspace()} <= {"FILL-BLACK", "LINE", "CUT"}


@pytest.mark.nightly
def test_a_plate_stays_on_its_plate(demo):
    """What the map cuts off at its frame is cut off in the drawing, too."""
    (plate,) = placard_plates(placards_of(demo.evaluation))
    drawing = _opened(dxf_bytes(plate.page))
    left, bottom, right, top = _extent(drawing)
    assert (left, bottom) >= (-0.01, -0.01)
    assert right <= plate.page.width_mm + 0.01
    assert top <= plate.page.height_mm + 0.01
    assert not drawing.audit().has_errors


@pytest.mark.nightly
def test_all_labels_and_plates_the_same_bytes_each_time(demo):
    files = files_of(demo, "engraving")
    assert len(files) == len(labels_of(demo).labels) + len(placards_of(demo.evaluation))
    name = "engraving/service-disconnect.dxf"
    assert files[name] == dxf_bytes(engraved_page(_label(demo, "service-disconnect")))
