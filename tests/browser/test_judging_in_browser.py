"""The script of the checklist and the program judge entries alike."""

from __future__ import annotations

import random

import pytest

from permitgen.evaluation.field_verdict import FieldEntry, InputLimit, PassRule, judge_entry

pytestmark = pytest.mark.needs_program("chromium")
RULES = [
    PassRule(kind="number", least=114, most=126, unit="V"),
    PassRule(kind="number", most=30, unit="V"),
    PassRule(kind="number", most=30, unit="V", also=(InputLimit(name="elapsed", label="Seconds after initiation", most=30, unit="s"),)),
    PassRule(kind="number", least=114, most=126, unit="V", also=(InputLimit(name="other_leg", label="Other leg", least=114, most=126),)),
    PassRule(kind="insulation", base=1, unit="MΩ"),
    PassRule(kind="torque", base=45, tolerance_percent=4, unit="lbf·in"),
    PassRule(kind="torque", base=None, tolerance_percent=4, unit="lbf·in"),
    PassRule(kind="string voltage", base=37.2, count=9, coefficient=-0.27, reference=25, tolerance_percent=10, unit="V"),
    PassRule(kind="string current", base=13.9, tolerance_percent=10, unit="A"),
    PassRule(kind="record", unit="A"),
    PassRule(kind="text"),
    PassRule(kind="answer"),
    PassRule(kind="done"),
    PassRule(kind="match"),
]


def test_phone_and_program_judge_alike(open_page, pages):
    """The same thousand entries judged by the page's script and by the program give the same verdict and reason."""
    page = open_page(pages / "field_checklist.html")
    page.wait_for_selector("html[data-ready]", state="attached")
    chance = random.Random(7)
    numbers = [
        "",
        "0",
        "-3",
        "30",
        "30,0",
        "45",
        "43.2",
        "46.8",
        "46.81",
        "114",
        "126.0001",
        "301.3",
        "335",
        "372",
        "−335",
        "-12",
        "104",
        "25",
        "800",
        "12.5",
        "x",
        "1_0",
        "1e3",
        " 45 ",
    ]
    cases = []
    for _ in range(1000):
        rule = chance.choice(RULES)
        inputs = {
            name: chance.choice(numbers) for name in ("marked", "cell", "irradiance", "elapsed", "other_leg") if chance.random() < 0.6
        }
        entry = FieldEntry(
            answer=chance.choice(["value", "value", "yes", "no", "as drawn", "built otherwise", "could not test", "could not see"]),
            value=chance.choice(numbers),
            inputs=inputs,
            reason=chance.choice(["", " ", "no sun"]),
        )
        cases.append((rule, entry))
    sent = [
        [
            {
                k: v
                for k, v in {
                    "kind": r.kind,
                    "unit": r.unit,
                    "least": r.least,
                    "most": r.most,
                    "base": r.base,
                    "count": r.count,
                    "coefficient": r.coefficient,
                    "reference": r.reference,
                    "tolerance": r.tolerance_percent,
                    "also": [[each.name, each.label, each.least, each.most, each.is_condition, each.unit] for each in r.also],
                }.items()
                if v is not None
            },
            {"answer": e.answer, "value": e.value, "inputs": dict(e.inputs), "reason": e.reason},
        ]
        for r, e in cases
    ]
    theirs = page.evaluate("cases => cases.map(([rule, entry]) => judge(rule, entry))", sent)
    for (rule, entry), (verdict, why) in zip(cases, theirs, strict=True):
        ours = judge_entry(rule, entry)
        words = ours.why or ours.said
        assert (verdict, why.split(" is ")[-1].split(" than ")[0]) == (str(ours.verdict), words.split(" is ")[-1].split(" than ")[0]), (
            rule,
            entry,
        )
