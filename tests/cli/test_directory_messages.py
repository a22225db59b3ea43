"""A panel's directory in the project file: what a person reads when a line is odd, and at which word the message points.

Spaces count as on a panel door, odd ones left, even ones right, a breaker of two poles on one space and that below it (common practice,
no published source); 408.4(A) wants each circuit, spare and blank told.
"""

from pathlib import Path

import pytest

from permitgen.project.load import build_project
from permitgen.reading.problems import ProblemsError
from permitgen.reading.reader import read_text
from permitgen.system.panel_rows import panel_rows

SMALL_HOUSE = (Path(__file__).resolve().parent / "small_house.yaml").read_text("utf-8")
MSP = "  MSP: {catalog: panel, neutral_bond: installed, place: {description: garage wall, map: [10, 12]}}\n"
OWN = ("    overcurrent: {to_end: 2P 20 A}\n", "    overcurrent: {to_end: 2P 30 A}\n")
TWO = ("37,39  20A 2P  C1", "33,35  30A 2P  C2")


def house(*lines, more="", keep=(), change=()):
    """Return the small house with a directory; a circuit whose device the directory tells does not repeat it."""
    text = SMALL_HOUSE
    for own, line in zip(OWN, TWO, strict=True):
        if line in lines and own not in keep:
            text = text.replace(own, "")
    for old, new in change:
        assert old in text
        text = text.replace(old, new)
    assert MSP in text
    block = "".join(f"      {line}\n" for line in lines)
    return text.replace(MSP, f"  MSP:\n    catalog: panel\n    neutral_bond: installed\n{more}    directory: |\n{block}")


def system_of(*lines, **changes):
    return build_project(read_text(house(*lines, **changes), "house.yaml"), Path()).system


def problems_of(*lines, **changes):
    with pytest.raises(ProblemsError) as refused:
        system_of(*lines, **changes)
    return refused.value.problems


ODD = [
    (
        "37,39  20A 2P  C9",
        "C9",
        '"C9" says nothing here; expected the tag of a circuit or load, a name in quotes, or a word of a directory',
    ),
    ("1  20A 1P  KITCHEN", "KITCHEN", '"KITCHEN" says nothing here'),
    ('1  20A 1P  "KITCHEN"  exsting', "exsting", 'did you mean "existing"?'),
    ('1  20 1P  "KITCHEN"', "20 1P", '"20" needs a unit; write 20A for a rating, 20kA for an interrupting rating or 20P for poles'),
    ('1  20A 1P  "KITCHEN', '"KITCHEN', "the quoted name does not end"),
    ('1  20A 1P  ""', '""', "the quoted name is empty"),
    ('1  20A 30A 1P  "KITCHEN"', "30A", '"30A" is a second rating of this device'),
    ('1  20A 1P  "KITCHEN"  new, existing', "existing", '"existing" is a second state of this device'),
    ('1  20A 1P  "KITCHEN"  "RANGE"', '"RANGE"', 'a second name; "KITCHEN" is the one name of this device'),
    ("1  20A 1P", "1", "the line does not say what the device serves"),
    ('1  1P  "KITCHEN"', "1", "the line gives no rating"),
    ('1  size 1P  "KITCHEN"', "size", "only the device of a circuit of this file can be sized"),
    ('1  20A 7P  "KITCHEN"', "7P", '"7P" is not a number of poles; expected 1P to 4P'),
    ('41  20A 1P  "KITCHEN"', "41", "MSP has the spaces 1 to 40; there is no space 41"),
    ('0  20A 1P  "KITCHEN"', "0", "MSP has the spaces 1 to 40; there is no space 0"),
    ('1,2  30A 2P  "RANGE"', "1,2", '"1,2" stand beside each other or apart; the poles of a breaker stand one below the other, as 1,3'),
    ('1  30A 2P  "RANGE"', "1", "1 space for a breaker of 2 poles; expected 2 spaces"),
    ('1,3  30A 1P  "RANGE"', "1,3", "2 spaces for a breaker of 1 pole; expected 1 space"),
    ('1,3  30A ?P  "RANGE"', "?P", "2 spaces of a full-size breaker show 2 poles; leave out ?P"),
    ('1  20A half  "KITCHEN"', "half", "a half-size breaker does not show its poles by its spaces; expected 1P or 2P"),
    ('1-3  30A 2P  "RANGE"', "1-3", '"1-3" names many spaces for one device; write its own as 1,3, or blank behind a range'),
    ('1/3  30A 2P  "RANGE"', "1/3", '"1/3" is not a space; write 2, the spaces of one device as 2,4'),
    ("7-5  blank", "7-5", '"7-5" is not a range of spaces; expected the lower space first'),
    ("5  20A  blank", "20A", "a blank space holds nothing; expected the spaces and blank alone"),
    ("5  spare", "5", "the line gives no rating"),
    ('5  20A 1P spare "KITCHEN"', "spare", "a spare serves nothing"),
    ("mian  200A 2P", "mian", 'MSP has no place "mian"; did you mean "main"? (places: main, 1 to 40)'),
    ("main  200A 2P", "main", "the device is described in the hardware already (line {panel:}); write it once, here or there"),
    ("5,7  20A 2P  C1", "C1", "C1 does not land on MSP.5; it runs from PV1.A to MSP.37"),
    ("37,39  20A 2P  utility", "utility", "only a main is fed by the utility itself"),
    ('37,39  20A 2P  "SOLAR"', "37,39", "C1 lands on MSP.37; expected its tag in this line"),
    ("37,39  20A 2P  C1  C2", "C2", '"C2" after C1; one device serves one circuit'),
    ("37,39  20A 2P  C1", "37,39", "the device of C1 is written here and at the circuit (line {overcurrent:}); write it once"),
    ('5,7  30A 2P  "RANGE"  back-fed', "back-fed", "nothing that feeds lies behind MSP.5, so that it is not back-fed"),
    ("37,39  ?P 20A 2P C1", "2P", '"2P" is a second number of poles of this device'),
    ("37,39  0A 2P C1", "0A", "expected"),
    ("37,39  20A 2P 0kA C1", "0kA", "expected"),
    ("37,39  20A 2P 127V C1", "127V", "expected what the device is marked for"),
    ('5  20A 1P "OLD SPA" to be removed existing', "existing", '"existing" of a device that is to be removed; expected one of both'),
    ('5  20A 1P "OLD SPA" to be removed back-fed', "back-fed", '"back-fed" of a device that is to be removed; expected one of both'),
    ("5  20A 1P  C1 to be removed", "C1", "C1 is served by a device that is to be removed; expected its name in quotes"),
    ('5  size 1P "OLD SPA" to be removed', "size", "a device that is to be removed is not chosen; expected its rating or ?"),
    ("main  200A 2P to be removed", "to be removed", '"main" is no space; only a device in a breaker space'),
    ("5  blank to be removed", "to be removed", "a blank space holds nothing; expected the spaces and blank alone"),
    ('5,6  20A 2P "OLD SPA" to be removed', "5,6", "stand beside each other or apart"),
]


@pytest.mark.parametrize(("line", "word", "message"), ODD, ids=[line for line, _, _ in ODD])
def test_one_odd_word_one_message_at_the_word(line, word, message):
    keep = OWN if "the circuit (line" in message else ()
    text = house("# as on the door, 2026-05-04", "", line, keep=keep)
    if line.endswith(" C1") and "expected" in message:
        text = text.replace(OWN[0], "")
    with pytest.raises(ProblemsError) as refused:
        build_project(read_text(text, "house.yaml"), Path())
    [problem] = refused.value.problems
    for marker in ("panel:", "overcurrent:"):
        number = next(index for index, each in enumerate([*text.splitlines(), marker], 1) if each.strip().startswith(marker))
        message = message.replace(f"{{{marker}}}", str(number))
    written = next(each for each in text.splitlines() if each.strip() == line)
    assert problem.line == text.splitlines().index(written) + 1
    assert problem.column == len(written) - len(line) + line.index(word) + 1
    assert message in problem.message


TOGETHER = [
    (('5  20A 1P  "A"', '5  20A 1P  "B"'), "two devices in space 5; expected half or quad behind both where they share it"),
    (('5,7  20A 2P  "A"', '7  20A 1P  "B"'), "two devices in space 7"),
    (('5  20A 1P half "A"', '5  20A 1P half "B"', '5  15A 1P half "C"'), "three devices in space 5"),
    (('5  20A 1P  "A"', "4-8  blank"), "space 5 is written twice, once as taken"),
    (("rest  blank", '5  20A 1P  "A"'), "space 5 is written twice, once as blank"),
    (('5  20A 1P  "A" to be removed', '5,7  20A 2P  "B" to be removed'), "two devices in space 5"),
]


@pytest.mark.parametrize(("lines", "message"), TOGETHER, ids=[message for _, message in TOGETHER])
def test_two_lines_that_do_not_go_together(lines, message):
    [problem] = problems_of(*TWO, *lines)
    assert message in problem.message


def test_a_circuit_that_lands_on_a_blank_space_is_refused_at_its_end():
    [problem] = problems_of(TWO[0], "31-36  blank")
    assert problem.where == "circuits.C2.to"
    assert "C2 lands on MSP.33, which the directory shows as blank" in problem.message


@pytest.mark.parametrize("key", ["all_breakers_in_file: yes", "all_breakers_in_file: no", "poles_in_use: 3", "spaces_used: 4"])
def test_what_a_whole_directory_shows_is_not_typed_twice(key):
    [problem] = problems_of(*TWO, "rest  blank", more=f"    {key}\n")
    assert "the directory of MSP shows every space, which says this; leave the key out" in problem.message
    assert problem.where == f"equipment.MSP.{key.partition(':')[0]}"


def test_a_directory_that_leaves_a_space_out_cannot_show_all():
    [problem] = problems_of(*TWO, "1-32  blank", more="    all_breakers_in_file: yes\n")
    assert "the directory does not show space 34" in problem.message


@pytest.mark.parametrize(
    "change",
    [
        (OWN[0], "    overcurrent: [2P 20 A]\n"),
        ("from: PV1.A", "from: [PV1.A]"),
        ("spaces: 40", "spaces: 99999999999"),
        ("spaces: 40", "spaces: [40]"),
        ("main: 200 A", "main: [200 A]"),
        ("    catalog: panel", "    catalog: [panel]"),
        ("{kind: panelboard", "{kind: [panelboard]"),
    ],
    ids=str,
)
def test_what_else_is_odd_in_the_file_is_said_and_never_a_fault(change):
    """Each is refused by one reader or the other, at a place of the file."""
    text = house(*TWO, "main  existing", "rest blank", keep=OWN)
    assert change[0] in text
    text = text.replace(*change).replace(OWN[0], "").replace(OWN[1], "")
    with pytest.raises(ProblemsError) as refused:
        build_project(read_text(text, "house.yaml"), Path())
    assert all(each.line > 1 and each.message for each in refused.value.problems)


def test_a_directory_stands_at_its_panel_and_is_text():
    hardware = ("spaces: 40, supply_end: top}", 'spaces: 40, supply_end: top, directory: "1 blank"}')
    assert any("write it in the equipment entry" in each.message for each in problems_of(*TWO, change=[hardware]))
    text = house(*TWO).replace("directory: |", "directory:").replace("      37,39", "      - 37,39").replace("      33,35", "      - 33,35")
    with pytest.raises(ProblemsError) as refused:
        build_project(read_text(text, "house.yaml"), Path())
    assert any("expected the lines of a panel door as text" in each.message for each in refused.value.problems)


SHOWN = (
    'main          "SERVICE DISCONNECT"   utility                   existing',
    '1             20A 1P 10kA  "KITCHEN RECEPTACLES"               existing',
    '2,4           60A 2P 22kA 120/240V  "BACKUP PANEL"             new',
    '5             ?            "PORCH"                             existing   # handle worn',
    '6             20A 1P half "A", existing',
    '6             15A 1P half "B", existing',
    "8             20A spare",
    '37,39         20A 2P 10kA  C1  "SOLAR DISCONNECT"              new, back-fed, held down, not line/load marked, 100 % rated',
    "33,35         size 2P 10kA  C2",
    "rest          blank",
)


def shown():
    return system_of(*SHOWN, change=[(OWN[0], ""), (OWN[1], "")])


def test_the_words_of_a_line_are_the_facts_of_the_device():
    devices = shown().devices
    solar = devices["MSP.37"].device
    assert (solar.name, solar.poles, solar.status, solar.fastened) == ("SOLAR DISCONNECT", 2, "new", True)
    assert (solar.marked_line_and_load, solar.listed_for_100_percent, solar.interrupting_rating_ka.number) == (False, True, 10)
    assert devices["MSP.37"].circuit == "C1"
    backup = devices["MSP.2"].device
    assert (backup.rating_a.number, backup.poles, backup.marked_voltage) == (60, 2, "120/240 V")
    assert devices["MSP.main"].device.name == "SERVICE DISCONNECT"
    assert devices["MSP.33"].device.rating_a is None
    assert not devices["MSP.33"].device.is_rating_unknown


def test_a_rating_nobody_knows_is_unknown_and_not_chosen():
    worn = shown().devices["MSP.5"].device
    assert worn.rating_a is None
    assert worn.is_rating_unknown


def test_two_half_size_breakers_of_one_space_are_two_devices():
    devices = shown().devices
    assert [devices[tag].device.rating_a.number for tag in ("MSP.6", "MSP.6b")] == [20, 15]


def test_a_directory_with_every_space_shows_all_breakers():
    panel = shown().equipment["MSP"]
    assert panel.answer("all_breakers_in_file") is True
    assert panel.directory.blank[:3] == (3, 7, 9)
    assert system_of(*TWO, "1-32  blank").equipment["MSP"].answer("all_breakers_in_file") is None


def test_the_line_of_a_word_is_the_line_of_its_value():
    system = shown()
    text = house(*SHOWN, change=[(OWN[0], ""), (OWN[1], "")]).splitlines()
    rating = system.devices["MSP.37"].device.rating_a.origin
    assert text[rating.line - 1][rating.column - 1 :].startswith("20A 2P 10kA  C1")
    kitchen = system.devices["MSP.1"].device.rating_a.origin
    assert text[kitchen.line - 1][kitchen.column - 1 :].startswith("20A 1P 10kA")


def test_half_size_breakers_without_a_circuit_count_one_by_one():
    rows = [(row.tag, row.name) for row in panel_rows(shown(), "MSP") if row.spaces == (6,)]
    assert rows == [("MSP.6", "A"), ("MSP.6b", "B")]


def test_columns_of_blank_spaces():
    blank = system_of(*TWO, "6-12 even  blank", "1-5 odd  blank").equipment["MSP"].directory.blank
    assert blank == (6, 8, 10, 12, 1, 3, 5)
