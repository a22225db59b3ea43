"""Labels marked as a utility or a fire service wants them: letters of a least height, colors, words below, material."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.views.label_spec import LabelSpec, LineSpec, PanelSpec, Wording
from permitgen.views.label_specs import shipped_materials

if TYPE_CHECKING:
    from permitgen.code.amendment import Amendment
    from permitgen.code.local_requirement import LabelProfile

_SIGNAL = "signal"
_USUAL_LETTERS_IN = 0.125


def marked_as_asked(specs: Mapping[str, LabelSpec], amendments: Iterable[Amendment]) -> dict[str, LabelSpec]:
    """Return the specifications with the marks that ordinances want; the words on the material say whose they are."""
    found = dict(specs)
    for amendment in amendments:
        for profile in amendment.additions.labels.profiles:
            for name in profile.labels:
                found[name] = _marked(found[name], profile, amendment.ordinance)
    return found


def _marked(spec: LabelSpec, profile: LabelProfile, ordinance: str) -> LabelSpec:
    material = shipped_materials()[profile.material] if profile.material else spec.material
    wordings = tuple(_wording(each, profile) for each in spec.wordings)
    return replace(spec, wordings=wordings, material=f"{material}; marked as {ordinance} asks")


def _wording(wording: Wording, profile: LabelProfile) -> Wording:
    panels = [_panel(panel, profile) for panel in wording.panels]
    if profile.words:
        last = panels[-1]
        lines = tuple(_added(text, profile) for text in profile.words)
        panels.append(PanelSpec("added", lines, last.background, last.text_color))
    return replace(wording, panels=tuple(panels))


def _panel(panel: PanelSpec, profile: LabelProfile) -> PanelSpec:
    lines = tuple(_line(line, profile.least_letters_in) for line in panel.lines)
    if not profile.colors or panel.role == _SIGNAL:
        return replace(panel, lines=lines)
    text, _, background = profile.colors.partition(" on ")
    return replace(panel, lines=lines, text_color=f"safety_{text}", background=f"safety_{background}")


def _line(line: LineSpec, least_in: float) -> LineSpec:
    """A height that the code fixes stays where it is the greater one."""
    if (line.binding_height_in or 0.0) >= least_in:
        return line
    return replace(line, binding_height_in=least_in, own_height_in=max(least_in, line.own_height_in))


def _added(text: str, profile: LabelProfile) -> LineSpec:
    least = profile.least_letters_in
    return LineSpec(text, (text,), (), least or _USUAL_LETTERS_IN, least or None, 0.0)
