"""What nobody proved is not printed as a fact: each sentence that rests on a rule, with that rule violated and not judged.

NFPA 70 (2023) 702.4(A) is what *keeps running* rests on, 690.12 what *stops solar panels* does, 705.40 what *turns off* does (from memory).
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from permitgen.code.codebook import CodeBook
from permitgen.evaluation.evaluate import evaluate
from permitgen.evaluation.finding import Finding
from permitgen.rules.judgement import Judgement, Verdict
from permitgen.views.backup_hours import _panels_of_unknown_load
from permitgen.views.emergency import emergency_of
from permitgen.views.languages import LANGUAGES, phrases_in
from permitgen.views.placard import placards_of
from permitgen.views.record_owner import owner_text
from permitgen.views.sentence_grounds import grounds

ROOT = Path(__file__).resolve().parents[2]
TOPOLOGIES = ROOT / "tests" / "topologies"
# A house in which each sentence is said while its rules pass.
SAID_IN = {
    "stops": "b05_mid_service_equipment",
    "owner.have.island": "b05_mid_service_equipment",
    "owner.have.initiator": "b05_mid_service_equipment",
    "owner.a.outage": "b10_battery_combining_panel",
    "owner.a.outage.switched": "b06b_transfer_switch",
    "owner.a.no_island": "b01_pv_load_side",
    "backup.all": "b10_battery_combining_panel",
}
CASES = [(key, rule, verdict) for key in SAID_IN for rule in grounds()[key].rules for verdict in (Verdict.VIOLATED, Verdict.NOT_JUDGED)]


def house(open_once, name):
    return open_once(TOPOLOGIES / f"{name}.yaml").evaluation


def with_verdict(evaluation, name, verdict):
    """The evaluation with the findings of a rule found otherwise."""
    rule, _, subject = name.partition(":")
    about = [f for f in evaluation.findings_of(rule) if not subject or f.subject == subject]
    assert about
    changed = [replace(f, judgement=Judgement(verdict, "as the test has it", missing=("something",))) for f in about[:1]]
    others: list[Finding] = [f for f in evaluation.findings if f is not about[0]]
    return replace(evaluation, findings=(*changed, *others))


def said(evaluation, language):
    text = emergency_of(evaluation).texts[language]
    owner = owner_text(evaluation, text, "", may_energize=True)
    lines = [*text.stays_live, *(step.stops for step in text.steps), *(step.unproven for step in text.steps), *owner.have]
    lines += [sentence for answer in owner.answers for sentence in (*answer.sentences, *answer.in_short)]
    return [line for line in lines if line]


def pattern(language, key):
    """What a phrase looks like on paper, at the beginning of a clause."""
    template = re.sub(r"\\\{\w+\\\}", ".+", re.escape(phrases_in(language).lines[key]))
    if key == "stops":
        # Beside batteries, which a loop of their own stops: of the panels it is said or not.
        template = {"en": "stops .*solar panels", "es": "detiene .*paneles solares"}[language]
    return re.compile(rf"(?:^|, ){template}")


def is_said(evaluation, language, key):
    return any(pattern(language, key).search(line) for line in said(evaluation, language))


def test_every_sentence_that_rests_on_rules_is_tried():
    assert set(SAID_IN) == {key for key, ground in grounds().items() if ground.rules}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(("key", "rule", "verdict"), CASES)
def test_a_sentence_gives_way_where_its_rule_does_not_pass(open_once, key, rule, verdict, language):
    evaluation = house(open_once, SAID_IN[key])
    assert is_said(evaluation, language, key)
    other = with_verdict(evaluation, rule, verdict)
    instead = grounds()[key].instead["denied" if verdict is Verdict.VIOLATED else "unknown"]
    assert is_said(other, language, instead)
    assert instead == key or not is_said(other, language, key)


@pytest.mark.parametrize("rule", grounds()["stops"].rules)
def test_no_step_is_dropped_and_the_plate_keeps_the_doubt(open_once, rule):
    evaluation = house(open_once, "b05_mid_service_equipment")
    other = with_verdict(evaluation, rule, Verdict.NOT_JUDGED)
    before, after = (emergency_of(each).english for each in (evaluation, other))
    assert [step.handle for step in before.steps] == [step.handle for step in after.steps]
    assert after.wait == before.wait
    (doubt,) = {step.unproven for step in after.steps if step.unproven}
    assert doubt == "meant to stop solar panels; NOT PROVEN, treat as live"
    assert after.stays_live[0] == "What switch 1 is meant to stop (solar panels): NOT PROVEN. Treat it as live"
    for placard in placards_of(other):
        assert [step.unproven for step in placard.text.steps] == [doubt, ""]
        assert all("PV1" not in step.stop_tags for step in placard.text.steps)


def test_hours_are_told_or_it_is_told_why_not(open_once):
    """A question without an answer is not asked: two batteries and no load in the file leave nothing to divide by."""
    evaluation = house(open_once, "b05_mid_service_equipment")
    empty = evaluate(replace(evaluation.system, loads={}), CodeBook(2023), with_suggestions=False)
    for language in LANGUAGES:
        text = emergency_of(empty).texts[language]
        phrases = text.phrases
        answer = next(a for a in owner_text(empty, text, "", may_energize=True).answers if a.question == phrases.say("backup.q"))
        assert answer.sentences == answer.in_short == (phrases.say("backup.no_loads"),)


def test_panels_of_which_no_load_is_listed_are_said_not_to_be_counted(open_once):
    """*Everything that stays on* speaks of the loads of one panel: of what another feeds nothing is known."""
    system = house(open_once, "b11_detached_building").system
    silent = replace(system, loads={tag: load for tag, load in system.loads.items() if load.panel != "DET"})
    (name,) = {system.equipment["DET"].name}
    assert _panels_of_unknown_load(system, ("MSP", "DET"), phrases_in("en")) == ()
    assert _panels_of_unknown_load(silent, ("MSP", "DET"), phrases_in("en")) == (f"what {name} feeds",)
