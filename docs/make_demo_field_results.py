"""Makes the file in ``demo_project/field/``: invented results of the demo's field checklist, taken in as a phone would send them.

Run ``python docs/make_demo_field_results.py`` after the demo's circuits change. Nothing in it was measured anywhere.
"""

from __future__ import annotations

import base64
import hashlib
import io
import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from PIL import Image, ImageDraw

from permitgen.package.field_and_record import labels_to_place
from permitgen.package.field_job import take_in_results
from permitgen.package.opened_project import open_project
from permitgen.project.field_batches import FIELD_FOLDER, PHOTO_FOLDER
from permitgen.views.field_checklist import view_of

if TYPE_CHECKING:
    from permitgen.views.field_checklist import ChecklistLine

DEMO = Path(__file__).resolve().parents[1] / "demo_project"
USED_UP = "10 AWG was used up; 8 AWG pulled for both battery units"
OTHERWISE = {
    "conductor:C8": ("8 AWG", USED_UP),
    "conductor:C9": ("8 AWG", USED_UP),
    "ground:C8": ("8 AWG", "grown with the conductors of C8"),
    "ground:C9": ("8 AWG", "grown with the conductors of C9"),
}
NOT_TESTED = {
    "island:curtails": "cloudy; to be repeated on the first clear day",
}
# Measured values by the beginning of the line's id, the longest that fits.
MEASURED = {
    "insulation:": "550",
    "continuity:": "0.2",
    "neutral-open:": "2400",
    "neutral-closed:": "0.05",
    "neutral-voltage:": "0.4",
    "ground-current:": "0.02",
    "branch-current:": "8.9",
    "shutdown:": "3",
    "supply:": "120.5",
    "supply:MID.main:L1-L2": "241",
    "island:transfer": "0.1",
    "island:backfeed": "0.3",
    "island:L1-N": "119.8",
    "island:L2-N": "120.4",
    "island:L1-L2": "240.2",
    "island:frequency": "60.0",
    "island:unbalance": "118.6",
    "island:motor": "112",
    "island:pv-joins": "301",
    "island:return": "312",
    "generator:start": "9",
    "generator:voltage": "241",
    "generator:frequency": "60.4",
    "generator:interlock": "0.2",
    "firmware:": "4.2.0",
    "signed:": "M. Tarn",
}
# What is marked where the project states nothing: invented like all of this.
MARKED_TORQUE = "40"
INPUTS = {"marked": "100", "before": "240.8", "irradiance": "790", "elapsed": "12", "other_leg": "121.1", "peak": "61", "cell": "41"}


def main() -> None:
    """Take the results in, in place of those that were there."""
    for old in [*(DEMO / FIELD_FOLDER).glob("*.json"), *(DEMO / FIELD_FOLDER / PHOTO_FOLDER).glob("*.jpg")]:
        old.unlink()
    with TemporaryDirectory() as folder:
        sent = Path(folder) / "results.json"
        sent.write_text(json.dumps(demo_results()), "utf-8")
        take_in_results(DEMO, sent)


def demo_results() -> dict[str, Any]:
    """Return what a phone would send after a day's work on the demo house."""
    opened = open_project(DEMO)
    view = view_of(opened.evaluation, opened.fingerprint, labels_to_place(opened))
    return {
        "format": "permitgen field results",
        "version": "1.0",
        "project": view.project,
        "revision": view.revision,
        "fingerprint": view.fingerprint,
        "entries": [_entry(number, line) for number, line in enumerate(view.lines, 1)],
        "photos": [_photo(line) for line in view.lines if line.is_shot],
    }


def _photo(line: ChecklistLine) -> dict[str, Any]:
    """Return a picture that says what would be on it: there is no such house."""
    picture, out = Image.new("L", (240, 180), 205), io.BytesIO()
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 20, 219, 159), outline=90, width=3)
    pen.multiline_text((34, 60), f"INVENTED PICTURE\n{line.id}\nrevision 1", fill=20, spacing=8)
    picture.save(out, "JPEG", quality=40, optimize=True)
    id_ = hashlib.sha256(f"demo photo {line.id}".encode()).hexdigest()[:32]
    data = base64.b64encode(out.getvalue()).decode("ascii")
    return {"id": id_, "line": line.id, "media_type": "image/jpeg", "width": 240, "height": 180, "data": data}


def _entry(number: int, line: ChecklistLine) -> dict[str, Any]:
    hour, minute = divmod(8 * 60 + number, 60)
    entry: dict[str, Any] = {
        "id": hashlib.sha256(f"demo {line.id}".encode()).hexdigest()[:32],
        "line": line.id,
        "tag": line.tag,
        "unit": line.unit,
        "by": "MT",
        "at": f"2026-05-14T{hour:02d}:{minute:02d}:00.000Z",
        **_answer(number, line),
    }
    entry["permitted"] = line.permitted
    return {key: value for key, value in entry.items() if value not in ("", {})}


def _answer(number: int, line: ChecklistLine) -> dict[str, Any]:
    if line.id in OTHERWISE:
        value, reason = OTHERWISE[line.id]
        return {"answer": "built otherwise", "value": value, "reason": reason}
    if line.id in NOT_TESTED:
        return {"answer": "could not test", "reason": NOT_TESTED[line.id]}
    if line.rule.kind in ("done", "match"):
        return {"answer": "yes" if line.rule.kind == "done" else "as drawn"}
    if line.rule.kind == "torque":
        value = f"{line.rule.base:g}" if line.rule.base is not None else MARKED_TORQUE
        inputs = {} if line.rule.base is not None else {"marked": MARKED_TORQUE}
        return {"answer": "value", "value": value, "instrument": "TW-31", "inputs": inputs}
    if line.id.startswith("serial:"):
        return {"answer": "value", "value": f"INV-{line.tag}-{number:04d}"}
    fitting = max((key for key in MEASURED if line.id.startswith(key)), key=len)
    return {
        "answer": "value",
        "value": MEASURED[fitting],
        "instrument": "" if line.rule.kind == "text" else "MM-08",
        "inputs": {i.name: INPUTS[i.name] for i in line.inputs},
    }


if __name__ == "__main__":
    main()
