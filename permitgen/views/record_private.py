"""The private record: everything that is not for the sidewalk, for the owner and the contractor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from permitgen.views.document_id import BESIDE

if TYPE_CHECKING:
    from permitgen.evaluation.comparison import Comparison
    from permitgen.system.built_state import Built
    from permitgen.views.record import PublicRecord
    from permitgen.views.record_results import ResultRow


@dataclass(frozen=True, slots=True)
class PersonRow:
    """Somebody with a role."""

    role: str
    name: str
    company: str
    license: str
    phone: str
    email: str


@dataclass(frozen=True, slots=True)
class SerialRow:
    """A serial number and where it was read."""

    tag: str
    name: str
    serial: str
    date: str


@dataclass(frozen=True, slots=True)
class DatedPart:
    """The day on which a part was installed and that on which its warranty ends; either may be empty."""

    tag: str
    name: str
    installed: str
    until: str


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo from the field: its path in the project and in the folder of the record, and the line that it belongs to in words."""

    file: str
    what: str


@dataclass(frozen=True, slots=True)
class PrivateRecord:
    """The public record with everything that is not for the sidewalk. The contractor keeps it, or gives it to the owner.

    ``told`` are day, to whom, what, by whom.
    """

    public: PublicRecord
    project: str
    number: str
    site_address: str
    people: tuple[PersonRow, ...]
    serials: tuple[SerialRow, ...]
    settings: tuple[tuple[str, str], ...]
    results: tuple[ResultRow, ...]
    decided_by: tuple[tuple[str, str, str], ...]
    dates: tuple[DatedPart, ...]
    told: tuple[tuple[str, str, str, str], ...]
    photos: tuple[PhotoRow, ...] = ()
    document_id: str = field(default="", metadata=BESIDE)

    @property
    def key(self) -> str:
        """What tells the project from others in results."""
        return self.number or self.project


def _dates(built: Built, names: Mapping[str, str]) -> tuple[DatedPart, ...]:
    installed, until = dict(built.installed), dict(built.warranties)
    return tuple(
        DatedPart(tag, name, installed.get(tag, ""), until.get(tag, "")) for tag, name in names.items() if tag in installed or tag in until
    )


def private_record_of(comparison: Comparison, whole: PublicRecord) -> PrivateRecord:
    """Return the private record around the ``whole`` record, before anything is taken out."""
    system = comparison.built.system
    names = {tag: item.name for tag, item in system.equipment.items()}
    serials: dict[str, SerialRow] = {}
    for result in sorted(system.results, key=lambda r: r.value("at")):
        if result.kind == "serial number":
            serials[result.subject] = SerialRow(result.subject, names.get(result.subject, ""), result.value("value"), result.day)
    return PrivateRecord(
        public=whole,
        project=system.project.name,
        number=system.project.number,
        site_address=system.project.address,
        people=tuple(PersonRow(p.role, p.name, p.company, p.license, p.phone, p.email) for p in system.project.people),
        serials=tuple(serials.values()),
        settings=tuple(system.settings.items()),
        results=whole.results,
        decided_by=tuple((d.path, d.decided_by, d.approved_by) for d in comparison.differences),
        dates=_dates(system.built, names) if system.built is not None else (),
        told=tuple((t.date, t.to, t.what, t.by) for t in system.built.told) if system.built is not None else (),
        photos=tuple(PhotoRow(file, f"{row.tag} {row.what}".strip()) for row in whole.results for file in row.photos),
    )
