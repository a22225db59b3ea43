"""Documents of the package as they are drawn, without building a package."""

from permitgen.package.documents import DOCUMENTS


def files_of(opened, name):
    """Return the files of the document that ``--only NAME`` asks for."""
    return {file: content for document in DOCUMENTS if document.asked_as == name for file, content in document.draw(opened, {}).items()}
