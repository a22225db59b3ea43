"""``permitgen new``: starts a project from what stands on nameplates, in letters and on a tape."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from permitgen.cli.ending import end, refuse
from permitgen.cli.exit_status import BAD_INPUT, CANNOT_WRITE, DONE
from permitgen.cli.writing import write_or_exit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from permitgen.cli.asking import Asking
    from permitgen.cli.kept_answers import KeptAnswers
    from permitgen.project.starting.new_project import Given, NewProject
    from permitgen.project.starting.picked_hardware import Picked

_OPTION = "--answer"


def _list_questions(context: click.Context) -> None:
    from permitgen.project.starting.question_form import question_form

    click.echo(question_form(), nl=False)
    context.exit(DONE)


@click.command(
    help="""Start a project in DIR: ask what has to be known, and write a commented project file that builds.

Each question says why it is asked and where its answer is read; "unknown" is an answer. What somebody only claims is answered with "claim
VALUE by SPEAKER" and kept as a claim. On a terminal what is not given is asked, "back" leads to the question before, and what was answered
is kept in a file when it ends without a project; without a terminal each missing answer is one message and exit status 2. A project file
that stands in DIR is never written over. --questions prints every question as a file of answers.
"""
)
@click.argument("folder", metavar="DIR", required=False, type=click.Path(path_type=Path))
@click.option("--answer", "single", multiple=True, metavar="KEY=VALUE", help="One answer; may be given several times.")
@click.option("--answers", "file", type=click.Path(path_type=Path), metavar="FILE", help="A file of answers, one a line as key: value.")
@click.option("--hardware", "hardware_files", multiple=True, metavar="FILE|FOLDER", help="Hardware, as the file in DIR is to name it.")
@click.option("--use", "uses", multiple=True, metavar="THING=ENTRY", help="Take this entry for a thing of the file; it is not asked for.")
@click.option("--like", type=click.Path(path_type=Path), metavar="PROJECT", help="Start from a finished job, without what was read there.")
@click.option("--all", "everything", is_flag=True, help="Ask on the terminal what few verdicts wait for, too.")
@click.option(
    "--questions",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=lambda context, _, asked: _list_questions(context) if asked else None,
    help="Print the questions as a file of answers to fill in, and write nothing.",
)
def new(
    folder: Path | None,
    single: tuple[str, ...],
    file: Path | None,
    hardware_files: tuple[str, ...],
    uses: tuple[str, ...],
    like: Path | None,
    everything: bool,  # noqa: FBT001 - the options' values
) -> None:
    from permitgen.cli.kept_answers import KeptAnswers
    from permitgen.project.starting.new_project import AnswersError, project_of
    from permitgen.reading.problems import ProblemsError

    if folder is None:
        raise click.UsageError("Missing argument 'DIR'.")
    _refuse_what_is_there(folder)
    try:
        given = _given(single, file)
        if like is not None:
            if hardware_files or uses or everything:
                raise click.UsageError("--like takes the hardware of that job; leave out --hardware, --use and --all")
            _duplicate(like, folder, given)
            return
        picked = _picked(folder, hardware_files, uses)
        if _is_on_terminal():
            made = _made_on_terminal(given, folder, picked, KeptAnswers(folder, file), everything=everything)
        else:
            made = project_of(given, _offered(picked), folder, picked)
            _write(folder, made)
    except ProblemsError as error:
        refuse(error)
    except AnswersError as error:
        end("\n".join(error.messages), BAD_INPUT)
    click.echo("\n".join((_summary(folder, made), *_close(folder))))


def _duplicate(like: Path, folder: Path, given: Mapping[str, Given]) -> None:
    """Write a project like another; of the answers it takes job and address.

    Raises:
        ProblemsError: the other project cannot be read, or no copy of it builds.
        AnswersError: no job is named, or something else is answered.
    """
    from permitgen.project.starting.drafting import Branch
    from permitgen.project.starting.duplicate import project_like
    from permitgen.project.starting.new_project import AnswersError, NewProject

    wrong = [each.message(key, "is not asked with --like; change it in the new file") for key, each in given.items() if key not in _LIKE]
    name, address = (str(given[key].value).strip() if key in given else "" for key in _LIKE)
    if not name:
        wrong.append("job: What is the new job called? answer with --answer job=…")
    if wrong:
        raise AnswersError(wrong)
    text, copies = project_like(like, folder, name, address)
    _write(folder, NewProject(text, Branch()))
    for each, content in copies.items():
        (folder / each).parent.mkdir(parents=True, exist_ok=True)
        write_or_exit(folder / each, content, is_new=True)
    click.echo(f"{folder / 'project.yaml'}: like {like}, without what was read there")
    for each in copies:
        click.echo(f"{folder / each}")
    click.echo("\n".join(("next:", f"  permitgen check {folder}", *_close(folder))))


_LIKE = ("job", "address")


def _refuse_what_is_there(folder: Path) -> None:
    from permitgen.project.load import PROJECT_FILE_NAME

    path = folder / PROJECT_FILE_NAME
    if folder.exists() and not folder.is_dir():
        end(f"{folder}: is no folder; name one that is new or holds no project file", BAD_INPUT)
    if path.exists() or path.is_symlink():
        end(f"{path}: is there already and stays as it is; name another folder", BAD_INPUT)


def _given(single: tuple[str, ...], file: Path | None) -> dict[str, Given]:
    """Return the answers of the file, and over them those of the command line.

    Raises:
        ProblemsError: a file that cannot be read.
        AnswersError: an option that is no answer.
    """
    from permitgen.project.starting.answers import typed
    from permitgen.project.starting.new_project import AnswersError, Given
    from permitgen.reading.problems import quoted
    from permitgen.reading.reader import read_yaml_file

    given = {}
    if file is not None:
        read = read_yaml_file(file)
        for key, value in read.data.items():
            line, column = read.position((key,))
            given[key] = Given("" if value is None else value, f"{read.file}:{line}:{column}")
    for each in single:
        key, sign, value = (part.strip() for part in each.partition("="))
        if not sign or not key:
            raise AnswersError([f"{_OPTION}: {quoted(each)} is no answer; expected KEY=VALUE, as edition=2023"])
        given[key] = Given(typed(value, f"{_OPTION} {key}"), _OPTION)
    return given


def _picked(folder: Path, files: tuple[str, ...], uses: tuple[str, ...]) -> Picked:
    from permitgen.project.starting.new_project import AnswersError
    from permitgen.project.starting.picked_hardware import PickError, picked_hardware
    from permitgen.reading.problems import quoted

    told = [each.partition("=") for each in uses]
    if wrong := [quoted(each) for each, (_, sign, _) in zip(uses, told, strict=True) if not sign]:
        raise AnswersError([f"--use: {each} is no pick; expected THING=ENTRY, as module=module-405" for each in wrong])
    try:
        return picked_hardware(folder, files, {thing.strip(): entry.strip() for thing, _, entry in told})
    except PickError as error:
        raise AnswersError([f"{'--use' if files else '--hardware'}: {error}"]) from error


def _offered(picked: Picked) -> dict[str, Given]:
    from permitgen.project.starting.new_project import Given

    return {key: Given(value, where) for key, value, where in picked.offers()}


def _made_on_terminal(given: Mapping[str, Given], folder: Path, picked: Picked, kept: KeptAnswers, *, everything: bool) -> NewProject:
    """Ask, and write the project file; what was typed is kept until that is done, however it ends."""
    from permitgen.cli.asking import Asking
    from permitgen.project.starting.new_project import AnswersError, unreadable

    offered = _offered(picked)
    if wrong := unreadable(given):
        raise AnswersError(wrong)
    try:
        made = _made_of_typed(Asking(given, offered, kept, everything=everything), offered, folder, picked)
        _write(folder, made)
        kept.forget()
    finally:
        kept.tell()
    return made


def _made_of_typed(asking: Asking, offered: Mapping[str, Given], folder: Path, picked: Picked) -> NewProject:
    """Return the project of all answers; one that the file as a whole refuses is asked for again where it was typed."""
    from permitgen.project.starting.new_project import AnswersError, project_of

    while True:
        try:
            return project_of(asking.ask(), offered, folder, picked)
        except AnswersError as error:
            if not asking.ask_again(error.keys):
                raise
            click.echo("\n".join(("", *error.messages)), err=True)


def _write(folder: Path, made: NewProject) -> None:
    from permitgen.project.load import PROJECT_FILE_NAME
    from permitgen.project.schema import project_schema
    from permitgen.project.starting.file_text import SCHEMA_FILE

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        end(f"{folder}: {error.strerror or error}", CANNOT_WRITE)
    write_or_exit(folder / PROJECT_FILE_NAME, made.text.encode(), is_new=True)
    if not (folder / SCHEMA_FILE).exists():
        write_or_exit(folder / SCHEMA_FILE, json.dumps(project_schema(), ensure_ascii=False).encode(), is_new=True)


def _summary(folder: Path, made: NewProject) -> str:
    from permitgen.project.load import PROJECT_FILE_NAME
    from permitgen.project.starting.drafting import Mark
    from permitgen.project.starting.file_text import SCHEMA_FILE

    counts, path = made.counts, folder / PROJECT_FILE_NAME
    lines = [
        f"{path}: {counts[Mark.STATED]} values stated, {counts[Mark.OPEN]} open, {counts[Mark.TYPICAL]} names typical",
        f"{folder / SCHEMA_FILE}: for editors, which complete and explain the keys with it",
    ]
    if made.not_asked:
        lines.append(click.wrap_text(f"not asked of this house: {_not_asked(made)}", 120, "", "    "))
    for knows, things in made.open_by_who_knows.items():
        told = "; ".join(f"{thing}: {', '.join(keys)}" for thing, keys in things.items())
        lines.append(click.wrap_text(f"open, {knows}: {told}", 120, "", "    "))
    lines += ["next:", f"  permitgen check {folder}", f"  permitgen build {folder}"]
    return "\n".join(lines)


def _not_asked(made: NewProject) -> str:
    kept = [each.key for each in made.not_asked if each.is_in_the_file]
    unused = [f"{each.key} ({each.why})" for each in made.not_asked if not each.is_in_the_file]
    told = [f"kept in the file: {', '.join(kept)}"] if kept else []
    return "; ".join([*told, *([f"not used, and only a remark at the end of the file: {', '.join(unused)}"] if unused else [])])


def _close(folder: Path) -> list[str]:
    """Say which verdicts of the new file stand close to their limit, and the typed values to look at once more."""
    from permitgen.package.close_verdicts import close_verdicts
    from permitgen.package.opened_project import open_project
    from permitgen.reading.problems import ProblemsError

    try:
        opened = open_project(folder)
    except ProblemsError:  # of what lay in the folder before; the file is written, and the next command says what is wrong
        return []
    found = close_verdicts(opened.loaded, opened.evaluation)
    return [*(["close to a limit; look once more at what these hang on:"] if found else []), *(f"  {each}" for each in found)]


def _is_on_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()
