"""Checks of what is chosen by name: options of a jurisdiction, sizes of sheets and plates, sheets that a reviewer names."""

from __future__ import annotations

import re
from collections.abc import Iterator

from permitgen.project.asked_demands import asked_demands
from permitgen.project.quantities import QuantityError, parse_quantity
from permitgen.project.reference_check import Check
from permitgen.project.sections.facts import SHEETS
from permitgen.reading.nearest import did_you_mean, nearest_name
from permitgen.reading.problems import Problem, quoted
from permitgen.system.local_options import LOCAL_OPTIONS

# As the placard is drawn: views.placard.PLATE_SIZES; a test keeps both alike.
_PLATES = ("5 x 7 in", "8 x 10 in", "8.5 x 11 in", "11 x 14 in")
# As the plan set numbers them: views.plan_sheets.SHEETS; a test keeps both alike.
_PLAN_SHEETS = (
    *("G-001", "G-002", "G-003", "C-101", "A-101", "A-201", "A-401", "S-501", "E-501"),
    *("E-601", "E-602", "E-603", "E-604", "E-605", "E-606", "E-607", "E-608", "Z-001"),
)
_LEGEND = "G-002"
_ROLES = ("service equipment", "islanding", "rapid shutdown initiator", "meter disconnect", "pv combiner", "ess combiner")
_COMBINING = ("combiner", "combining")
"""As the walks know a panel of sources: ``system.walks.sources_only``."""
_OWN_SETTINGS = ("sheet_size", "placard_size")
NAME_PARTS = ("document", "permit_number", "project_number", "revision", "address")
_MEGABYTES = re.compile(r"\s*([0-9]{1,4}(?:\.[0-9]+)?)\s*MB\s*")
MATERIAL_ALLOWANCE = "material_allowance"


def options(check: Check) -> Iterator[Problem]:
    """A misspelled option would be printed as chosen and change nothing."""
    for name, choice in check.models.jurisdiction.options.items():
        known = LOCAL_OPTIONS.get(name)
        where = ("jurisdiction", "options", name)
        if known is None:
            yield check.problem(where, f'no option is called "{name}"{did_you_mean(name, LOCAL_OPTIONS)}', at_key=True)
        elif known.choices and choice not in known.choices:
            yield check.problem(where, f'"{choice}" is not one of: {", ".join(known.choices)}{did_you_mean(choice, known.choices)}')


def confirmations(check: Check) -> Iterator[Problem]:
    """An answer is to a point that is disputed, is one of its choices, and is given once."""
    jurisdiction = check.models.jurisdiction
    readings = [name for name, option in LOCAL_OPTIONS.items() if option.is_reading]
    told: set[str] = set()
    for index, each in enumerate(jurisdiction.confirmed):
        where = ("jurisdiction", "confirmed", index)
        known = LOCAL_OPTIONS[each.reading].choices if each.reading in readings else ()
        other = jurisdiction.options.get(each.reading, each.answer)
        if each.reading not in readings:
            hint = did_you_mean(each.reading, readings) or f" (readings: {', '.join(readings)})"
            yield check.problem((*where, "reading"), f'no reading is called "{each.reading}"{hint}')
        elif known and each.answer not in known:
            yield check.problem((*where, "answer"), f'"{each.answer}" is not one of: {", ".join(known)}{did_you_mean(each.answer, known)}')
        elif each.reading in told:
            yield check.problem((*where, "reading"), f"{each.reading} is confirmed twice; expected one answer")
        elif other != each.answer:
            message = f'"{each.answer}" was confirmed and options state "{other}"; expected the confirmed answer, or no option'
            yield check.problem(("jurisdiction", "options", each.reading), message)
        told.add(each.reading)


def grants(check: Check) -> Iterator[Problem]:
    """A grant is about a rule or about a section; whether there is such a finding is known once the rules have run."""
    for index, grant in enumerate(check.models.jurisdiction.granted):
        if bool(grant.rule) == bool(grant.section):
            yield check.problem(("jurisdiction", "granted", index), "a grant names a rule or a section, one of the two")


def settings(check: Check) -> Iterator[Problem]:
    """Sizes of sheets and plates are those that are drawn; an allowance is a percentage."""
    for name, what, known in (("placard_size", "plate", _PLATES), ("sheet_size", "sheet", SHEETS)):
        size = check.models.settings.get(name, known[0])
        if size not in known:
            yield check.problem(("settings", name), f'"{size}" is not a {what} size{did_you_mean(size, known)}; sizes: {", ".join(known)}')
    yield from _allowance(check)
    for name in check.models.settings:
        meant = nearest_name(name, _OWN_SETTINGS)
        if name not in _OWN_SETTINGS and meant is not None and name.casefold().endswith("size"):
            own = ", ".join(_OWN_SETTINGS)
            yield check.problem(
                ("settings", name), f'"{name}" is none of the sizes read here ({own}); did you mean "{meant}"?', at_key=True
            )


def _allowance(check: Check) -> Iterator[Problem]:
    try:
        percentage(check.models.settings.get(MATERIAL_ALLOWANCE, "0 %"))
    except QuantityError as error:
        yield check.problem(("settings", MATERIAL_ALLOWANCE), str(error))
    for name in check.models.settings:
        if name != MATERIAL_ALLOWANCE and nearest_name(name, (MATERIAL_ALLOWANCE,)) is not None:
            yield check.problem(("settings", name), f'"{name}" is not read; did you mean "{MATERIAL_ALLOWANCE}"?', at_key=True)


def percentage(text: str) -> float:
    """Return the percentage that a setting says.

    Raises:
        QuantityError: it is none from 0 to 100.
    """
    return parse_quantity(text, "percent", minimum=0, maximum=100)


def megabytes(text: str) -> int:
    """Return the bytes of a size of a file, ``10 MB`` (of 1 000 000 bytes, the smaller reading).

    Raises:
        QuantityError: it is none.
    """
    found = _MEGABYTES.fullmatch(text)
    if found is None or float(found[1]) == 0:
        raise QuantityError(f'"{text}" is not a size of a file; write it as 10 MB')
    return int(float(found[1]) * 1_000_000)


def submission(check: Check) -> Iterator[Problem]:
    """A pattern of names has a document in it, and nothing that is not filled in; a size is a number of MB."""
    given = check.models.jurisdiction.submission
    if given is None:
        return
    at = ("jurisdiction", "submission")
    for word in re.findall(r"\{([^{}]*)\}", given.names):
        if word not in NAME_PARTS:
            yield check.problem(
                (*at, "names"), f'"{{{word}}}" is not filled in{did_you_mean(word, NAME_PARTS)}; parts: {", ".join(NAME_PARTS)}'
            )
    if "{document}" not in given.names:
        yield check.problem((*at, "names"), "the pattern has no {document}; all files would have one name")
    try:
        megabytes(given.largest_file)
    except QuantityError as error:
        yield check.problem((*at, "largest_file"), str(error))


def review_sheets(check: Check) -> Iterator[Problem]:
    """A reviewer's comment names a sheet of the plan set."""
    for index, comment in enumerate(check.models.plan_review):
        # A further sheet of the same content carries a number behind: E-603-2.
        sheet = re.sub(r"-([2-9]|[1-9]\d)$", "", comment.sheet)
        if comment.sheet and sheet not in _PLAN_SHEETS:
            yield check.unknown(("plan_review", index, "sheet"), "the plan set has no sheet", comment.sheet, _PLAN_SHEETS)


def roles(check: Check) -> Iterator[Problem]:
    """A misspelled role would be taken and change nothing."""
    for tag, item in check.models.equipment.items():
        for role in item.role:
            if role not in _ROLES and not any(word in role for word in _COMBINING):
                message = f"no role is called {quoted(role)}{did_you_mean(role, _ROLES)}; roles: {', '.join(_ROLES)}"
                yield check.problem(("equipment", tag, "role"), message)


def asked(check: Check) -> Iterator[Problem]:
    """What a department asked for can be looked for."""
    yield from asked_demands(check, tuple(sheet for sheet in _PLAN_SHEETS if sheet != _LEGEND))
