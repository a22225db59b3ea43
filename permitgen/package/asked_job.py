"""What the department asked for in earlier projects, looked for in an opened project and its finished views."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from permitgen.package.made_once import made_once
from permitgen.project.asked_demands import limit_of, stated_keys
from permitgen.views.asked import AskedPoint, in_order, looked_for, point_of
from permitgen.views.presence import things_of
from permitgen.views.view_words import squeezed, words_of

if TYPE_CHECKING:
    from permitgen.package.opened_project import OpenedProject
    from permitgen.system.asked import AskedBefore, Demand


@made_once
def asked_of(opened: OpenedProject) -> tuple[AskedPoint, ...]:
    """Return each demand of the project's department and how the project stands to it, what is missing first."""
    return in_order(_looked_for(opened, each) for each in opened.evaluation.system.jurisdiction.asked)


def _looked_for(opened: OpenedProject, asked: AskedBefore) -> AskedPoint:
    demand, things = asked.demand, things_of(opened.evaluation)
    if not things.issuperset(demand.only_with) or things.intersection(demand.not_with):
        return point_of(asked, "not asked for here", looked_for(demand))
    if demand.answer:
        return point_of(asked, "answer ready", f"{demand.answer}{f' ({demand.section})' if demand.section else ''}")
    if demand.states:
        keys = stated_keys(opened.loaded.models, demand)
        if not keys:
            return point_of(asked, "not asked for here", f"no {demand.of} here")
        missing = list(_unstated(opened, demand))
    else:
        missing = list(_not_shown(opened, demand) if demand.shows else _not_attached(opened, demand))
    return point_of(asked, "missing" if missing else "met", "; ".join(missing) or looked_for(demand))


def _unstated(opened: OpenedProject, demand: Demand) -> Iterator[str]:
    """Yield, thing by thing, what is not stated, or is stated beyond what was asked for."""
    least, most = (limit_of(demand, text) if text else None for text in (demand.at_least, demand.at_most))
    for key in stated_keys(opened.loaded.models, demand):
        if key.said is None:
            yield f"{key.path} is not stated"
        elif isinstance(least, float) and (key.number is None or key.number < least):
            yield f"{key.path} is {key.said}, asked for: at least {demand.at_least}"
        elif isinstance(most, float) and (key.number is None or key.number > most):
            yield f"{key.path} is {key.said}, asked for: at most {demand.at_most}"


def _not_attached(opened: OpenedProject, demand: Demand) -> Iterator[str]:
    titles = [squeezed(each.title) for each in (*opened.attached, *opened.photos)]
    if not any(squeezed(demand.attaches) in title for title in titles):
        yield f'no attached document is called "{demand.attaches}"'


def _not_shown(opened: OpenedProject, demand: Demand) -> Iterator[str]:
    said = _said_by(opened, demand.on)
    if not said:
        yield f"this package has no {demand.on}"
    elif squeezed(demand.shows) not in said:
        yield f'{demand.on} does not say "{demand.shows}"'


def _said_by(opened: OpenedProject, document: str) -> str:
    """Return the words of a document, empty where the package has none of that name."""
    make = _VIEWS.get(document)
    return words_of(make(opened) if make is not None else _sheet_contents(opened)[document])


@made_once
def _sheet_contents(opened: OpenedProject) -> dict[str, object]:
    """Return what each sheet is drawn from, by its number, whichever sheet it shares the paper with."""
    from permitgen.documents.plan_set import SHEET_CONTENTS
    from permitgen.package.plan_set_job import plan_set_of

    plans = plan_set_of(opened)
    return {each: says(plans) for each, says in SHEET_CONTENTS.items()} | {"G-001": (plans.cover, plans.block), "E-608": plans.placards}


def _placard(opened: OpenedProject) -> object:
    from permitgen.package.placard_job import placards_due

    return placards_due(opened)


def _labels(opened: OpenedProject) -> object:
    from permitgen.package.label_job import labels_of

    return labels_of(opened).labels


def _calculations(opened: OpenedProject) -> object:
    from permitgen.package.calculation_job import calculation_of

    return calculation_of(opened)


def _checklist(opened: OpenedProject) -> object:
    from permitgen.package.field_and_record import checklist_of

    return checklist_of(opened)


def _fire_notice(opened: OpenedProject) -> object:
    from permitgen.views.fire_notice import fire_notice_of

    return fire_notice_of(opened.evaluation)


_VIEWS: dict[str, Callable[[OpenedProject], object]] = {
    "placard": _placard,
    "labels": _labels,
    "calculations": _calculations,
    "checklist": _checklist,
    "fire notice": _fire_notice,
}
"""What a document is printed from, by the name that a demand gives it; sheets go by their numbers."""
