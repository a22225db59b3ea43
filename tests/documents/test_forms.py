"""Forms are filled as they were handed out: what is named is written and seen in two viewers, what is not named is untouched.

What a field is (flags, states, inheritance) is that of ISO 32000-2, 12.7, and ISO/IEC 29500-1, 17.5 and 17.16; written here from memory.
"""

import io
import re
import shutil
import subprocess
import zipfile
from pathlib import Path

import pypdfium2
import pytest
from lxml import etree
from PIL import Image
from pypdf import PdfReader

from permitgen.documents.forms.form import Answers, FormFaultsError, FormRefusedError, Placed
from permitgen.documents.forms.form_file import filled_form, form_of
from permitgen.documents.forms.start_mapping import start_mapping
from permitgen.package.form_job import filled_forms
from permitgen.package.opened_project import open_project
from permitgen.project.form_mapping import read_form_mapping
from permitgen.reading.problems import ProblemsError
from permitgen.views.form_values import documented_values, values_by_name
from tests.documents import made_forms

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_project"
ANSWERS = {
    "owner": "Ida Wrenfield",
    "permit": "2026-0142",
    "work": "Roof solar on microinverters, two battery units and a generator for the whole house of the family",
    "solar": True,
    "ticked": False,
    "standing": "revised",
    "dwelling": "Two family",
}
# Where each field lies on the page, points from the left and the bottom.
BOXES = {
    "owner": (72, 700, 200, 20),
    "permit": (72, 660, 180, 20),
    "work": (72, 580, 300, 60),
    "solar": (72, 500, 14, 14),
    "dwelling": (72, 420, 150, 20),
}


def _values(content):
    return {name: str(field.get("/V")) for name, field in PdfReader(io.BytesIO(content)).get_fields().items()}


def _ink(picture, box):
    """Share of dark points inside a box of points, its border left out."""
    scale = picture.height / 792
    x, y, width, height = box
    inner = (round((x + 2) * scale), round((792 - y - height + 2) * scale), round((x + width - 2) * scale), round((792 - y - 2) * scale))
    part = picture.convert("L").crop(inner)
    dark = sum(part.histogram()[:100])
    return dark / (part.width * part.height)


def _by_pdfium(content):
    document = pypdfium2.PdfDocument(content)
    document.init_forms()
    return document[0].render(scale=2, may_draw_forms=True).to_pil()


def _by_poppler(content, folder):
    (folder / "form.pdf").write_bytes(content)
    subprocess.run(["pdftoppm", "-r", "144", "-png", "-f", "1", "-l", "1", "form.pdf", "page"], cwd=folder, check=True)
    return Image.open(next(folder.glob("page*.png"))).convert("L")


@pytest.mark.needs_program("pdftoppm")
@pytest.mark.parametrize("make", [made_forms.plain_form, made_forms.without_looks, made_forms.with_need_appearances])
def test_every_viewer_shows_what_was_filled(make, tmp_path):
    content = filled_form(make(), Answers(ANSWERS))
    empty = make()
    for picture, before in ((_by_pdfium(content), _by_pdfium(empty)), (_by_poppler(content, tmp_path), _by_poppler(empty, tmp_path))):
        for name, box in BOXES.items():
            assert _ink(picture, box) > _ink(before, box) + 0.004, (make.__name__, name)


def test_values_are_written_and_nothing_else_is_touched():
    before = made_forms.plain_form()
    after = filled_form(before, Answers(ANSWERS))
    values = _values(after)
    assert values["owner"] == "Ida Wrenfield"
    assert (values["solar"], values["ticked"], values["standing"], values["dwelling"]) == ("/Yes", "/Off", "/revised", "Two family")
    assert values["untouched"] == "as it was"
    own = {name: PdfReader(io.BytesIO(content)).get_fields()["untouched"] for name, content in (("before", before), ("after", after))}
    assert str(own["before"]) == str(own["after"])
    assert filled_form(before, Answers(ANSWERS)) == after


def test_of_radio_buttons_one_is_on():
    reader = PdfReader(io.BytesIO(filled_form(made_forms.plain_form(), Answers({"standing": "first"}))))
    field = next(each.get_object() for each in reader.trailer["/Root"]["/AcroForm"]["/Fields"] if each.get_object().get("/T") == "standing")
    assert [str(kid.get_object()["/AS"]) for kid in field["/Kids"]] == ["/first", "/Off"]


def test_nested_names_are_joined_by_points():
    content = made_forms.nested()
    names = [field.name for field in form_of(content).fields]
    assert {"applicant.owner", "applicant.contact.permit"} <= set(names)
    after = filled_form(content, Answers({"applicant.owner": "Ida Wrenfield", "applicant.contact.permit": "2026-0142"}))
    assert _values(after)["applicant.owner"] == "Ida Wrenfield"
    assert _ink(_by_pdfium(after), BOXES["owner"]) > _ink(_by_pdfium(content), BOXES["owner"]) + 0.004


def test_a_comb_has_one_sign_to_a_cell():
    """Nine cells of 20 pt: the middle of each sign lies in its own."""
    page = pypdfium2.PdfDocument(_flattened(filled_form(made_forms.plain_form(), Answers({"permit": "2026-0142"}))))[0].get_textpage()
    text = page.get_text_range()
    start = text.index("2")
    signs = [(text[n], page.get_charbox(n)) for n in range(start, len(text)) if text[n].strip()][:9]
    assert "".join(sign for sign, _ in signs) == "2026-0142"
    for number, (_, (left, _bottom, right, _top)) in enumerate(signs):
        assert 72 + 20 * number < (left + right) / 2 < 72 + 20 * (number + 1)


def _flattened(content):
    """The form with its looks drawn into the page, as a printer does it."""
    document = pypdfium2.PdfDocument(content)
    document.init_forms()
    page = document[0]
    pypdfium2.raw.FPDFPage_Flatten(page, 1)
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"short": "12345"}, '"12345" has 5 characters; the field takes 4'),
        ({"permit": "2026-01420"}, "has 10 characters; the field takes 9"),
        ({"owner": "A name that goes on and on " * 3}, "the field has 2.7 in"),
        ({"ownr": "x"}, 'the form has no field "ownr"; did you mean "owner"?'),
        ({"dwelling": "Two famly"}, 'did you mean "Two family"?'),
        ({"standing": "third"}, "none of its choices: first, revised"),
        ({"kept": "x"}, "its maker keeps it as it is"),
        ({"solar": "yes"}, "of the kind check box, which takes a tick"),
        ({"owner": True}, "of the kind text, which takes a text"),
    ],
)
def test_what_a_field_does_not_take_is_said(answers, said):
    with pytest.raises(FormFaultsError) as refused:
        filled_form(made_forms.plain_form(), Answers(answers))
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (made_forms.signed, "is signed"),
        (made_forms.encrypted, "is encrypted"),
        (made_forms.with_xfa, "XFA"),
        (lambda: b"%PDF-1.7 nothing", "is not a PDF that can be read"),
        (lambda: b"GIF89a", "neither a PDF nor a Word file"),
        (lambda: b"PK\x03\x04 nothing", "cannot be used"),
        (made_forms.signed_word, "is signed"),
    ],
)
def test_a_form_that_would_break_is_refused(make, said):
    content = make()
    with pytest.raises(FormRefusedError, match=re.escape(said)):
        form_of(content)
    with pytest.raises(FormRefusedError, match=re.escape(said)):
        filled_form(content, Answers({}))


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_text_stands_where_the_ruler_says(turn):
    """2 in from the left and 3 in from the top of the page as it is seen, to a fiftieth of an inch, on a turned page too."""
    content = filled_form(made_forms.flat(turn), Answers({}, (Placed(2, 2.0, 3.0, "HERE"), Placed(2, 2.0, 5.0, said=True, size_pt=20))))
    page = pypdfium2.PdfDocument(content)[1]
    picture = page.render(scale=4, crop=(0, 0, 0, 0)).to_pil().convert("L")
    per_inch = 4 * 72
    part = picture.crop((round(1.9 * per_inch), round(2.7 * per_inch), round(4 * per_inch), round(3.1 * per_inch)))
    left, _top, _right, bottom = Image.eval(part, lambda value: 255 - value).point(lambda value: 255 * (value > 100)).getbbox()
    assert left / per_inch + 1.9 == pytest.approx(2.0, abs=0.02)
    assert bottom / per_inch + 2.7 == pytest.approx(3.0, abs=0.02)
    assert "HERE" in page.get_textpage().get_text_range()


@pytest.mark.parametrize(
    ("place", "said"),
    [
        (Placed(3, 1, 1, "x"), "the form has no page 3"),
        (Placed(1, 9, 1, "x"), "lies off the page, which is 8.5 by 11 in"),
        (Placed(1, 1, 1, "a long text", width_in=0.3), "the place has 0.30 in"),
        (Placed(1, 8, 1, "a long text"), "the place has 0.50 in"),
    ],
)
def test_a_place_that_does_not_hold_its_text_is_said(place, said):
    with pytest.raises(FormFaultsError) as refused:
        filled_form(made_forms.flat(), Answers({}, (place,)))
    assert said in str(refused.value)


WORD = {"customer": "Ida Wrenfield", "solar": True, "dwelling": "Two family", "permit": "2026-0142", "storage": True, "kind": "change"}


def _word_text(content, part="word/document.xml"):
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        root = etree.fromstring(archive.read(part))
    return "\n".join("".join(p.itertext("{*}t")) for p in root.iter("{*}p"))


def test_a_word_form_is_filled_and_the_rest_is_untouched():
    before = made_forms.word()
    after = filled_form(before, Answers(WORD))
    text = _word_text(after)
    assert "Ida Wrenfield" in text
    assert "Click here" not in text
    assert "Ida Wrenfield" in _word_text(after, "word/header1.xml")
    assert {"\u2612", "Two family", "2026-0142", "change", "as it was …", "Do not touch …"} <= set(text.splitlines())
    with zipfile.ZipFile(io.BytesIO(after)) as archive:
        xml = archive.read("word/document.xml").decode()
    assert re.search(r'w14:checked w14:val="1"', xml)
    assert re.search(r"<w:checkBox>.*<w:checked w:val=\"1\"/>", xml)
    assert re.search(r"<w:ddList><w:result w:val=\"1\"/>", xml)
    assert filled_form(before, Answers(WORD)) == after


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({"permit": "2026-01420"}, "the field takes 9"),
        ({"dwelling": "Castle"}, "none of its choices: Single family, Two family"),
        ({"Kept": "x"}, "its maker keeps it"),
        ({"custmer": "x"}, 'did you mean "customer"?'),
        ({"solar": "x"}, "takes a tick"),
    ],
)
def test_what_a_word_field_does_not_take_is_said(answers, said):
    with pytest.raises(FormFaultsError) as refused:
        filled_form(made_forms.word(), Answers(answers))
    assert said in str(refused.value)


@pytest.mark.nightly
@pytest.mark.needs_program("soffice")
def test_a_word_processor_shows_what_was_filled(tmp_path):
    (tmp_path / "form.docx").write_bytes(filled_form(made_forms.word(), Answers(WORD, band="NOT FOR PERMIT: shut")))
    command = [
        shutil.which("soffice"),
        "--headless",
        "--convert-to",
        "pdf",
        f"-env:UserInstallation=file://{tmp_path}/profile",
        "form.docx",
    ]
    subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
    text = pypdfium2.PdfDocument((tmp_path / "form.pdf").read_bytes())[0].get_textpage().get_text_range()
    assert text.count("Ida Wrenfield") == 2
    assert all(words in text for words in ("2026-0142", "Two family", "change", "NOT FOR PERMIT"))


@pytest.mark.parametrize("make", [made_forms.plain_form, made_forms.nested, made_forms.flat, made_forms.word])
def test_a_mapping_to_start_from_reads_and_changes_nothing(make):
    form = form_of(make())
    mapping = read_form_mapping(start_mapping(form, "form").encode(), "form.yaml")
    assert mapping.left == tuple(field.name for field in form.fields)
    assert not mapping.fields


MAPPING = """\
fields:
  owner: people.owner.name
  permit: project.permit_number
  solar: {tick: has.photovoltaic}
  standing: {value: site.dwelling, as: {one-family: first}}
  work: {text: "as drawn"}
  untouched: leave
"""
PLACE = "places:\n  - {left: 1 in, top: 2 in, value: site.address}\n"


@pytest.fixture
def mapped(tmp_path):
    """Return a function that opens a small house with a form and a mapping, and fills it."""

    def of(mapping, *edits):
        text = (ROOT / "tests" / "cli" / "small_house.yaml").read_text("utf-8")
        people = "project:\n  permit_number: 2026-0142\n  people: [{role: owner, name: Ida Wrenfield}]\n"
        for old, new in (("project:\n", people), *edits):
            assert text.count(old) == 1
            text = text.replace(old, new)
        (tmp_path / "project.yaml").write_text(text + "forms: [{file: a.pdf, mapping: a.yaml}]\n", "utf-8")
        (tmp_path / "a.pdf").write_bytes(made_forms.plain_form())
        (tmp_path / "a.yaml").write_text(mapping, "utf-8")
        return filled_forms(open_project(tmp_path))

    return of


def test_a_project_fills_its_forms(mapped):
    values = _values(mapped(MAPPING)["forms/a.pdf"])
    assert (values["owner"], values["permit"], values["standing"], values["work"]) == ("Ida Wrenfield", "2026-0142", "/first", "as drawn")
    assert values["untouched"] == "as it was"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("people.owner.name", "people.owner.nmae", 'a.yaml:2:10: fields.owner: there is no value "people.owner.nmae"; did you mean'),
        ("people.owner.name", "people.owner.phone", "a.yaml:2:10: fields.owner: the project does not state people.owner.phone"),
        ("  owner:", "  ownr:", 'a.yaml:2:9: fields.ownr: the form has no field "ownr"; did you mean "owner"?'),
        ("as: {one-family", "as: {two-family", 'a.yaml:5:21: fields.standing.value: site.dwelling is "one-family"'),
        ("{tick: has.photovoltaic}", "{tick: site.dwelling}", "neither yes nor no"),
        ("{tick: has.photovoltaic}", "{tik: yes}", 'no key is called "tik"; did you mean "tick"?'),
        ("fields:", "feilds:", 'no key is called "feilds"; did you mean "fields"?'),
        ('{text: "as drawn"}', "", "a.yaml:6:3: fields.work: no value"),
        (
            "  owner: people",
            "  short: site.dwelling\n  owner: people",
            'a.yaml:2:10: fields.short: "one-family" has 10 characters; the field takes 4',
        ),
        ('work: {text: "as drawn"}', 'work: {text: "\U0001f3e0"}', "a.yaml:6:16: fields.work.text"),
    ],
)
def test_a_mistake_of_a_mapping_has_its_place(mapped, old, new, said):
    assert MAPPING.count(old) == 1
    with pytest.raises(ProblemsError) as refused:
        mapped(MAPPING.replace(old, new))
    assert said in str(refused.value)


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ("{left: 1 in, value: site.dwelling}", "a.yaml:2:5: places[1]: the place has no top"),
        ("{left: 1, top: 2 in, value: site.dwelling}", "a.yaml:2:12: places[1].left"),
        ("{left: 1 in, top: 2 in, size: 10, value: site.dwelling}", "a size of letters from 5 to 36 pt was expected"),
        ("{left: 1 in, top: 2 in, value: site.address}", "the project does not state site.address"),
        ("{left: 1 in, top: 2 in}", "one of value, text, tick was expected"),
        ("{page: 4, left: 1 in, top: 2 in, value: site.dwelling}", "the form has no page 4"),
    ],
)
def test_a_mistake_of_a_place_has_its_place(mapped, place, said):
    with pytest.raises(ProblemsError) as refused:
        mapped(f"places:\n  - {place}\n")
    assert said in str(refused.value)


def test_a_missing_value_may_leave_a_field_empty_where_it_says_so(mapped):
    values = _values(mapped("fields:\n  owner: {value: people.owner.phone, if_missing: leave empty}\n")["forms/a.pdf"])
    assert values["owner"] == ""


def test_forms_of_a_shut_gate_say_so(mapped):
    """Copper of 14 AWG behind a 30 A device is violated (240.4(D)(3): 15 A); with the house as it is FOR PERMIT is judged by itself."""
    wrong = ("conductors: {size: 10 AWG,", "conductors: {size: 14 AWG,")
    text = pypdfium2.PdfDocument(mapped("fields: {}\n", wrong)["forms/a.pdf"])[0].get_textpage().get_text_range()
    assert re.search(r"NOT FOR PERMIT: shut, \d+ FAILS", text)


def test_a_form_for_an_open_gate_has_no_band(demo_package):
    text = pypdfium2.PdfDocument(demo_package["forms/permit_application.pdf"])[0].get_textpage().get_text_range()
    assert "FOR PERMIT" not in text


FAMILIES = ("people", "equipment", "circuit", "check")


def test_every_value_is_there_documented_and_named_in_the_guide(demo):
    values = values_by_name(demo.evaluation)
    guide = (ROOT / "docs" / "forms.md").read_text("utf-8")
    for value in documented_values():
        head, _, rest = value.name.partition(".")
        pattern = rf"{head}\..+\.{rest.partition('.')[2]}" if head in FAMILIES else re.escape(value.name)
        assert any(re.fullmatch(pattern, name) for name in values), value.name
        assert f"`{value.name}`" in guide, value.name
    for name, give in values.items():
        given = give()
        assert given is None or isinstance(given, bool) or (given and "\u00a0" not in given), name


def test_the_demo_fills_two_forms_and_keeps_them_out_of_the_record(demo_package):
    assert {"forms/permit_application.pdf", "forms/interconnection_cover.pdf"} <= set(demo_package)
    assert _values(demo_package["forms/permit_application.pdf"])["owner_phone"] == "555-0117"
    for name, content in demo_package.items():
        if name.startswith("record/"):
            assert b"permit_application" not in content, name
            assert b"555-0117" not in content, name


def test_the_demo_forms_are_what_their_script_makes():
    import importlib.util

    spec = importlib.util.spec_from_file_location("make_demo_forms", ROOT / "docs" / "make_demo_forms.py")
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    assert (DEMO / "forms" / "permit_application.pdf").read_bytes() == made.application()
    assert (DEMO / "forms" / "interconnection_cover.pdf").read_bytes() == made.cover()
