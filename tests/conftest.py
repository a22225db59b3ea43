"""What all tests share: programs of the operating system that some need."""

import os
import shutil

import pytest

DEBIAN_PACKAGE = {
    "chromium": "chromium",
    "pdftoppm": "poppler-utils",
    "qpdf": "qpdf",
    "soffice": "libreoffice-writer-nogui",
}


def pytest_runtest_setup(item):
    """Skip, by name, a test whose program is absent; under CI fail it, so that no skipped check passes for done."""
    for mark in item.iter_markers("needs_program"):
        for program in mark.args:
            if shutil.which(program) is None:
                message = f"needs the program {program} (Debian package {DEBIAN_PACKAGE.get(program, program)})"
                if os.environ.get("CI"):
                    pytest.fail(message, pytrace=False)
                pytest.skip(message)
