"""The repository keeps its own rules: names, sizes, section numbers, wording."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "permitgen"
MODULES = sorted(PACKAGE.rglob("*.py"))
LONGEST_MODULE = 400
FORBIDDEN_NAMES = {"utils", "helpers", "common", "misc", "base", "manager", "handler"}
SECTION = re.compile(r"\b\d{3}\.\d+")
# Nothing here depends on where it lies: no path of a machine (this checkout's own among them), no host of a package index.
ELSEWHERE = re.compile(
    rf"{re.escape(ROOT.as_posix())}\b|(?<![\w.:~<])/(?:home|root|tmp|mnt|Users)/\w|\b(?:pypi|registry)(?:\.\w+)?\.(?:org|com|io|dev)\b",
    re.IGNORECASE,
)


def _strings_outside_docstrings(tree):
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
        and isinstance(node.body[0].value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            yield node


def test_no_section_number_stands_in_python():
    """Sections live in code/provisions, one column per edition."""
    found = [
        f"{path.relative_to(ROOT)}:{node.lineno}: {node.value!r}"
        for path in MODULES
        for node in _strings_outside_docstrings(ast.parse(path.read_text("utf-8")))
        if SECTION.search(node.value)
    ]
    assert not found, "\n".join(found)


def test_modules_are_rooms_not_halls():
    long = {p.relative_to(ROOT).as_posix(): n for p in MODULES if (n := len(p.read_text("utf-8").splitlines())) > LONGEST_MODULE}
    assert not long


def test_files_are_named_for_what_a_reader_looks_for():
    assert not [p.relative_to(ROOT).as_posix() for p in MODULES if p.stem in FORBIDDEN_NAMES]


def test_nothing_names_another_place():
    found = []
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        if (
            not path.is_file()
            or parts[0] in {".git", ".venv", "dist"}
            or "__pycache__" in parts
            or (parts[0].startswith(".") and parts[0] != ".ci")
        ):
            continue
        if path.suffix not in {".py", ".md", ".yaml", ".yml", ".toml", ".html", ".css", ".js", ""} or path.stat().st_size > 400_000:
            continue
        text = path.read_text("utf-8", errors="ignore")
        found += [f"{path.relative_to(ROOT)}: {match.group()}" for match in ELSEWHERE.finditer(text)]
    assert not found


def test_no_broad_except_and_no_leftover():
    """But for the one place where a fault of the program becomes a message: the outermost call."""
    left = re.compile(r"except Exception|except BaseException|except:|NotImplementedError|TODO|FIXME|XXX")
    found = [f"{p.relative_to(ROOT)}: {m.group()}" for p in MODULES for m in left.finditer(p.read_text("utf-8"))]
    assert found == ["permitgen/cli/main.py: except Exception"]
