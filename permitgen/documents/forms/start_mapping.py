"""A mapping to start from: every field of a form with what it takes, all of them left as they are."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.documents.forms.form import Form, FormField

_HEAD = """\
# Which value of the project goes into which field of {name}. At each field: the name of a value (permitgen forms --values lists all),
# {{text: words as they stand}}, {{tick: has.photovoltaic}} or {{tick: yes}} for a box, or leave: the field stays as it is.
# A value that the project does not state is a message, except here: {{value: …, if_missing: leave empty}}.
# Words of the form in place of ours: {{value: site.dwelling, as: {{one-family: Single family}}}}.
"""
_PLACES = """\
# On pages without fields, inches from the left and from the top edge to where the letters stand, pages as they are seen ({sizes}):
# places:
#   - {{page: 1, left: 1.5 in, top: 2.25 in, width: 3 in, size: 10 pt, value: site.address}}
#   - {{page: 1, left: 0.8 in, top: 4 in, tick: has.energy storage}}
"""


def start_mapping(form: Form, name: str) -> str:
    """Return the text of a mapping of ``form``, which is called ``name``."""
    fields = "".join(_lines(form))
    sizes = ", ".join(f"page {number}: {width:g} by {height:g}" for number, (width, height) in enumerate(form.pages_in[:5], start=1))
    places = _PLACES.format(sizes=sizes) if form.kind == "PDF" else ""
    return f"{_HEAD.format(name=name)}{fields or 'fields: {}'}\n{places}"


def _lines(form: Form) -> Iterator[str]:
    for number, field in enumerate(form.fields):
        if number == 0:
            yield "fields:\n"
        yield f"  {_key(field.name)}: leave    # {describe(field)}\n"


def _key(name: str) -> str:
    """Return a name as a key of YAML, in quotes where it is not plain."""
    plain = name.replace("_", "").replace(".", "").replace(" ", "")
    return (
        name
        if plain.isascii() and plain.isalnum() and name == name.strip() and not plain.isdigit()
        else json.dumps(name, ensure_ascii=False)
    )


def describe(field: FormField) -> str:
    """Return what a field takes, in one line."""
    parts: list[str] = [field.kind]
    parts += [f"page {field.page}"] if field.page else []
    parts += [f"at most {field.most} characters{', one to a cell' if field.is_comb else ''}"] if field.most is not None else []
    parts += ["several lines"] if field.is_multiline else []
    parts += [f"one of: {', '.join(field.options)}{', or another' if field.takes_other else ''}"] if field.options else []
    parts += ["not to be filled"] if field.is_read_only or field.kind in ("button", "signature") else []
    parts += [field.about] if field.about else []
    return " ".join("; ".join(parts).split())
