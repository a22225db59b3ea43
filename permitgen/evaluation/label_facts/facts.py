"""Every fact by name. A name without a function here is a change to come: the label waits for it and is printed when asked for by id."""

from __future__ import annotations

from typing import TYPE_CHECKING

from permitgen.evaluation.label_facts import asked, existing, judged, panels, photovoltaic, services, sources, standby
from permitgen.values.missing_fact import MissingFactError

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.evaluation.label_facts.subject import Fact, Found

FACTS: dict[str, Fact] = {
    **services.FACTS,
    **sources.FACTS,
    **photovoltaic.FACTS,
    **panels.FACTS,
    **standby.FACTS,
    **existing.FACTS,
    **judged.FACTS,
    **asked.FACTS,
}

# What no plan can show, with the reason: a label for one of them is printed when ``labels:`` asks for it by id.
ON_REQUEST: dict[str, str] = {
    "conductors_are_reidentified": "seen when the conductors are pulled",
    "ems_setting_changed": "happens after the plan",
    "generator_bonding_changed": "happens after the plan",
    "interconnection_values_changed": "happens after the plan",
    "neutral_switching_changed": "happens after the plan",
    "pv_dc_values_changed": "happens after the plan",
}


def where_it_holds(evaluation: Evaluation, name: str) -> Found:
    """Return the objects on which the fact ``name`` holds, None where it is not known.

    Raises:
        KeyError: no such fact.
    """
    if name in ON_REQUEST:
        return ()
    try:
        return FACTS[name](evaluation)
    except MissingFactError:
        return None
