"""Self-contained HTML pages from templates: everything inline, every value escaped, a content-security policy by digest.

Templates are the user's to change, so they run in a sandbox and a name that does not exist is an error, not a blank.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from types import CodeType
from typing import Any

from jinja2.bccache import Bucket, BytecodeCache
from jinja2.loaders import BaseLoader
from markupsafe import Markup

from permitgen.documents.resources import ResourceError, has_own, resource_text, template_path
from permitgen.documents.template_errors import UNUSABLE, explained, place_in
from permitgen.documents.template_sandbox import BoundedSandbox
from permitgen.reading.problems import Problem, ProblemsError

_BLANK_LINES = re.compile(r"\n[ \t]*(?=\n)")


class _Templates(BaseLoader):
    """Finds a template in the project's own folder first, then among those of the program; ``shown`` keeps the name of each by its path."""

    def __init__(self, project_folder: Path | None) -> None:
        self.project_folder = project_folder
        self.shown: dict[str, str] = {}

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        """Return text and path of a template, and whether it is still the same."""
        path = template_path(template, self.project_folder)
        text = resource_text(path)
        self.shown[str(path)] = f"templates/{template}"
        return text, str(path), lambda: path.is_file() and resource_text(path) == text


def page(template: str, view: Mapping[str, Any], *, styles: str, scripts: str = "", project_folder: Path | None = None) -> bytes:
    """Return an HTML page. ``styles`` and ``scripts`` are names of files among the templates that are put inline.

    The template gets ``view`` with ``style``, ``script`` and ``policy`` added.

    Raises:
        ProblemsError: one of the files cannot be read, or the template cannot be filled; its name and line.
    """
    style = _inline(styles, project_folder)
    script = _inline(scripts, project_folder) if scripts else ""
    inline = {"style": Markup(style), "script": Markup(script)}  # noqa: S704  our own files
    environment, templates = _environment(project_folder)
    environment.begin(is_own=has_own("templates", project_folder))
    try:
        text = environment.get_template(template).render(**view, **inline, policy=content_security_policy(style, script))
    except UNUSABLE as error:
        name, line = place_in(error, templates.shown) or (f"templates/{template}", 1)
        raise ProblemsError([Problem(name, line, 1, "", explained(error, view))]) from error
    return _BLANK_LINES.sub("", text).encode("utf-8")


class _CompiledOnce(BytecodeCache):
    """What templates compile to, by path and text: each project has an environment of its own, and most projects the same templates."""

    _MOST = 64

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str], CodeType] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give what the same text of the same file compiled to before."""
        bucket.code = self._kept.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what a text compiled to."""
        if bucket.code is not None:
            self._kept[bucket.key, bucket.checksum] = bucket.code
            while len(self._kept) > self._MOST:
                del self._kept[next(iter(self._kept))]


_COMPILED = _CompiledOnce()


@lru_cache(maxsize=8)
def _environment(project_folder: Path | None) -> tuple[BoundedSandbox, _Templates]:
    """Return the sandbox and its templates; a text is compiled once a process."""
    templates = _Templates(project_folder)
    sandbox = BoundedSandbox(loader=templates, bytecode_cache=_COMPILED, trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True)
    return sandbox, templates


def _inline(name: str, project_folder: Path | None) -> str:
    """Return a file put inline, without blank lines: the page has none, and the digest is of what stands in the page."""
    try:
        return _BLANK_LINES.sub("", resource_text(template_path(name, project_folder)))
    except ResourceError as error:
        raise ProblemsError([Problem(f"templates/{name}", 1, 1, "", str(error))]) from error


def content_security_policy(style: str, script: str) -> str:
    """Return the policy of a page that holds this one style element and script, and may ask no other host for anything."""
    rules = ["default-src 'none'", f"style-src '{_digest(style)}'", "img-src 'self' data: blob:", "base-uri 'none'", "form-action 'none'"]
    if script:
        rules.append(f"script-src '{_digest(script)}'")
    return "; ".join(rules)


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def json_island(value: Any) -> Markup:
    """Return JSON for a data element of a page: no character in it can end the element."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return Markup(text)  # noqa: S704  every character that could end the element is written as an escape
