"""What one label says: finished text by panels, each line with the letter height that binds it. No font, no millimeter of layout.

``label_view`` fills a label specification (see ``label_specs``) with the values of one installation.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal, cast

from permitgen.views.document_id import BESIDE
from permitgen.views.label_spec import NOT, LabelSpec, LineSpec, PanelSpec, Wording
from permitgen.views.languages import phrases_in, speaks_of_sides

Role = Literal["signal", "title", "message", "added"]
Holds = Callable[[str], bool | None]
"""Whether a fact holds for the object at hand, by the name of the fact; None when that is not known."""
_COUNT = re.compile(r"(?<!\S)\d[\d.,]* \S+")
_VARIABLE = re.compile(r"\{([a-z][a-z0-9_]*)\}")


class LabelValueError(ValueError):
    """A label needs a value that was not given, or was given one that it does not know."""


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One sentence of a label. ``breaks`` are the lines it is best set in; it is broken otherwise only when they do not fit.

    ``binding_height_in`` is the least height of the capitals that the section fixes (None: none in the code), and
    ``least_height_mm`` the metric figure that must be met beside it; ``own_height_in`` is the height chosen otherwise.
    ``denied_by`` are the rules that make the line false where they are violated.
    """

    text: str
    own_height_in: float
    binding_height_in: float | None = None
    least_height_mm: float = 0.0
    section: str = field(default="", metadata=BESIDE)
    breaks: tuple[str, ...] = ()
    phrases: tuple[str, ...] = ()
    denied_by: tuple[str, ...] = field(default=(), metadata=BESIDE)


@dataclass(frozen=True, slots=True)
class LabelPanel:
    """A field of one color. Colors are names of safety colors, for example ``safety_red``."""

    role: Role
    lines: tuple[LabelLine, ...]
    background: str
    text_color: str


PlanPoint = tuple[float, float]
"""East and north in feet from any fixed point of the site."""


@dataclass(frozen=True, slots=True)
class RoofPlane:
    """One plane of a roof: its outline in plan, the compass direction it slopes down to, and its pitch (0: flat)."""

    outline: tuple[PlanPoint, ...]
    downslope_azimuth_deg: float = 180.0
    pitch_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class DiagramArray:
    """Modules on the roof plane with number ``plane``; ``stays_energized`` after rapid shutdown is initiated."""

    outline: tuple[PlanPoint, ...]
    plane: int
    tag: str = ""
    stays_energized: bool = False


@dataclass(frozen=True, slots=True)
class RoofDiagram:
    """The simple picture of a building with a roof: planes, arrays on them, and where the initiation devices are.

    ``seen_from_azimuth_deg``: the side of the building the reader stands on, normally that of the service equipment.
    """

    planes: tuple[RoofPlane, ...]
    arrays: tuple[DiagramArray, ...]
    initiators: tuple[tuple[str, PlanPoint], ...] = ()
    seen_from_azimuth_deg: float = 180.0


PLAIN_HOUSE = RoofDiagram(
    planes=(
        RoofPlane(((0, 0), (40, 0), (40, 14), (0, 14)), 180.0, 30.0),
        RoofPlane(((0, 14), (40, 14), (40, 28), (0, 28)), 0.0, 30.0),
    ),
    arrays=(DiagramArray(((8, 2.5), (32, 2.5), (32, 11.5), (8, 11.5)), plane=0),),
)
"""A plain gabled house with one array: the simple diagram where the project gives no roof geometry."""


@dataclass(frozen=True, slots=True)
class LabelView:
    """One label with all it says, how many are needed and where they go. ``tag`` names the device it belongs to.

    ``project`` and ``revision`` stand in its footer with the Document ID.
    """

    id: str
    name: str
    panels: tuple[LabelPanel, ...]
    edition: str = field(metadata=BESIDE)
    section: str = field(default="", metadata=BESIDE)
    signal_word: str = ""
    colors_fixed: bool = field(default=False, metadata=BESIDE)
    reflective: bool = False
    material_note: str = field(default="", metadata=BESIDE)
    tag: str = field(default="", metadata=BESIDE)
    quantity: int = field(default=1, metadata=BESIDE)
    places: tuple[str, ...] = field(default=(), metadata=BESIDE)
    border: bool = True
    diagram: RoofDiagram | None = None
    diagram_kind: Literal["", "house", "roof_plan"] = ""
    qr_address: str = ""
    project: str = ""
    revision: str = field(default="", metadata=BESIDE)
    doubts: tuple[str, ...] = field(default=(), metadata=BESIDE)
    document_id: str = field(default="", metadata=BESIDE)

    @property
    def footer(self) -> tuple[str, ...]:
        """Which print of which project this is, and from where right and left are seen if it speaks of them; each part on one line."""
        issue = f"{self.project} rev {self.revision}".strip() if self.revision else self.project
        lines = (line.text for panel in self.panels for line in panel.lines)
        sides = phrases_in("en").say("as_seen_from_the_street").rstrip(".") if any(map(speaks_of_sides, lines)) else ""
        return tuple(part for part in (sides, issue, f"Document ID {self.document_id}" if self.document_id else "") if part)


def color_words(label: LabelView) -> str:
    """Return letters on ground by the names of their colors, each pair once: *white on red, black on white*."""
    pairs = ((panel.text_color, panel.background) for panel in label.panels)
    return ", ".join(dict.fromkeys(f"{text} on {ground}".replace("safety_", "") for text, ground in pairs))


@dataclass(frozen=True, slots=True)
class LabelUse:
    """One installation's use of a label: edition, values of the variables, device, count, places.

    A value of several items prints one line an item where the variable stands alone, else joined with commas.
    """

    edition: str
    values: Mapping[str, str | tuple[str, ...]]
    tag: str = ""
    quantity: int = 1
    places: tuple[str, ...] = ()
    diagram: RoofDiagram | None = None
    qr_address: str = ""
    project: str = ""
    revision: str = ""


def condition_holds(condition: str, holds: Holds) -> bool | None:
    """Return whether a fact holds, or with ``not`` in front does not; None when that is not known."""
    name = condition.removeprefix(NOT)
    known = holds(name)
    return known if known is None or name == condition else not known


def wording_for(spec: LabelSpec, edition: str, holds: Holds, variant: str = "") -> Wording | None:
    """Return the wording for an edition, the first whose condition holds.

    None when the edition asks for no such label, or when it is not known which wording applies. ``variant`` names one
    where the code leaves the choice; raises LabelValueError when the edition has none of that name.
    """
    offered = [wording for wording in spec.wordings if edition in wording.editions]
    if variant:
        for wording in offered:
            if wording.variant == variant:
                return wording
        names = ", ".join(wording.variant for wording in offered if wording.variant) or "no variants"
        raise LabelValueError(f'label {spec.id}: no wording "{variant}" for {edition}; it has {names}')
    return next((wording for wording in offered if not wording.when or condition_holds(wording.when, holds)), None)


def label_view(spec: LabelSpec, wording: Wording, use: LabelUse) -> LabelView:
    """Return the finished label.

    Raises LabelValueError when a variable of the wording has no value, or a value is given that the label does not know.
    """
    for name in use.values:
        if name not in spec.variables:
            raise LabelValueError(f'label {spec.id}: unknown value "{name}"; the label prints {", ".join(spec.variables) or "no values"}')
    panels = tuple(panel for panel in (_panel(part, spec, use) for part in wording.panels) if panel.lines)
    signal = next((panel.lines[0].text for panel in panels if panel.role == "signal"), "")
    return LabelView(
        id=spec.id,
        name=spec.name,
        panels=panels,
        edition=use.edition,
        section=spec.printed_section(use.edition),
        signal_word=signal,
        colors_fixed=wording.colors_fixed,
        reflective=spec.reflective_in(use.edition) != "no",
        material_note=spec.material,
        tag=use.tag,
        quantity=use.quantity,
        places=use.places,
        border=spec.border,
        diagram=use.diagram if spec.diagram else None,
        diagram_kind=cast("Literal['', 'house', 'roof_plan']", spec.diagram),
        qr_address=use.qr_address,
        project=use.project,
        revision=use.revision,
        doubts=_doubts(spec, wording, use.edition),
    )


def _doubts(spec: LabelSpec, wording: Wording, edition: str) -> tuple[str, ...]:
    section = spec.section(edition)
    doubts = []
    if section is not None and not section.confirmed:
        doubts.append(f"the section number for {edition} is not confirmed")
    if edition in wording.unseen:
        doubts.append(f"the {edition} text was not seen; this is the wording of the edition before")
    if wording.doubt:
        doubts.append(wording.doubt)
    return tuple(doubts)


def _panel(panel: PanelSpec, spec: LabelSpec, use: LabelUse) -> LabelPanel:
    lines = [line for part in panel.lines for line in _filled(part, spec, use)]
    return LabelPanel(panel.role, tuple(lines), panel.background, panel.text_color)


def _filled(line: LineSpec, spec: LabelSpec, use: LabelUse) -> list[LabelLine]:
    names = _VARIABLE.findall(line.text)
    missing = [name for name in names if not use.values.get(name)]
    if any(spec.variables[name].optional for name in missing):
        return []
    if missing:
        raise LabelValueError(f'label {spec.id}: no value for {{{missing[0]}}} in "{line.text}" ({spec.variables[missing[0]].means})')
    made = LabelLine(
        text=_replaced(line.text, use.values),
        own_height_in=line.own_height_in,
        binding_height_in=line.binding_height_in,
        least_height_mm=line.least_height_mm,
        section=spec.printed_section(use.edition),
        breaks=tuple(_replaced(part, use.values) for part in line.breaks),
        phrases=tuple(_replaced(phrase, use.values) for phrase in line.phrases),
        denied_by=tuple(rule for rule, words in spec.denied_by.items() if words in line.text),
    )
    made = replace(made, phrases=(*made.phrases, *_counted(made.text, made.phrases)))
    alone = _VARIABLE.fullmatch(line.text)
    value = use.values[alone.group(1)] if alone else ""
    if isinstance(value, tuple):
        return [replace(made, text=item, breaks=(), phrases=tuple(_counted(item, ()))) for item in value]
    return [made]


def _counted(text: str, phrases: tuple[str, ...]) -> list[str]:
    """Numbers with the word that they count: ``2 BATTERY`` stays on one line."""
    return [found for found in _COUNT.findall(text) if not any(found in phrase for phrase in phrases)]


def _replaced(text: str, values: Mapping[str, str | tuple[str, ...]]) -> str:
    """Put the values in, once: braces within a value are text."""

    def value_of(match: re.Match[str]) -> str:
        value = values.get(match.group(1), "")
        return value if isinstance(value, str) else ", ".join(value)

    return _VARIABLE.sub(value_of, text)
