"""A vehicle charger with a circuit of its own that is shed in backup mode is told on the owner's page and tried by the checklist."""

from __future__ import annotations

from permitgen.package.field_and_record import checklist_lines_of, record_alone


def test_a_charger_that_is_shed_is_neither_forgotten_nor_said_to_run(demo):
    """The demo's charger has `shed: island` and a circuit of its own."""
    charger = demo.evaluation.system.equipment["EV1"]
    assert charger.word("shed") == "island"
    assert charger.name in checklist_lines_of(demo).by_id["island:shed"].instruction
    for language in record_alone(demo, listed=()).public.owner:
        outage = " ".join(sentence for answer in language.answers for sentence in answer.sentences)
        assert charger.name in outage
        assert "EV1" not in outage
