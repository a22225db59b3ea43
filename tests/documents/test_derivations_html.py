"""``derivations.html``: one file without network, every step there once, linked to what it uses and to what uses it."""

import html
import re
from pathlib import Path

import pytest

from permitgen.documents.calculation_steps import numbered_groups, step_bookmark
from permitgen.documents.derivations_html import derivations_html
from permitgen.documents.html_page import content_security_policy
from permitgen.views.calculation_sheet import view_of

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def sheet(demo):
    return view_of(demo.evaluation)


@pytest.fixture(scope="module")
def text(sheet):
    return derivations_html(sheet).decode("utf-8")


@pytest.fixture(scope="module")
def steps(text):
    """The element of each step by its anchor."""
    found = re.findall(r'<article class="item step" id="(step_\d+)">(.*?)</article>', text, re.S)
    assert len(found) == len({anchor for anchor, _ in found})
    return dict(found)


def test_it_asks_no_host_for_anything(text):
    style = re.search(r"<style>(.*?)</style>", text, re.S).group(1)
    script = re.search(r"<script>(.*?)</script>", text, re.S).group(1)
    assert html.escape(content_security_policy(style, script), quote=True) in text.replace("&#39;", "&#x27;")
    assert not re.search(r"https?://|\bsrc=|\son\w+=|\sstyle=", text)


def test_every_step_is_printed_once_and_links_both_ways(sheet, steps):
    numbered = [step for group in numbered_groups(sheet) for block in group.blocks for step in block.steps]
    first = [step for step in numbered if step.is_first]
    assert steps.keys() == {step_bookmark(step.number) for step in first}
    links = 0
    for step in first:
        own = steps[step_bookmark(step.number)]
        for use in step.uses:
            assert use.number
            assert f'<a href="#{step_bookmark(use.number)}">step [{use.number}]</a>' in own
            users = steps[step_bookmark(use.number)].partition("Used by")[2]
            assert f'<a href="#{step_bookmark(step.number)}">[{step.number}]</a>' in users
            links += 1
    assert links > 300


def test_a_subject_that_rests_on_a_step_elsewhere_is_named_there(sheet, steps):
    again = [(b, s) for group in numbered_groups(sheet) for b in group.blocks for s in b.steps if not s.is_first]
    assert again
    for block, step in again:
        assert f'href="#{block.bookmark}"' in steps[step_bookmark(step.number)].partition("Used by")[2]


def test_every_link_has_its_place_and_every_check_its_numbers(sheet, text):
    places = re.findall(r'\bid="([^"]+)"', text)
    assert len(places) == len(set(places))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(places)
    printed = html.unescape(text).replace("\u00a0", " ")
    for group in sheet.groups:
        for block in group.blocks:
            for check in block.checks:
                assert check.title in printed
                assert check.computed.replace("\u00a0", " ") in printed
                assert check.limit.replace("\u00a0", " ") in printed
    assert sheet.document_id in text


@pytest.mark.nightly
def test_it_is_in_the_package_and_its_paper_only_on_request(demo_package):
    assert "derivations.html" in demo_package
    assert not {"derivations.pdf", "derivations.docx"} & demo_package.keys()
