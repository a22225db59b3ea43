"""The department's answer that topologies name, for copies of them elsewhere."""

import shutil
from pathlib import Path

READING = Path(__file__).parent / "topologies" / "reading.pdf"


def put_reading(folder: Path) -> None:
    """Lay the paper beside a copy of a topology: without it the project is refused."""
    shutil.copy(READING, folder)
