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
from typing import Any

from jinja2 import StrictUndefined
from jinja2.loaders import BaseLoader
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from permitgen.documents.resources import template_path

_BLANK_LINES = re.compile(r"\n[ \t]*(?=\n)")


class _Templates(BaseLoader):
    """Finds a template in the project's own folder first, then among those of the program."""

    def __init__(self, project_folder: Path | None) -> None:
        self.project_folder = project_folder

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        """Return text and path of a template, and whether it is still the same."""
        path = template_path(template, self.project_folder)
        text = path.read_text("utf-8")
        return text, str(path), lambda: path.is_file() and path.read_text("utf-8") == text


def page(template: str, view: Mapping[str, Any], *, styles: str, scripts: str = "", project_folder: Path | None = None) -> bytes:
    """Return an HTML page. ``styles`` and ``scripts`` are names of files among the templates that are put inline.

    The template gets ``view`` with ``style``, ``script`` and ``policy`` added.
    """
    style = _inline(styles, project_folder)
    script = _inline(scripts, project_folder) if scripts else ""
    inline = {"style": Markup(style), "script": Markup(script)}  # noqa: S704  our own files
    text = _environment(project_folder).get_template(template).render(**view, **inline, policy=content_security_policy(style, script))
    return _BLANK_LINES.sub("", text).encode("utf-8")


@lru_cache(maxsize=8)
def _environment(project_folder: Path | None) -> ImmutableSandboxedEnvironment:
    """Return the sandbox, kept so that a template is compiled once a process."""
    return ImmutableSandboxedEnvironment(
        loader=_Templates(project_folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _inline(name: str, project_folder: Path | None) -> str:
    """Return a file put inline, without blank lines: the page has none, and the digest is of what stands in the page."""
    return _BLANK_LINES.sub("", template_path(name, project_folder).read_text("utf-8"))


def content_security_policy(style: str, script: str) -> str:
    """Return the policy of a page that holds this one style element and script, and may ask no other host for anything."""
    rules = ["default-src 'none'", f"style-src '{_digest(style)}'", "img-src data: blob:", "base-uri 'none'", "form-action 'none'"]
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
