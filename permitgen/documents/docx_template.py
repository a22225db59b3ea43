"""Fills a DOCX template and writes it so that the same fields give the same bytes.

Templates are the user's to change and therefore not trusted: they run in a sandbox, see only dicts, lists and texts, and a
name they use that does not exist is an error, never an empty place. What the fields hold is printed as text, whatever it is.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from xml.parsers.expat import ExpatError, ParserCreate

from docx.opc.exceptions import PackageNotFoundError
from docxtpl import DocxTemplate
from jinja2 import StrictUndefined
from lxml import etree
from markupsafe import Markup, escape

from permitgen.documents.docx_links import link_references
from permitgen.documents.docx_safety import NOT_A_DOCX, UnsafeDocxError, checked_docx
from permitgen.documents.fixed_archive import rezipped
from permitgen.documents.resources import LARGEST_BYTES, shipped_folder
from permitgen.documents.template_errors import UNUSABLE, explained
from permitgen.documents.template_sandbox import BoundedSandbox
from permitgen.reading.problems import Problem, ProblemsError
from permitgen.reading.regular_file import UnreadableFileError, content_of

if TYPE_CHECKING:
    from permitgen.views.title import DocumentTitle

# What XML 1.0 cannot hold, and the control characters that word processors read as page or paragraph breaks.
_UNPRINTABLE = re.compile("[^\t\n\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|[\ufdd0-\ufdef]")
# Braces as references, because docxtpl rewrites ``{_{`` after rendering; line breaks as those of the file format.
_PRINTED_AS = (("{", "&#123;"), ("}", "&#125;"), ("\t", " "), ("\n", '</w:t><w:br/><w:t xml:space="preserve">'))
_FIXED_DATE = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)


@dataclass(frozen=True, slots=True)
class DocxProperties:
    """What a program that opens the file shows about it."""

    title: str
    subject: str = ""
    author: str = ""
    keywords: str = ""


def properties_of(what: str, title: DocumentTitle, document_id: str) -> DocxProperties:
    """Return the properties of a document of the package; ``what`` names it."""
    return DocxProperties(
        title=f"{what}, {title.project}",
        subject=f"{title.edition}, {title.jurisdiction}, revision {title.revision}, Document ID {document_id}",
        author=title.contractor,
        keywords=", ".join(part for part in (title.number, title.permit_number, title.edition) if part),
    )


def filled_docx(template: Path, fields: Mapping[str, Any], properties: DocxProperties) -> bytes:
    """Return the DOCX file that ``template`` and ``fields`` make.

    Raises:
        ProblemsError: the template is no DOCX file, is malformed, uses an unknown field or does what is not allowed.
    """
    file = "/".join(template.parts[-2:])
    try:
        document = _opened(template)
        environment = BoundedSandbox(finalize=_as_text)
        environment.begin(is_own=not template.is_relative_to(shipped_folder("templates")))
        document.render(dict(fields), environment, autoescape=True)
    except UnsafeDocxError as error:
        raise _problem(file, str(error)) from error
    except ExpatError as error:
        raise _problem(file, "a loop or condition does not end in the paragraph, row or cell kind in which it began") from error
    except UNUSABLE as error:
        raise _problem(file, explained(error, fields)) from error
    link_references(document.docx.part.element)
    _set_properties(document, properties)
    written = io.BytesIO()
    document.save(written)
    return rezipped(written.getvalue())


def _opened(template: Path) -> _StrictTemplate:
    try:
        content = checked_docx(content_of(template, LARGEST_BYTES))
    except UnreadableFileError as error:
        raise UnsafeDocxError(str(error)) from error
    try:
        opened = _StrictTemplate(io.BytesIO(content))
        opened.init_docx()
    except (PackageNotFoundError, zipfile.BadZipFile, etree.XMLSyntaxError, AttributeError, LookupError, ValueError) as error:
        raise UnsafeDocxError(NOT_A_DOCX) from error
    return opened


class _StrictTemplate(DocxTemplate):  # type: ignore[misc]  # docxtpl has no types
    """A template whose broken structure is an error; docxtpl itself drops what does not parse.

    The filled body is parsed inside its document, because moving it there afterwards takes longer than all the rest.
    """

    def fix_tables(self, xml: str) -> Any:
        """Return the document with the filled body in it; raises ExpatError where that is not well-formed."""
        root = self.docx.element
        others = "".join(etree.tostring(child, encoding="unicode") for child in root if child is not root.body)
        opening = etree.tostring(etree.Element(root.tag, root.attrib, root.nsmap), encoding="unicode").removesuffix("/>")
        whole = f"{opening}>{others}{xml}</{opening[1:].split()[0]}>"
        ParserCreate().Parse(whole, True)  # noqa: FBT003  # the signature of the library
        return super().fix_tables(whole)

    def map_tree(self, tree: Any) -> None:
        """Put the filled document in place of the template's."""
        self.docx.part._element = tree  # noqa: SLF001  # no public way

    def resolve_listing(self, xml: str) -> str:
        """Return the filled text as it is: ``_as_text`` has set its line breaks, and this step would search all of it again."""
        return xml


def _as_text(value: Any) -> Any:
    """Return a printed value cleaned and escaped."""
    if isinstance(value, StrictUndefined):
        return value
    cleaned = str(escape(_UNPRINTABLE.sub("", str(value))))
    for character, printed in _PRINTED_AS:
        cleaned = cleaned.replace(character, printed)
    return Markup(cleaned)  # noqa: S704  # escaped above


def _problem(file: str, message: str) -> ProblemsError:
    return ProblemsError([Problem(file, 1, 1, "", message)])


def _set_properties(document: Any, properties: DocxProperties) -> None:
    core = document.docx.core_properties
    core.title, core.subject = _clean(properties.title), _clean(properties.subject)
    core.author, core.keywords = _clean(properties.author), _clean(properties.keywords)
    core.last_modified_by, core.comments, core.language = "permitgen", "", "en-US"
    core.created = core.modified = _FIXED_DATE
    core.revision = 1


def _clean(text: str) -> str:
    """Return a property as one line of at most 255 characters, the most that the file format takes."""
    return " ".join(_UNPRINTABLE.sub("", text).split())[:255]
