"""Two of each, in both orders: what a project has twice, once well and once beyond its limit, is found whichever stands first.

Each entry of the table of limits gets a second one beside it that differs by the fact just beyond the limit, before it and behind it in
the file. A rule that looks at the first source, device, run or place alone passes one of the two.
"""

import pytest

from permitgen.rules.judgement import Verdict
from tests.properties.moved_facts import cases, doubled, judged, judged_data, violated

CASES = [case for case in cases() if case.path[1:3] == (case.row["at"], case.path[0]) and not case.row.get("alone")]


@pytest.mark.sample(every=200)
@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_worse_of_two_is_found_in_both_orders(case):
    first, last = (judged_data(case, doubled(case, worse_first=order)) for order in (True, False))
    if "refused" in first or "refused" in last:
        assert "refused" in first
        assert "refused" in last
        return
    assert first == last
    single, alone = judged(case, case.beyond), judged(case, case.within)
    if violated(single) - violated(alone) and not case.row.get("together"):
        assert violated(first) - violated(alone) or any(verdict is Verdict.NOT_JUDGED for verdict in first.values())
