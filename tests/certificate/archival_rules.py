"""Rules of our own for the archival paper, each with what breaks a file for it.

They follow, in our words, ISO 19005-3 (PDF/A-3) as the open validation profile PDFA-3U of the
veraPDF project states it, read from memory; clause numbers are that profile's. They are a part
of it: no full validator has been run on these papers. A rule takes the opened file; `breaks` keeps
what is done to an opened file so that its rule no longer holds, and may return how it is to be saved.
"""

from __future__ import annotations

import hashlib
import re

from pikepdf import Array, Dictionary, Name, Stream, String

RULES = {}
BROKEN = {}


def rule(check):
    RULES[check.__name__] = check
    return check


def breaks(name):
    def keep(change):
        BROKEN[name] = change
        return change

    return keep


def dictionaries(pdf):
    for thing in pdf.objects:
        if isinstance(thing, (Dictionary, Stream)):
            yield thing


def xmp_of(pdf):
    return pdf.Root.Metadata.read_bytes().decode() if "/Metadata" in pdf.Root else ""


def attached(pdf):
    names = pdf.Root.Names.EmbeddedFiles.Names if "/EmbeddedFiles" in pdf.Root.get("/Names", {}) else ()
    return [names[i] for i in range(1, len(names), 2)]


@rule
def header_is_1_7(pdf):  # 6.1.2
    return pdf.pdf_version == "1.7"


@rule
def file_has_an_identifier(pdf):  # 6.1.3
    return "/ID" in pdf.trailer and len(pdf.trailer.ID) == 2


@rule
def nothing_is_encrypted(pdf):  # 6.1.3
    return "/Encrypt" not in pdf.trailer


@rule
def xmp_names_the_part_and_level(pdf):  # 6.6.4
    xmp = xmp_of(pdf)
    part = re.search(r"pdfaid:part(?:=\"|>)3", xmp)
    return bool(part and re.search(r"pdfaid:conformance(?:=\"|>)U", xmp))


@rule
def xmp_title_is_the_info_title(pdf):  # 6.6.2.2 (in part)
    return str(pdf.trailer.Info.Title) in xmp_of(pdf)


@rule
def colors_have_an_output_intent(pdf):  # 6.2.3
    intents = list(pdf.Root.get("/OutputIntents", []))
    return any(one.get("/S") == Name.GTS_PDFA1 and len(one.DestOutputProfile.read_bytes()) > 128 for one in intents)


@rule
def fonts_are_embedded(pdf):  # 6.2.11.4
    described = [one for one in dictionaries(pdf) if one.get("/Type") == Name.FontDescriptor]
    return bool(described) and all(any(f"/FontFile{n}" in one for n in ("", "2", "3")) for one in described)


@rule
def letters_have_unicode(pdf):  # 6.2.11.7
    fonts = [one for one in dictionaries(pdf) if one.get("/Subtype") == Name.Type0]
    return bool(fonts) and all("/ToUnicode" in one for one in fonts)


@rule
def cid_fonts_map_to_glyphs(pdf):  # 6.2.11.3.2
    fonts = [one for one in dictionaries(pdf) if one.get("/Subtype") == Name.CIDFontType2]
    return bool(fonts) and all("/CIDToGIDMap" in one for one in fonts)


@rule
def no_script(pdf):  # 6.4.1, 6.5.1
    return not any(one.get("/S") == Name.JavaScript or "/JS" in one for one in dictionaries(pdf)) and "/OpenAction" not in pdf.Root


@rule
def no_launching_and_no_media(pdf):  # 6.5.1
    return not any(one.get("/S") in (Name.Launch, Name.Sound, Name.Movie, Name.ImportData, Name.ResetForm) for one in dictionaries(pdf))


@rule
def pictures_are_not_smoothed(pdf):  # 6.2.8
    return not any(one.get("/Subtype") == Name.Image and one.get("/Interpolate") is True for one in dictionaries(pdf))


@rule
def no_form_and_no_xfa(pdf):  # 6.4.1
    return "/AcroForm" not in pdf.Root


@rule
def no_page_is_changed_by_viewing(pdf):  # 6.5.2
    return "/AA" not in pdf.Root and not any("/AA" in page.obj for page in pdf.pages)


@rule
def attachments_state_their_relationship(pdf):  # 6.8
    allowed = (Name.Source, Name.Data, Name.Alternative, Name.Supplement, Name.Unspecified)
    return all(one.get("/AFRelationship") in allowed for one in attached(pdf))


@rule
def attachments_are_associated_with_the_document(pdf):  # 6.8
    associated = {one.objgen for one in pdf.Root.get("/AF", [])}
    return all(one.objgen in associated for one in attached(pdf))


@rule
def attachments_carry_name_kind_and_dates(pdf):  # 6.8
    return all(
        "/F" in one and "/UF" in one and "/Subtype" in one.EF.F and {"/ModDate", "/CreationDate", "/Size"} <= set(one.EF.F.Params.keys())
        for one in attached(pdf)
    )


@rule
def attachments_hold_what_their_checksum_says(pdf):
    return all(bytes(one.EF.F.Params.CheckSum) == hashlib.md5(one.EF.F.read_bytes()).digest() for one in attached(pdf))


@breaks("header_is_1_7")
def _(pdf):
    return {"force_version": "1.4", "min_version": "1.4"}


@breaks("file_has_an_identifier")
def _(pdf):
    del pdf.trailer["/ID"]


@breaks("nothing_is_encrypted")
def _(pdf):
    pdf.trailer["/Encrypt"] = Dictionary(Filter=Name.Standard)


@breaks("xmp_names_the_part_and_level")
def _(pdf):
    pdf.Root.Metadata.write(xmp_of(pdf).replace("pdfaid:part", "pdfaid:bart").encode())


@breaks("xmp_title_is_the_info_title")
def _(pdf):
    pdf.trailer.Info.Title = String("Something else")


@breaks("colors_have_an_output_intent")
def _(pdf):
    del pdf.Root["/OutputIntents"]


@breaks("fonts_are_embedded")
def _(pdf):
    one = next(d for d in dictionaries(pdf) if d.get("/Type") == Name.FontDescriptor)
    del one["/FontFile2"]


@breaks("letters_have_unicode")
def _(pdf):
    one = next(d for d in dictionaries(pdf) if d.get("/Subtype") == Name.Type0)
    del one["/ToUnicode"]


@breaks("cid_fonts_map_to_glyphs")
def _(pdf):
    one = next(d for d in dictionaries(pdf) if d.get("/Subtype") == Name.CIDFontType2)
    del one["/CIDToGIDMap"]


@breaks("no_script")
def _(pdf):
    pdf.Root.OpenAction = pdf.make_indirect(Dictionary(S=Name.JavaScript, JS=String("app.alert(1)")))


@breaks("no_launching_and_no_media")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Dictionary(S=Name.Launch, F=String("x")))


@breaks("pictures_are_not_smoothed")
def _(pdf):
    picture = Stream(pdf, b"\0", Type=Name.XObject, Subtype=Name.Image, Width=1, Height=1, Interpolate=True)
    pdf.Root.Odd = pdf.make_indirect(picture)


@breaks("no_form_and_no_xfa")
def _(pdf):
    pdf.Root.AcroForm = Dictionary(Fields=Array())


@breaks("no_page_is_changed_by_viewing")
def _(pdf):
    pdf.pages[0].obj["/AA"] = Dictionary()


@breaks("attachments_state_their_relationship")
def _(pdf):
    del attached(pdf)[0]["/AFRelationship"]


@breaks("attachments_are_associated_with_the_document")
def _(pdf):
    del pdf.Root["/AF"]


@breaks("attachments_carry_name_kind_and_dates")
def _(pdf):
    del attached(pdf)[0].EF.F.Params["/ModDate"]


@breaks("attachments_hold_what_their_checksum_says")
def _(pdf):
    attached(pdf)[0].EF.F.write(b"{}")
