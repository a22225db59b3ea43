"""Drawings for engravers and drafters: each label and plate as DXF, on request."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from permitgen.views.label import LabelView
    from permitgen.views.placard import Placard


def engraving_files(labels: tuple[LabelView, ...], placards: tuple[Placard, ...], mark: str) -> dict[str, bytes]:
    """Return ``engraving/<label>.dxf`` and ``engraving/placard.dxf``; a shut gate marks them on a layer of its own.

    Raises:
        DxfLibraryMissingError: the library that writes DXF is not installed.
    """
    from permitgen.documents.canvas.to_dxf import dxf_bytes
    from permitgen.documents.gate_mark import marked_labels, marked_page
    from permitgen.documents.label_package import file_names
    from permitgen.documents.labels.ink import ENGRAVED
    from permitgen.documents.labels.label_files import engraved_page
    from permitgen.documents.labels.set_label import set_label
    from permitgen.documents.placard import placard_plates

    made = marked_labels([set_label(view, inks=ENGRAVED) for view in labels], mark)
    files = {f"engraving/{name}.dxf": dxf_bytes(engraved_page(label)) for label, name in zip(made, file_names(labels), strict=True)}
    for plate in placard_plates(placards) if placards else ():
        name = plate.drawing.removesuffix(".svg")
        files[f"engraving/{name}.dxf"] = dxf_bytes(marked_page(plate.page, mark))
    return files
