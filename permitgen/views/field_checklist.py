"""The field checklist of this very system: what to check, in the order of the work, with limits and where they come from.

The HTML form, the PDF and the DOCX are given this one object. ``view_of`` builds it; the parts live in ``checklist``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.checklist.before_power import before_power
from permitgen.views.checklist.closing import LabelToPlace, labels, photos, settings, sign_off
from permitgen.views.checklist.energizing import de_energizing, energizing
from permitgen.views.checklist.generator_tests import generator_tests
from permitgen.views.checklist.insulation_and_bonding import bonding, insulation
from permitgen.views.checklist.island_tests import island_tests
from permitgen.views.checklist.line import BASES, ChecklistLine, ChecklistSection
from permitgen.views.checklist.occasions import Occasion, occasions_of
from permitgen.views.checklist.shutdown_tests import shutdown_tests
from permitgen.views.checklist.string_tests import string_tests
from permitgen.views.checklist.terminations import terminations
from permitgen.views.checklist.walk import walked
from permitgen.views.checklist.wiring import wiring
from permitgen.views.document_id import BESIDE
from permitgen.views.presence import things_of
from permitgen.views.title import DocumentTitle, title_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.views.label_places import LabelWall
    from permitgen.views.limits import LimitsPage

__all__ = ["ChecklistLine", "ChecklistSection", "FieldChecklist", "LabelToPlace", "view_of"]


@dataclass(frozen=True, slots=True)
class FieldChecklist:
    """The whole checklist. ``key`` names project, revision and ``fingerprint``, the hex digest of the inputs: results carry it home.

    ``label_walls`` show where labels go; ``labels_elsewhere`` are the numbers of labels that go on no wall that could be drawn.
    ``instructions`` are steps to read and to do, without an entry. ``occasions`` are the short forms of later, which the record's own
    page asks: their answers may come home, no document of the checklist prints them. ``limits`` say what else passes at each circuit;
    None where only the lines are wanted.
    """

    title: DocumentTitle
    project: str
    revision: int = field(metadata=BESIDE)
    fingerprint: str = field(metadata=BESIDE)
    sections: tuple[ChecklistSection, ...]
    instructions: tuple[ChecklistSection, ...]
    bases: tuple[tuple[str, str], ...]
    label_walls: tuple[LabelWall, ...] = ()
    labels_elsewhere: tuple[int, ...] = ()
    limits: LimitsPage | None = None
    occasions: tuple[Occasion, ...] = field(default=(), metadata=BESIDE)
    document_id: str = field(default="", metadata=BESIDE)

    @property
    def key(self) -> str:
        """What a phone keeps the entries under."""
        return f"{self.project}|{self.revision}|{self.fingerprint[:16]}"

    @property
    def lines(self) -> tuple[ChecklistLine, ...]:
        """Every line in order."""
        return tuple(line for section in self.sections for line in section.lines)

    @property
    def entries(self) -> int:
        """How many entries are to be made: looks, tables and single lines."""
        return sum(len(section.blocks) for section in self.sections)

    @property
    def by_id(self) -> Mapping[str, ChecklistLine]:
        """Lines by id."""
        return {line.id: line for line in self.lines}

    @property
    def answerable(self) -> Mapping[str, ChecklistLine]:
        """All that results may answer, by id: the lines, and those of the occasions."""
        return {**self.by_id, **{each.line.id: each.line for form in self.occasions for each in form.lines}}


def view_of(evaluation: Evaluation, fingerprint: str, required_labels: Sequence[LabelToPlace] = ()) -> FieldChecklist:
    """Return the checklist of an evaluation; ``fingerprint`` is the hex digest of the inputs, ``required_labels`` what must be placed."""
    sections = (
        before_power(evaluation),
        wiring(evaluation),
        terminations(evaluation),
        insulation(evaluation),
        bonding(evaluation),
        string_tests(evaluation),
        labels(evaluation, required_labels),
        energizing(evaluation),
        shutdown_tests(evaluation),
        island_tests(evaluation),
        generator_tests(evaluation),
        settings(evaluation),
        photos(evaluation),
        sign_off(),
    )
    kept = walked(evaluation, [section for section in sections if section.lines])
    used = {line.basis for section in kept for line in section.lines}
    newest = evaluation.system.project.revision
    return FieldChecklist(
        title=title_of(evaluation),
        project=evaluation.system.project.key,
        revision=newest.number if newest is not None else 0,
        fingerprint=fingerprint,
        sections=kept,
        instructions=(de_energizing(evaluation),),
        bases=tuple((basis, words) for basis, words in BASES.items() if basis in used),
        occasions=occasions_of(things_of(evaluation)),
    )
