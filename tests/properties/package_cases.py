"""Packages old and new, what a user has in one, and what lies beside it: for tests that write them, and the processes these start."""

import hashlib
import json

from permitgen.package.folder import write_folder


def package(**files):
    """Files of a package whose names have ``__`` for ``/``, with the manifest that names them."""
    contents = {name.replace("__", "/").replace("_txt", ".txt"): text.encode() for name, text in files.items()}
    outputs = [{"path": name, "sha256": hashlib.sha256(content).hexdigest()} for name, content in contents.items()]
    manifest = {"program": "permitgen", "fingerprint": hashlib.sha256(repr(files).encode()).hexdigest(), "outputs": outputs}
    return {**contents, "manifest.json": json.dumps(manifest).encode()}


OLD = package(a_txt="old a", sub__b_txt="old b", sub__gone_txt="old only", edited_txt="as built")
NEW = package(a_txt="new a", sub__b_txt="new b", more__c_txt="new c", edited_txt="new")
THIRD = package(a_txt="third")
EDITED = b"edited by the user"
KEPT = f"edited.kept-{hashlib.sha256(EDITED).hexdigest()[:8]}.txt"
USERS = {"notes.txt": b"mine", ".git/HEAD": b"ref", ".git/objects/ab/cd": b"blob", "sub/photo.jpg": b"photo"}


def tree(folder):
    """Every file below a folder with its content, links as where they lead."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_symlink():
            found[path.relative_to(folder).as_posix()] = f"-> {path.readlink()}".encode()
        elif path.is_file():
            found[path.relative_to(folder).as_posix()] = path.read_bytes()
    return found


def with_stranger_in_it(parent):
    """A package with everything in it that a user may have, and beside it what may look like ours and is not."""
    folder = parent / "package"
    write_folder(folder, OLD)
    for name, content in USERS.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    (folder / "edited.txt").write_bytes(EDITED)
    (folder / "link").symlink_to("nowhere")
    (folder / "empty folder").mkdir()
    for name in (".package.new", ".package.old", ".permitgen-0123456789ab", "package.old"):
        (parent / name).mkdir()
        (parent / name / "manifest.json").write_bytes(b"{}")
    return folder


BESIDE = {".package.new", ".package.old", ".permitgen-0123456789ab", "package.old"}
USERS_AFTER = {**USERS, "link": b"-> nowhere", KEPT: EDITED}
