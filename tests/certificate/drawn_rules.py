"""More rules for the archival paper: what is drawn, in which letters, and what may not be in such a file.

As in archival_rules.py, in our words and from the same profile; with what breaks a file for each.
"""

from __future__ import annotations

import io
import re
from collections import defaultdict

from fontTools.ttLib import TTFont
from pikepdf import Array, Dictionary, Name, Stream, String

from tests.certificate.archival_rules import breaks, dictionaries, rule, xmp_of

DEEPEST = 28
MIXED = {"Normal", "Compatible", "Multiply", "Screen", "Overlay", "Darken", "Lighten", "ColorDodge", "ColorBurn"}
SHOWN = re.compile(rb"/ActualText <[0-9a-f]+>|/(\S+) [0-9.]+ Tf|<([0-9a-f]+)>")
MAPPED = re.compile(r"<([0-9a-f]{4})> <([0-9a-f]+)>")
PRINTED, HIDDEN = 4, 2


def letters_shown(pdf):
    """Each font's dictionary on the pages, with the numbers of the glyphs that are shown of it."""
    found = defaultdict(set)
    fonts = {}
    for page in pdf.pages:
        here = page.obj.Resources.get("/Font", {})
        font = None
        for name, codes in SHOWN.findall(page.Contents.read_bytes()):
            if name:
                font = here[f"/{name.decode()}"]
                fonts[font.objgen] = font
            elif codes and font is not None:
                found[font.objgen] |= {int(codes[i : i + 4], 16) for i in range(0, len(codes), 4)}
    return [(fonts[key], glyphs) for key, glyphs in found.items()]


def unicode_of(font):
    """Glyph number -> what it reads as."""
    mapped = MAPPED.findall(font.ToUnicode.read_bytes().decode().partition("beginbfchar")[2])
    return {int(glyph, 16): bytes.fromhex(said).decode("utf-16-be", "replace") for glyph, said in mapped}


def face_of(font):
    """The face that is embedded for a font."""
    program = font.DescendantFonts[0].FontDescriptor.FontFile2.read_bytes()
    return TTFont(io.BytesIO(program), lazy=True)


@rule
def nothing_lies_outside_the_file(pdf):  # 6.1.7.1, 6.5.1
    outside = (Name.GoToR, Name.GoToE, Name.URI, Name.SubmitForm)
    streams = (one for one in dictionaries(pdf) if isinstance(one, Stream))
    return not any("/F" in one or "/FFilter" in one for one in streams) and not any(
        one.get("/S") in outside for one in dictionaries(pdf)
    )


@rule
def streams_are_packed_in_allowed_ways(pdf):  # 6.1.7.2
    used = set()
    for one in dictionaries(pdf):
        if isinstance(one, Stream) and "/Filter" in one:
            given = one.Filter
            used |= {str(each) for each in given} if isinstance(given, Array) else {str(given)}
    return not used & {"/LZWDecode", "/LZW", "/Crypt"}


@rule
def xmp_is_a_plain_packet(pdf):  # 6.6.2.1
    if "/Metadata" not in pdf.Root:
        return False
    packet = xmp_of(pdf)
    head = packet.partition("?>")[0]
    described = pdf.Root.Metadata.get("/Type") == Name.Metadata and pdf.Root.Metadata.get("/Subtype") == Name.XML
    return described and "encoding=" not in head and "bytes=" not in head and "rdf:RDF" in packet


@rule
def dates_agree(pdf):  # 6.6.2.2 (in part)
    dated = {re.sub(r"[^0-9]", "", str(pdf.trailer.Info[key]))[:14] for key in ("/CreationDate", "/ModDate")}
    told = re.findall(r"xmp:(?:Create|Modify)Date(?:=\"|>)([^<\"]+)", xmp_of(pdf))
    return len(told) == 2 and {re.sub(r"[^0-9]", "", one)[:14] for one in told} == dated


@rule
def the_color_profile_is_rgb_and_of_version_2_or_4(pdf):  # 6.2.3
    profiles = [one.DestOutputProfile.read_bytes() for one in pdf.Root.get("/OutputIntents", [])]
    return bool(profiles) and all(one[8] < 5 and one[16:20] == b"RGB " and one[36:40] == b"acsp" for one in profiles)


@rule
def no_other_device_s_color_is_used(pdf):  # 6.2.4.3
    spaces = {str(one.get("/ColorSpace")) for one in dictionaries(pdf) if one.get("/Subtype") == Name.Image}
    drawn = b"\n".join(page.Contents.read_bytes() for page in pdf.pages)
    return "/DeviceCMYK" not in spaces and not re.search(rb"(?m)^[0-9. -]+ [kK]$", drawn)


@rule
def layers_are_mixed_in_named_ways_only(pdf):  # 6.2.9, 6.2.10
    states = [one for one in dictionaries(pdf) if "/BM" in one]
    return all(str(one.BM).lstrip("/") in MIXED for one in states)


@rule
def no_transfer_function_changes_a_color(pdf):  # 6.2.5
    return not any("/TR" in one or "/HTP" in one or str(one.get("/TR2", "/Default")) != "/Default"
                   for one in dictionaries(pdf))  # fmt: skip


@rule
def pictures_have_no_other_versions(pdf):  # 6.2.8, 6.2.9
    return not any(
        "/Alternates" in one or "/OPI" in one or one.get("/Subtype2") == Name.PS or one.get("/Subtype") == Name.PS
        for one in dictionaries(pdf)
    )


@rule
def pictures_have_1_2_4_or_8_bits(pdf):  # 6.2.8
    pictures = [one for one in dictionaries(pdf) if one.get("/Subtype") == Name.Image]
    return all(int(one.get("/BitsPerComponent", 8)) in (1, 2, 4, 8) for one in pictures)


@rule
def states_are_not_stacked_too_deep(pdf):  # 6.1.13
    for page in pdf.pages:
        deep = 0
        for line in page.Contents.read_bytes().split():
            deep += (line == b"q") - (line == b"Q")
            if not 0 <= deep <= DEEPEST:
                return False
    return True


@rule
def every_letter_shown_is_in_its_face(pdf):  # 6.2.11.4.1, 6.2.11.8
    shown = letters_shown(pdf)
    return bool(shown) and all(0 not in glyphs and max(glyphs) < face_of(font)["maxp"].numGlyphs
                               for font, glyphs in shown)  # fmt: skip


@rule
def every_letter_shown_reads_as_something(pdf):  # 6.2.11.7.2, 6.2.11.7.3
    shown = letters_shown(pdf)
    if not shown:
        return False
    for font, glyphs in shown:
        if "/ToUnicode" not in font:
            return False
        told = unicode_of(font)
        if not all(told.get(one) for one in glyphs):
            return False
        if any(letter in "\0\ufeff\ufffe\ufffd" or "\ue000" <= letter <= "\uf8ff" for one in glyphs for letter in told[one]):
            return False
    return True


@rule
def widths_are_those_of_the_face(pdf):  # 6.2.11.5
    for font, glyphs in letters_shown(pdf):
        face, widths = face_of(font), {}
        given = list(font.DescendantFonts[0].W)
        for start, run in zip(given[::2], given[1::2], strict=True):
            widths |= {int(start) + at: float(wide) for at, wide in enumerate(run)}
        order, metrics, em = face.getGlyphOrder(), face["hmtx"].metrics, face["head"].unitsPerEm
        if any(abs(widths.get(one, -9) - metrics[order[one]][0] * 1000 / em) > 1 for one in glyphs):
            return False
    return True


@rule
def nothing_optional_is_hidden(pdf):  # 6.9, 6.3
    notes = [note for page in pdf.pages for note in page.obj.get("/Annots", [])]
    shown = all(int(note.get("/F", 0)) & PRINTED and not int(note.get("/F", 0)) & HIDDEN for note in notes)
    return "/OCProperties" not in pdf.Root and "/NeedsRendering" not in pdf.Root and shown


@breaks("nothing_lies_outside_the_file")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Dictionary(S=Name.URI, URI=String("https://example.com")))


@breaks("streams_are_packed_in_allowed_ways")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Stream(pdf, b"", Filter=Name.LZWDecode))


@breaks("xmp_is_a_plain_packet")
def _(pdf):
    del pdf.Root.Metadata["/Subtype"]


@breaks("dates_agree")
def _(pdf):
    pdf.trailer.Info.ModDate = String("D:20010101000000Z")


@breaks("the_color_profile_is_rgb_and_of_version_2_or_4")
def _(pdf):
    profile = pdf.Root.OutputIntents[0].DestOutputProfile
    profile.write(profile.read_bytes().replace(b"RGB ", b"CMYK", 1))


@breaks("no_other_device_s_color_is_used")
def _(pdf):
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(page.Contents.read_bytes() + b"\n0 0 0 1 k\n")


@breaks("layers_are_mixed_in_named_ways_only")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Dictionary(BM=Name.Sparkle))


@breaks("no_transfer_function_changes_a_color")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Dictionary(TR=Name.Identity))


@breaks("pictures_have_no_other_versions")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Dictionary(Alternates=Array()))


@breaks("pictures_have_1_2_4_or_8_bits")
def _(pdf):
    pdf.Root.Odd = pdf.make_indirect(Stream(pdf, b"\0", Subtype=Name.Image, BitsPerComponent=16))


@breaks("states_are_not_stacked_too_deep")
def _(pdf):
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(b"q\n" * 29 + page.Contents.read_bytes() + b"\nQ" * 29)


@breaks("every_letter_shown_is_in_its_face")
def _(pdf):
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(re.sub(rb"<[0-9a-f]{4}", b"<0000", page.Contents.read_bytes(), count=1))


@breaks("every_letter_shown_reads_as_something")
def _(pdf):
    font = letters_shown(pdf)[0][0]
    font.ToUnicode.write(re.sub(rb"> <[0-9a-f]+>", b"> <fffd>", font.ToUnicode.read_bytes()))


@breaks("widths_are_those_of_the_face")
def _(pdf):
    font = letters_shown(pdf)[0][0]
    font.DescendantFonts[0].W = Array([one if at % 2 == 0 else Array([3]) for at, one in enumerate(font.DescendantFonts[0].W)])


@breaks("nothing_optional_is_hidden")
def _(pdf):
    pdf.pages[0].obj.Annots = Array([Dictionary(Subtype=Name.Text, F=HIDDEN)])


