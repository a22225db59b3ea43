"""The record on hosts of both kinds: one that ends a folder with a slash, and one that serves its page at the address without it."""

from __future__ import annotations

import re
import shutil
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urljoin, urlsplit
from urllib.request import urlopen

import pytest

from permitgen.documents.record_folder import record_files
from permitgen.package.field_and_record import record_alone
from permitgen.package.opened_project import open_project
from tests.record_pages import NAMES

DEMO = Path(__file__).resolve().parents[2] / "demo_project"
ID = "4H7PM2X9K3TB8WQD"
REFRESH = re.compile(r'http-equiv="refresh" content="0; url=([^"]+)"')
LINK = re.compile(r'(?:href|src)="([^"#]+)(?:#[^"]*)?"')


def addresses(text):
    """Where the links of a page lead, but for telephones and what is in the page itself."""
    return {found for found in LINK.findall(text) if not found.startswith(("tel:", "data:", "mailto:"))}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The public folder as it is copied to a host, below the end of its address."""
    project = tmp_path_factory.mktemp("host") / "project"
    shutil.copytree(DEMO, project, ignore=shutil.ignore_patterns("field", "package"))
    opened = open_project(project)
    files = record_files(record_alone(opened, listed=()), project_folder=project)
    return {f"/r/{ID}/{name.removeprefix('record/')}": content for name, content in files.items() if name.startswith("record/")}


@pytest.fixture(params=["with a slash", "without"])
def host(request, folder):
    """A server of one kind; the address of the record on it."""
    slash = "/" if request.param == "with a slash" else ""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            path = urlsplit(self.path).path
            file = f"{path.rstrip('/')}/index.html"
            if file in folder and path != path.rstrip("/") + slash:
                self.send_response(301)
                self.send_header("Location", path.rstrip("/") + slash)
                self.end_headers()
                return
            content = folder.get(path, folder.get(file))
            self.send_response(404 if content is None else 200)
            self.end_headers()
            self.wfile.write(content or b"")

        def log_message(self, *_args):
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/r/{ID}"
    server.shutdown()
    server.server_close()


def read(address):
    with urlopen(address) as answer:
        return answer.url, answer.read().decode("utf-8")


@pytest.mark.parametrize("typed", ["", "/"])
def test_every_link_of_the_record_is_found(host, typed):
    base, text = read(host + typed)
    links = addresses(text)
    assert len(links) >= 6
    for link in links:
        address, found = read(urljoin(base, link))
        assert found, link
        # The pages behind the first one lead to each other and back.
        for onward in addresses(found) if "electrician" in link or "calculations" in link else ():
            assert read(urljoin(address, onward))[1], (link, onward)


@pytest.mark.parametrize("number", [0, 1])
def test_the_code_on_the_placard_leads_to_the_record(host, number):
    """The code ends in the revision: its page leads on until the record is reached, an old one to the note that it is old."""
    address, text = read(f"{host}/{number}")
    for _ in range(4):
        onward = REFRESH.search(text)
        if onward is None:
            break
        target = urljoin(address, onward.group(1))
        address, text = read(target)
    assert "Emergency and system record" in text
    assert "Still live after the last step" in text
    assert ("#r0" in target) == (number == 0)


def test_a_file_that_is_not_there_is_not_found(host):
    with pytest.raises(HTTPError):
        read(f"{host}/nothing.html")


def test_from_a_stick_by_double_click(folder):
    """Below any folder, opened as a file, every link is found beside the page."""
    assert {f"/r/{ID}/{name}" for name in NAMES} <= set(folder)
    for page in (name for name in folder if name.endswith(".html")):
        for link in addresses(folder[page].decode("utf-8")):
            assert urljoin(page, link) in folder, (page, link)
