"""Which projects the documents are drawn of, and how what is drawn of them is kept."""

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROJECTS = {"demo": ROOT / "demo_project"} | {path.stem: path for path in sorted((ROOT / "tests" / "topologies").glob("b*.yaml"))}


class Made(dict):
    """A dictionary that makes what is asked for and keeps it."""

    def __init__(self, make):
        super().__init__()
        self.make = make

    def __missing__(self, key):
        self[key] = self.make(key)
        return self[key]
