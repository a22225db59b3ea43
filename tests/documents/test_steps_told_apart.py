"""Two switches of one place never sound alike: by their labels, else by what they lead to, else by tag (common practice)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from permitgen.views.handle_names import handle_names
from permitgen.views.languages import phrases_in


@pytest.fixture
def evaluation(demo):
    return demo.evaluation


HANDLES = ("MID.BAT1", "MID.BAT2")


def named(evaluation, system, language, label=""):
    """What the breakers of the two battery units in the interconnect device are called, with ``label`` on both."""
    changed = replace(evaluation, given=evaluation.given.with_sizes(system))
    handles = [replace(system.handles[handle], label=label) for handle in HANDLES]
    return handle_names(changed, handles, phrases_in(language))


@pytest.mark.parametrize(("language", "to"), [("en", "to"), ("es", "hacia")])
def test_breakers_of_one_enclosure_say_what_they_lead_to(evaluation, language, to):
    system = evaluation.system
    first, second = (system.equipment[tag].name for tag in ("ESS1", "ESS2"))
    told = named(evaluation, system, language)
    assert told[0].endswith(f" {to} {first}")
    assert told[1].endswith(f" {to} {second}")


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_tag_is_the_last_resort(evaluation, language):
    """Two units of one name: what they lead to sounds alike, too."""
    equipment = {tag: replace(item, name="Battery") if tag.startswith("ESS") else item for tag, item in evaluation.system.equipment.items()}
    told = named(evaluation, replace(evaluation.system, equipment=equipment), language)
    assert [name.rpartition(" ")[2] for name in told] == ["(MID.BAT1)", "(MID.BAT2)"]


def test_one_label_on_two_breakers_is_told_apart_and_kept(evaluation):
    told = named(evaluation, evaluation.system, "en", label="BATTERY")
    assert len(set(told)) == len(told)
    assert all('"BATTERY"' in name for name in told)


def test_labels_that_differ_are_enough(evaluation):
    handles = [evaluation.system.handles[handle] for handle in HANDLES]
    assert handle_names(evaluation, handles, phrases_in("en")) == ('Breaker "BATTERY 1"', 'Breaker "BATTERY 2"')
