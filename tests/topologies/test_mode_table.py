"""The table of contacts on the one-line diagram names what switches something: a relay of a terminal on which nothing lands does not."""

from permitgen.views.one_line_modes import modes_of
from tests.topologies.test_placard_reachability import evaluated


def test_a_terminal_on_which_nothing_lands_has_no_contact_in_the_table():
    """By reasoning: no current ever passes it; common practice, no published source."""
    before = modes_of(evaluated("b04_partial_backup").system)
    spare = {"equipment.MID.terminals.PV2": {"accepts": "photovoltaic", "relay": "K9"}}
    assert modes_of(evaluated("b04_partial_backup", changed=spare).system) == before
    assert any("(PV)" in heading for heading in before.headings), "where something lands there is a contact"
