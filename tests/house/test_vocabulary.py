"""One thing has one word for each reader: no synonym that the vocabulary refuses is printed, and spelling is American.

Printed text is read back from the finished files of the demo package, as a person or another program would read it.
"""

import ast
import io
import json
import re
import zipfile
from pathlib import Path

import pypdfium2
import pytest
import yaml

from permitgen.views.vocabulary import refused_words, things, verdict_word, verdict_words

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "permitgen"
# Common British spellings and their American forms: any general dictionary of American English.
BRITISH = re.compile(
    r"colour|grey|centre|metre\b|metres\b|plaque|licence|aluminium|neighbour|behaviour|favour|catalogue|(?<!aria-)labell(?:ed|ing)|artefact"
    r"|(?:organis|neutralis|recognis|normalis|energis|equalis|summaris|minimis|maximis|utilis|standardis|realis|initialis)(?:e|ing|ation)",
    re.IGNORECASE,
)
# What is written the British way on purpose: spellings a person may type, names of earlier versions, the code's own word, titles of works.
KEPT_BRITISH = {
    "permitgen/project/quantity_units.py",
    "permitgen/project/messages.py",
    "permitgen/views/vocabulary.yaml",
    "permitgen/code/provisions/article_230.yaml",
    "permitgen/code/provisions/article_705.yaml",
}
# Words of facts and verdicts that are keys for programs, never printed as they stand.
KEYS_FOR_PROGRAMS = {"not judged", "built otherwise"}
REFUSED = re.compile(r"\b(?:" + "|".join(map(re.escape, refused_words())) + r")\b", re.IGNORECASE)


@pytest.fixture(scope="module")
def printed(demo_package):
    """What each file of the demo's package says to a reader."""
    return {name: printed_text(name, content) or "" for name, content in demo_package.items()}


def printed_text(name, content):
    """Return what a file says to a reader; None for a picture and for digests."""
    if name.endswith(".pdf"):
        pages = pypdfium2.PdfDocument(content)
        return "\n".join(page.get_textpage().get_text_bounded() for page in pages)
    if name.endswith(".docx"):
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return re.sub(r"<[^>]+>", " ", archive.read("word/document.xml").decode())
    if name.endswith(".html"):
        text = re.sub(r"<(style|script)\b.*?</\1>", " ", content.decode(), flags=re.DOTALL)
        return re.sub(r"<[^>]+>", " ", text)
    if name.endswith(".svg"):
        return re.sub(r"<[^>]+>", " ", content.decode())
    if name == "findings.json":
        return "\n".join(row.get("message", "") for group in json.loads(content)["rules"] for row in (group["most"], *group["findings"]))
    return content.decode() if name.endswith(".txt") else None


def test_no_refused_word_is_printed(printed):
    found = {(name, match.group()) for name, text in printed.items() for match in REFUSED.finditer(text)}
    assert not found


def test_what_is_printed_is_american(printed):
    found = {(name, match.group()) for name, text in printed.items() for match in BRITISH.finditer(text)}
    assert not found


def _strings(path):
    """Yield the string literals of a module, without docstrings."""
    tree = ast.parse(path.read_text("utf-8"))
    said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
            yield node.lineno, node.value


@pytest.mark.parametrize("room", ["views", "documents", "rules", "evaluation", "package", "cli"])
def test_no_refused_word_stands_in_a_string(room):
    found = [
        f"{path.relative_to(ROOT)}:{line}: {match.group()}"
        for path in sorted((PACKAGE / room).rglob("*.py"))
        for line, text in _strings(path)
        if text not in KEYS_FOR_PROGRAMS
        for match in REFUSED.finditer(text)
    ]
    assert not found


def test_labels_and_templates_hold_no_refused_word():
    texts = {path.name: path.read_text("utf-8") for path in [*(ROOT / "label_specs").glob("*.yaml"), *(ROOT / "templates").glob("*.html")]}
    # Answers that a phone sends home are keys for programs.
    texts["checklist.html"] = texts["checklist.html"].replace("built otherwise", "")
    for name in ("record_electrician.html", "record_parts.html"):
        texts[name] = texts[name].replace("'built otherwise'", "")
    comments = re.compile(r"(?m)^\s*#.*$")
    assert not {(name, m.group()) for name, text in texts.items() for m in REFUSED.finditer(comments.sub("", text))}


def test_spelling_is_american():
    found = []
    for top in ("permitgen", "templates", "label_specs", "demo_project", "docs", "README.md", "DEVELOPERS.md"):
        base = ROOT / top
        for path in sorted(base.rglob("*")) if base.is_dir() else [base]:
            name = path.relative_to(ROOT).as_posix()
            if (
                path.suffix in {".py", ".yaml", ".html", ".css", ".js", ".md", ".json"}
                and name not in KEPT_BRITISH
                and "__pycache__" not in name
            ):
                found += [f"{name}: {match.group()}" for match in BRITISH.finditer(path.read_text("utf-8"))]
    assert not found


def test_every_thing_has_a_word_for_each_reader():
    for thing in things().values():
        assert thing.paper, thing.key
        assert thing.home, thing.key
        assert thing.spanish, thing.key
        assert not {thing.paper, thing.home, thing.spanish} & set(refused_words()), thing.key


def test_both_languages_have_the_same_phrases():
    english, spanish = (
        yaml.load((PACKAGE / "views" / "phrases" / f"{language}.yaml").read_text("utf-8"), yaml.CSafeLoader) for language in ("en", "es")
    )
    assert list(english) == list(spanish)
    assert not {key for key, text in spanish.items() if text == english[key] and len(text) > 12 and "{" not in text}


def test_every_verdict_has_its_word():
    """Words of a plan reviewer for what a check found: common practice, no published source."""
    assert [verdict_word(word) for word in ("passes", "violated", "not judged", "does not apply")] == [
        "passes",
        "FAILS",
        "NOT CHECKED",
        "N/A",
    ]
    assert set(verdict_words()) >= {"passes", "violated", "caution", "not judged", "does not apply"}
