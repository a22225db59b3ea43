"""What an ordinance asks for beyond the code: requirements of its own, cells, factors, labels, marks and notes, as it states them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from permitgen.code.grade import Grade
from permitgen.code.provision import IN_FORCE, FieldValue, Provision


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalRequirement:
    """A requirement that an ordinance adds, under the number ``section`` of its own; ``says`` it in one line.

    ``form`` is ``distance`` (a thing of the kind ``of`` stands at least ``at_least_ft`` from each ``beside``), ``place`` (it does not stand
    in any of ``not_in``), ``pathways`` (each roof plane with modules keeps ``smallest_count`` strips of ``width_in``) or ``roof edges``
    (modules lie ``from_roof_edge_in`` from each of the ``roof_edges``).
    """

    ordinance: str
    section: str
    says: str
    form: str
    of: str = ""
    beside: str = ""
    not_in: tuple[str, ...] = ()
    roof_edges: tuple[str, ...] = ()
    fields: Mapping[str, FieldValue] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def id(self) -> str:
        """The id of its provision, which no row of the code has."""
        return f"{self.ordinance}, {self.section}"

    @property
    def provision(self) -> Provision:
        """The requirement as a provision of the amended book; its text was read, because it is the project's own file."""
        return Provision(
            self.id,
            "",
            IN_FORCE,
            self.says,
            section=self.id,
            amended_by=self.ordinance,
            grade=Grade.TEXT_READ,
            source="the ordinance as written for this project",
            fields=self.fields,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AmendedCell:
    """A cell of a table that an ordinance changes in one edition; ``row`` as the table's file names it, two names where it has two."""

    table: str
    column_of: str
    row: tuple[str, ...]
    column: str
    value: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalFactor:
    """Multipliers on both numbers that the rule ``rule`` compares, what it computes and its limit."""

    rule: str
    computed: float = 1.0
    limit: float = 1.0

    @property
    def words(self) -> str:
        """What is multiplied by how much."""
        sides = (("what is computed", self.computed), ("the limit", self.limit))
        return " and ".join(f"{side} by {factor:g}" for side, factor in sides if factor != 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelProfile:
    """How a utility or fire service wants the labels ``labels`` marked; what is left empty stays as the label has it.

    ``least_letters_in`` is the least height of capitals, ``colors`` are written ``white on red``, ``words`` are lines added below.
    """

    labels: tuple[str, ...]
    least_letters_in: float = 0.0
    colors: str = ""
    words: tuple[str, ...] = ()
    material: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalLabels:
    """Labels that an ordinance asks for, those that it strikes, and how it wants some marked."""

    required: tuple[str, ...] = ()
    struck: tuple[str, ...] = ()
    profiles: tuple[LabelProfile, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalAdditions:
    """All that an ordinance states beside rows of provisions."""

    requirements: tuple[LocalRequirement, ...] = ()
    cells: tuple[AmendedCell, ...] = ()
    factors: tuple[LocalFactor, ...] = ()
    labels: LocalLabels = LocalLabels()
    notes: tuple[str, ...] = ()

    @property
    def are_of_no_edition(self) -> bool:
        """Whether something is stated that is the same under every edition."""
        return bool(self.requirements or self.factors or self.notes or self.labels != LocalLabels())

    @property
    def are_empty(self) -> bool:
        """Whether nothing is stated."""
        return not self.cells and not self.are_of_no_edition
