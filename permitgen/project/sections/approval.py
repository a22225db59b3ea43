"""What the authority stamped, and how its inspections went."""

from __future__ import annotations

from permitgen.project.fields import Day, Section, Text, described


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
        list, "Conditions that the authority wrote on the set or the card, one a line, as the inspector's card prints them."
    )
