"""A real browser on the real files: Debian's chromium driven offline."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium") or "chromium"
ARGUMENTS = ["--no-sandbox", "--disable-gpu"]


@pytest.fixture(scope="session")
def pages(demo_package, tmp_path_factory):
    """The folder with the checklist and the record of the demo, among all else of its package."""
    folder = tmp_path_factory.mktemp("package")
    for name, content in demo_package.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return folder


@pytest.fixture(scope="session")
def playwright():
    from playwright.sync_api import sync_playwright

    with sync_playwright() as found:
        yield found


@pytest.fixture(scope="session")
def browser(playwright):
    found = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
    yield found
    found.close()


@pytest.fixture
def phone(playwright, tmp_path):
    """Start a browser with a profile of its own, so that it can be killed and started again."""
    started = []

    def start():
        context = playwright.chromium.launch_persistent_context(
            tmp_path / "profile",
            executable_path=CHROMIUM,
            args=ARGUMENTS,
            viewport={"width": 360, "height": 640},
            offline=True,
            accept_downloads=True,
        )
        started.append(context)
        return context

    yield start
    for context in started:
        context.close()


@pytest.fixture
def fresh_phone(browser):
    """A phone with a memory of its own that nobody kills: a context of the running browser, which starts in half the time."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, offline=True, accept_downloads=True)
    yield context
    context.close()


@pytest.fixture
def open_page(browser):
    """Open a page offline; what it asks of other hosts, or complains of, fails the test."""
    contexts = []

    def opened(path, *, width=360, height=640, scheme="light", scripts=True, fragment=""):
        context = browser.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme, java_script_enabled=scripts, offline=True
        )
        contexts.append((context, asked := [], complaints := []))
        page = context.new_page()
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda message: complaints.append(message.text) if message.type in ("error", "warning") else None)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(path.as_uri() + fragment)
        return page

    yield opened
    for context, asked, complaints in contexts:
        assert [url for url in asked if not url.startswith(("file:", "data:", "blob:"))] == []
        assert complaints == []
        context.close()
