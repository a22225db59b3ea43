"""A busbar under engineering supervision: its study is for the authority to judge, not for this program."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from permitgen.rules.judgement import Judgement, does_not_apply, not_judged

if TYPE_CHECKING:
    from permitgen.rules.given import Given
    from permitgen.system.busbar import Busbar


def judge(busbar: Busbar, given: Given) -> Judgement:
    """Return *not judged* where the project names a study, else that this way is not gone."""
    study = given.system.equipment[busbar.tag].word("engineering_study")
    if not study:
        return does_not_apply("no study under engineering supervision is named")
    verdict = not_judged(f"the authority's review of the engineering study {study}")
    return replace(verdict, method="engineering supervision").under(given.provision("engineered_busbar"))
