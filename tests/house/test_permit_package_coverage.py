"""Every item that building departments ask for has its place in the drawn set, or a stated reason why no drawing holds it.

The table is worked out from the sheets of the demo, never by hand; print it with
``python tests/house/test_permit_package_coverage.py``.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

import yaml

from permitgen.documents.plan_set import plan_set_pages
from permitgen.documents.sheets.legend_sheet import texts_of
from permitgen.package.opened_project import open_project
from permitgen.package.plan_set_job import drawn_plan_set

HERE = Path(__file__).parent
ITEMS = yaml.load((HERE / "permit_package_checklist.yaml").read_text(encoding="utf-8"), yaml.CSafeLoader)


@lru_cache(maxsize=1)
def words_by_sheet() -> dict[str, str]:
    """Words of the sheets on which each subject stands."""
    plans, sheets = drawn_plan_set(open_project(HERE.parents[1] / "demo_project"))
    words: dict[str, str] = {}
    for page, drawing in zip(plan_set_pages(plans, sheets), sheets.drawings, strict=True):
        said = " | ".join(text.replace("\u00a0", " ") for text in texts_of(page.shapes))
        for number in drawing.holds:
            words[number] = f"{words.get(number, '')} | {said}"
    return words


def where(number: int) -> str:
    """Return the sheets that show an item, or why none does."""
    entry = ITEMS[number]
    if "instead" in entry:
        return entry["instead"]
    return ", ".join(sheet for sheet, pattern in entry["shown"].items() if re.search(pattern, words_by_sheet().get(sheet, "")))


def table() -> str:
    return "\n".join(f"{number:>3}  {ITEMS[number]['item']:<58}  {where(number)}" for number in ITEMS)


def test_the_list_is_whole():
    assert list(ITEMS) == list(range(1, 79))
    assert all(set(entry) in ({"item", "shown"}, {"item", "instead"}) for entry in ITEMS.values())


def test_every_item_stands_on_its_sheets():
    words = words_by_sheet()
    asked = [(entry["item"], sheet, pattern) for entry in ITEMS.values() for sheet, pattern in entry.get("shown", {}).items()]
    absent = [
        f"{item}: nothing like {pattern!r} on {sheet}" for item, sheet, pattern in asked if not re.search(pattern, words.get(sheet, ""))
    ]
    absent += [f"{ITEMS[number]['item']}: nowhere" for number in ITEMS if not where(number)]
    assert not absent, "\n".join(absent)


def test_most_items_are_drawn():
    drawn = [number for number, entry in ITEMS.items() if "shown" in entry]
    assert len(drawn) >= 60


if __name__ == "__main__":
    print(table())  # noqa: T201
