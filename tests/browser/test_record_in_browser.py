"""The record in a real browser: the first screen of an emergency, both languages, no scripts, no network, nothing that axe finds."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.record_pages import NAMES

pytestmark = pytest.mark.needs_program("chromium")
AXE = (Path(__file__).parent / "axe.min.js").read_text("utf-8")
RULES = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


PAGES = [
    "record/index.html",
    "record/index.html#es",
    "record/electrician.html",
    "record/calculations.html",
    "record_professional/electrician.html",
    "record_professional/index.html",
    "record_owner/index.html",
    "field_checklist.html",
    "record/short_forms.html",
]
COLORS = {"type": "rule", "values": ["color-contrast"]}


def violations(page, rules):
    """Run axe-core; the page's own policy would forbid the script, so it is put in by the debugger."""
    page.evaluate(AXE)
    found = page.evaluate("rules => axe.run(document, {runOnly: rules, resultTypes: ['violations']})", rules)
    return [(v["id"], [node["html"][:120] for node in v["nodes"]][:3]) for v in found["violations"]]


@pytest.mark.sample(every=18)  # the public record; by night every page in both
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing(open_page, pages, name, scheme):
    file, _, fragment = name.partition("#")
    page = open_page(pages / file, scheme=scheme, width=390, height=844, fragment=f"#{fragment}" if fragment else "")
    if file.startswith("field"):
        page.wait_for_selector("html[data-ready]", state="attached")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    # Dark differs from light in its colors only.
    assert violations(page, RULES if scheme == "light" else COLORS) == []


def inside_first_screen(page, selector):
    return page.evaluate(
        """([selector, height]) => [...document.querySelectorAll(selector)].filter(e => e.offsetParent)
        .map(e => [e.textContent.trim().slice(0, 60), e.getBoundingClientRect().bottom]).filter(([, bottom]) => bottom > height)""",
        [selector, 640],
    )


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_first_screen_holds_everything_an_emergency_needs(open_page, pages, language):
    """At 360 × 640 CSS px, without scrolling: each step, what is not enough, what stays live and, in English, the whole map."""
    page = open_page(pages / "record/index.html", fragment=f"#{language}")
    here = f"#{language} "
    assert page.locator(here + ".steps li").count() == 3
    for selector in (".steps li", ".warning", ".live li"):
        assert page.locator(here + selector).first.is_visible()
        assert inside_first_screen(page, here + selector) == []
    assert page.evaluate("selector => document.querySelector(selector).getBoundingClientRect().top", here + ".map svg") < 540
    if language == "en":
        assert page.evaluate("document.querySelector('#en .map svg').getBoundingClientRect().bottom") <= 640
    assert page.evaluate("window.scrollY") == 0
    size = page.evaluate("selector => parseFloat(getComputedStyle(document.querySelector(selector)).fontSize)", here + ".steps .do")
    assert size >= 15


@pytest.mark.sample(every=3)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [320, 360, 768, 1280])
def test_nothing_is_wider_than_the_screen(open_page, pages, width, name):
    """WCAG 2.2, 1.4.10: reflow at 320 CSS px."""
    page = open_page(pages / "record" / name, width=width)
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.sample(every=3)
@pytest.mark.parametrize(
    "name",
    [
        *(f"record/{name}" for name in NAMES),
        "record_owner/index.html",
        "record_professional/index.html",
        "record_professional/electrician.html",
    ],
)
def test_text_twice_as_large_stays_inside_a_narrow_screen(open_page, pages, name):
    """WCAG 2.2, 1.4.4 with 1.4.10: text at 200 % at 320 CSS px; wide tables scroll by themselves."""
    page = open_page(pages / name, width=320)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_a_long_word_in_a_step_stays_inside_too(open_page, pages):
    """The words of a label are the project's own; what is said of right and left stands off the edge as the steps do."""
    page = open_page(pages / "record/index.html", width=320)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    page.evaluate("document.querySelectorAll('.steps .do').forEach(e => e.textContent = 'Breaker of PHOTOVOLTAICDISCONNECT')")
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    edges = page.evaluate(
        "[...document.querySelectorAll('#en .sides, #en .warning')].map(e => parseFloat(getComputedStyle(e).paddingLeft))"
    )
    assert min(edges) >= 12.0


def test_language_changes_without_scripts(open_page, pages):
    page = open_page(pages / "record/index.html", scripts=False)
    assert page.locator("#en .steps").is_visible()
    assert not page.locator("#es .steps").is_visible()
    page.locator("#en .lang").click()
    assert page.locator("#es .steps").is_visible()
    assert not page.locator("#en .steps").is_visible()
    assert page.locator("#electrician").is_visible()
    page.locator("#es .lang").click()
    assert page.locator("#en .steps").is_visible()


def test_print_has_both_languages_and_no_controls(open_page, pages):
    page = open_page(pages / "record/index.html", width=816)
    page.emulate_media(media="print")
    assert page.locator("#en .steps").is_visible()
    assert page.locator("#es .steps").is_visible()
    assert not page.locator("#en .lang").is_visible()


def test_an_old_placard_is_told_from_a_new_one(open_page, pages):
    """The placard's code ends in its revision: revision 0 leads to a page that says that the record is at revision 1."""
    page = open_page(pages / "record/0/index.html", scripts=False)
    page.wait_for_url("**/record/index.html#r0")
    assert "The placard you scanned is revision 0" in page.locator("#r0").inner_text()
    assert page.locator("#r0").is_visible()
    current = open_page(pages / "record/1/index.html", scripts=False)
    current.wait_for_url("**/record/index.html")
    assert not current.locator(".old").first.is_visible()


def test_without_styles_every_word_is_there(open_page, pages):
    text = "".join(open_page(pages / "record" / name, scripts=False).content() for name in NAMES)
    for word in ("Rapid shutdown switch", "Interruptor de apagado rápido (RAPID SHUTDOWN)", "24.8&nbsp;kWh", "Torque log"):
        assert word in text or word.replace("&nbsp;", "\u00a0") in text
