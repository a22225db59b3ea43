"""What is said of the description of hardware: its data sheet, where single figures come from, who checked it."""

from __future__ import annotations

from permitgen.project.fields import Day, Section, Text, Words, described

NOTES = ("data_sheet", "sources", "checked")
"""The keys that speak of a description and are no facts of the thing itself."""


OF_A_SITE = frozenset(
    [
        "catalog",
        "place",
        "role",
        "status",
        "directory",
        "existing_labels",
        "available_fault_current",
        "fault_current_source",
        "load_management_setting",
        "grounding_electrode_conductor",
        "auxiliary_electrode",
        "neutral_bond",
        "island_bond",
        "poles_in_use",
        "spaces_used",
        "all_breakers_but_main",
        "all_breakers_in_file",
        "existing_enclosure",
        "replacement_evidence",
        "shuts_down",
        "also_stops",
        "shed",
        "engineering_study",
    ]
)
"""Keys that say what is done with hardware on one site: no data sheet tells them."""


class DataSheetModel(Section, says="The data sheet or nameplate from which hardware was described."):
    file: Text = described(..., "File of the data sheet, or where the nameplate was read, for example sheets/battery_unit.pdf.")
    page: Text = described("", "Page of the data sheet on which the figures stand.")
    row: Text = described("", "Row or column of the table on that page, for example the column of this very model.")
    box: Words = described(
        tuple,
        "First words of each row that matters, as they stand on that page, for example Largest continuous output current; where the file "
        "is attached, each is boxed there in red.",
    )


class CheckedModel(Section, says="Who compared a description with its data sheet, and when."):
    by: Text = described(..., "Name of the person who compared each figure with its source, and who did not type it.")
    date: Day = described(..., "Day of the comparison, as year-month-day.")


class HardwareNotes(Section, says="What is said of the description of hardware, beside the facts of the thing."):
    data_sheet: DataSheetModel | None = described(None, "Data sheet or nameplate from which this was typed, with page and row.")
    sources: dict[str, Text] = described(
        dict,
        "Source of single figures that stand elsewhere than on the data sheet, by key with dots between its parts, for example "
        "fault_current: letter of 2026-01-15.",
    )
    checked: CheckedModel | None = described(
        None, "Who compared this description with its sources, and when; hardware of a file that nobody checked is a caution."
    )
