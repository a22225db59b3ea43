"""Invented forms of every kind that departments hand out, made here: fields of all kinds, nested, without looks, signed, flat, Word."""

import io
import zipfile

from docx import Document
from docx.oxml import parse_xml
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, BooleanObject, DictionaryObject, NameObject, NumberObject, TextStringObject
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
W14 = 'xmlns:w14="http://schemas.microsoft.com/office/word/2010/wordml"'


def plain_form():
    """Text, comb, a short one, several lines, boxes, radio buttons, a list, one that is kept, as reportlab makes them."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=letter, invariant=1)
    canvas.drawString(72, 750, "INVENTED FORM")
    form = canvas.acroForm
    form.textfield(name="owner", x=72, y=700, width=200, height=20)
    form.textfield(name="permit", x=72, y=660, width=180, height=20, maxlen=9, fieldFlags="comb")
    form.textfield(name="short", x=300, y=660, width=100, height=20, maxlen=4)
    form.textfield(name="work", x=72, y=580, width=300, height=60, maxlen=500, fieldFlags="multiline")
    form.textfield(name="untouched", x=72, y=540, width=200, height=20, value="as it was")
    form.textfield(name="kept", x=300, y=540, width=100, height=20, fieldFlags="readOnly")
    form.checkbox(name="solar", x=72, y=500, size=14)
    form.checkbox(name="ticked", x=172, y=500, size=14, checked=True)
    for number, value in enumerate(("first", "revised")):
        form.radio(name="standing", value=value, x=72 + 40 * number, y=460, size=14)
    form.choice(name="dwelling", value="pick", options=["pick", "Single family", "Two family"], x=72, y=420, width=150, height=20)
    canvas.save()
    return buffer.getvalue()


def changed(content, change):
    """The same PDF after ``change`` of its writer."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(content)))
    change(writer)
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()


def field_of(writer, name):
    """The dictionary of a field at the top of the form."""
    fields = (each.get_object() for each in writer.root_object["/AcroForm"].get_object()["/Fields"])
    return next(field for field in fields if field.get("/T") == name)


def without_looks():
    """No field has an appearance stream, and viewers are not told to make them; the radio buttons are named by the list above them."""

    def change(writer):
        acroform = writer.root_object["/AcroForm"].get_object()
        acroform.pop("/NeedAppearances", None)
        for each in acroform["/Fields"]:
            field = each.get_object()
            for widget in [field, *(kid.get_object() for kid in field.get("/Kids", ()))]:
                widget.pop("/AP", None)
        field_of(writer, "standing")[NameObject("/Opt")] = ArrayObject([TextStringObject("first"), TextStringObject("revised")])

    return changed(plain_form(), change)


def nested():
    """``applicant.owner`` and ``applicant.contact.permit``: fields below fields, which keep their flags above."""

    def change(writer):
        acroform = writer.root_object["/AcroForm"].get_object()
        refs = {each.get_object().get("/T"): each for each in acroform["/Fields"]}
        contact = writer._add_object(
            DictionaryObject({NameObject("/T"): TextStringObject("contact"), NameObject("/Kids"): ArrayObject([refs["permit"]])})
        )
        top = writer._add_object(
            DictionaryObject(
                {
                    NameObject("/T"): TextStringObject("applicant"),
                    NameObject("/FT"): NameObject("/Tx"),
                    NameObject("/Kids"): ArrayObject([refs["owner"], contact]),
                }
            )
        )
        refs["owner"].get_object().pop("/FT")  # it has it from above
        for child, parent in ((refs["owner"], top), (contact, top), (refs["permit"], contact)):
            child.get_object()[NameObject("/Parent")] = parent
        left = [each for name, each in refs.items() if name not in ("owner", "permit")]
        acroform[NameObject("/Fields")] = ArrayObject([top, *left])

    return changed(plain_form(), change)


def signed():
    """A form in whose signature field somebody signed."""

    def change(writer):
        field = field_of(writer, "short")
        field[NameObject("/FT")] = NameObject("/Sig")
        field[NameObject("/V")] = DictionaryObject(
            {NameObject("/Type"): NameObject("/Sig"), NameObject("/Contents"): TextStringObject("00")}
        )

    return changed(plain_form(), change)


def with_xfa():
    """A form that keeps a second one beside its fields."""
    return changed(
        plain_form(), lambda writer: writer.root_object["/AcroForm"].get_object().update({NameObject("/XFA"): TextStringObject("x")})
    )


def with_need_appearances():
    """A form that tells viewers to make all looks anew."""

    def change(writer):
        writer.root_object["/AcroForm"].get_object()[NameObject("/NeedAppearances")] = BooleanObject(True)  # noqa: FBT003

    return changed(plain_form(), change)


def encrypted():
    """A form with a password."""
    return changed(plain_form(), lambda writer: writer.encrypt("secret", algorithm="RC4-128"))


def flat(turn=0):
    """Two pages without fields, the second kept turned."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, pagesize=letter, invariant=1)
    for words in ("CUSTOMER", "SECOND PAGE"):
        canvas.drawString(72, 720, words)
        canvas.showPage()
    canvas.save()

    def change(writer):
        if turn:
            writer.pages[1][NameObject("/Rotate")] = NumberObject(turn)

    return changed(buffer.getvalue(), change)


def _control(about, shown, tag="w:p"):
    inner = f"<w:r><w:rPr><w:rStyle w:val='PlaceholderText'/></w:rPr><w:t>{shown}</w:t></w:r><w:r><w:t> …</w:t></w:r>"
    body = f"<w:p>{inner}</w:p>" if tag == "w:p" else inner
    return parse_xml(f"<w:sdt {W} {W14}><w:sdtPr>{about}</w:sdtPr><w:sdtContent>{body}</w:sdtContent></w:sdt>")


def _older(name, what, shown):
    data = f"<w:ffData><w:name w:val='{name}'/><w:enabled/>{what}</w:ffData>"
    runs = f"<w:r><w:fldChar w:fldCharType='begin'>{data}</w:fldChar></w:r><w:r><w:instrText>FORM</w:instrText></w:r>"
    runs += (
        "<w:r><w:fldChar w:fldCharType='separate'/></w:r>"
        + f"<w:r><w:t>{shown}</w:t></w:r>"
        + "<w:r><w:fldChar w:fldCharType='end'/></w:r>"
    )
    return parse_xml(f"<w:p {W}>{runs}</w:p>")


def word():
    """Content controls in body and header, and older form fields."""
    document = Document()
    document.core_properties.author = "Nobody"
    document.add_paragraph("Request to connect")
    body = document.element.body
    for element in (
        _control("<w:tag w:val='customer'/><w:showingPlcHdr/><w:text/>", "Click here"),
        _control("<w:alias w:val='Kept'/><w:lock w:val='contentLocked'/><w:text/>", "Do not touch"),
        _control("<w:tag w:val='untouched'/><w:text/>", "as it was"),
        _control(
            "<w:tag w:val='solar'/><w14:checkbox><w14:checked w14:val='0'/><w14:checkedState w14:val='2612'/></w14:checkbox>", "\u2610"
        ),
        _control(
            "<w:tag w:val='dwelling'/><w:dropDownList><w:listItem w:displayText='Single family' w:value='SF'/>"
            "<w:listItem w:displayText='Two family' w:value='TF'/></w:dropDownList>",
            "Pick one",
        ),
        _older("permit", "<w:textInput><w:maxLength w:val='9'/></w:textInput>", "\u2002"),
        _older("storage", "<w:checkBox><w:sizeAuto/><w:default w:val='0'/></w:checkBox>", ""),
        _older("kind", "<w:ddList><w:listEntry w:val='new'/><w:listEntry w:val='change'/></w:ddList>", ""),
    ):
        body.insert(len(body) - 1, element)
    header = document.sections[0].header
    header.is_linked_to_previous = False
    header._element.append(_control("<w:tag w:val='customer'/><w:text/>", "Click here"))
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def signed_word():
    """A Word file with a signature in it."""
    written = io.BytesIO(word())
    with zipfile.ZipFile(written, "a") as archive:
        archive.writestr("_xmlsignatures/sig1.xml", "<Signature/>")
    return written.getvalue()
