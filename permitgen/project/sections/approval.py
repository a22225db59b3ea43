"""What the authority stamped, and how its inspections went."""

from __future__ import annotations

from typing import Annotated

from permitgen.project.fields import Day, Section, Text, choice_schema, described, one_of


class ApprovedModel(
    Section,
    says="The stamped set of a revision, back from the authority. Documents say *approved* only where its copy is in the project folder.",
):
    date: Day = described(..., "Day on which the authority stamped the set, as year-month-day.")
    by: Text = described(..., "Name of the official who stamped the set; it never stands in the public record.")
    office: Text = described("", "Office of the official, where it is another than the authority of the jurisdiction.")
    copy_: Text = described(..., "Path, inside the project folder, of a copy of the stamped set as PDF.", alias="copy")
    permit_number: Text = described("", "Number on the permit card, where it is another than permit_number of the project.")
    permit_card: Text = described("", "Path, inside the project folder, of a copy of the permit card that hangs on site.")
    conditions: list[Text] = described(
        list, "Conditions that the authority wrote on the set or the card, one a line, as the inspection card prints them."
    )


INSPECTION_RESULTS = ("passed", "failed")


class FailedItemModel(Section, says="One item of the inspection card that did not pass, and what was done about it."):
    item: Text = described(..., "Row of the inspection card by its name: papers, the tag of an enclosure, a kind of test, placard.")
    what: Text = described(..., "What the inspector found, in his words; it never stands in the public record.")
    corrected_on: Day = described("", "Day on which it was put right, as year-month-day; it stays open until an inspection passes.")
    corrected_by: Text = described("", "Name or initials of the person who put it right.")
    how: Text = described("", "What was done to put it right, in one sentence.")


class InspectionModel(
    Section,
    says="One inspection of the authority. One that passed makes the house *accepted*, where no test is due and nothing is violated.",
):
    date: Day = described(..., "Day of the inspection, as year-month-day.")
    by: Text = described(..., "Name of the inspector; it never stands in the public record.")
    office: Text = described("", "Office of the inspector, where it is another than the authority of the jurisdiction.")
    result: Annotated[str, one_of(*INSPECTION_RESULTS), choice_schema(*INSPECTION_RESULTS)] = described(
        ..., "What the inspector decided: passed or failed."
    )
    failed: list[FailedItemModel] = described(list, "Items that did not pass: they are the list of work, until an inspection passes.")
    copy_: Text = described("", "Path, inside the project folder, of a copy of the signed card or report.", alias="copy")
