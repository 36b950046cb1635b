"""Rules for what a paper tells somebody who hears it: its tags, their order, and what pictures show.

Level u of the archival standard does not ask for them; they follow, in our words, what ISO 32000-1
(14.7, 14.8) and the accessible profile ask of a tagged file, read from memory. Each with what breaks it.
"""

from __future__ import annotations

import re
from itertools import pairwise

from pikepdf import Array, Dictionary, Name, String

from tests.certificate.archival_rules import breaks, rule

KINDS = frozenset(
    "Document Part Sect Div P H1 H2 H3 H4 H5 H6 L LI Lbl LBody Table TR TH TD THead TBody TFoot Span Link Figure"
    " Caption NonStruct Art BlockQuote".split()
)
DRAWN = re.compile(rb"/MCID ([0-9]+)")


def walked(pdf):
    """Every element in reading order with its parent, and every piece of marked content as page and number."""
    pages = {page.obj.objgen: at for at, page in enumerate(pdf.pages)}

    def walk(node, parent, page):
        if isinstance(node, int):
            yield (page, int(node)), parent
            return
        if not isinstance(node, Dictionary):
            return
        if "/Pg" in node:
            page = pages[node.Pg.objgen]
        yield node, parent
        kids = node.get("/K", Array())
        for kid in kids if isinstance(kids, Array) else [kids]:
            yield from walk(kid, node, page)

    root = pdf.Root.get("/StructTreeRoot", Dictionary())
    for top in root.get("/K", Array()):
        yield from walk(top, root, None)


def elements(pdf, *kinds):
    """Every element of these kinds, in reading order."""
    return [one for one, _ in walked(pdf) if isinstance(one, Dictionary) and str(one.get("/S", ""))[1:] in kinds]


def _within(node, kind):
    kids = node.get("/K", Array())
    for kid in kids if isinstance(kids, Array) else [kids]:
        if isinstance(kid, Dictionary):
            if kid.get("/S") == kind:
                yield kid
            yield from _within(kid, kind)


@rule
def structure_is_marked(pdf):
    return bool(pdf.Root.get("/MarkInfo", {}).get("/Marked")) and "/StructTreeRoot" in pdf.Root


@rule
def the_language_is_named(pdf):
    return bool(re.fullmatch(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*", str(pdf.Root.get("/Lang", ""))))


@rule
def what_is_in_another_language_names_it(pdf):
    named = [one for one, _ in walked(pdf) if isinstance(one, Dictionary) and "/Lang" in one]
    return all(re.fullmatch(r"[a-z]{2,3}", str(one.Lang)) and any(True for _ in _content(one)) for one in named)


@rule
def the_window_shows_the_title(pdf):
    return bool(pdf.Root.get("/ViewerPreferences", {}).get("/DisplayDocTitle")) and bool(str(pdf.trailer.Info.get("/Title", "")))


@rule
def elements_are_of_kinds_that_readers_know(pdf):
    found = {str(one.get("/S", ""))[1:] for one, _ in walked(pdf) if isinstance(one, Dictionary)}
    return bool(found) and found <= KINDS


@rule
def headings_begin_at_one_and_skip_no_level(pdf):
    levels = [int(str(one.S)[2:]) for one in elements(pdf, "H1", "H2", "H3", "H4", "H5", "H6")]
    down = all(after <= before + 1 for before, after in pairwise(levels))
    return levels[:1] == [1] and levels.count(1) == 1 and down


@rule
def headings_say_something(pdf):
    return all(any(True for _ in _content(one)) for one in elements(pdf, "H1", "H2", "H3"))


def _content(node):
    kids = node.get("/K", Array())
    for kid in kids if isinstance(kids, Array) else [kids]:
        if isinstance(kid, int):
            yield kid
        elif isinstance(kid, Dictionary):
            yield from _content(kid)


@rule
def cells_of_tables_name_their_headers(pdf):
    for table in elements(pdf, "Table"):
        heads = {bytes(one.ID) for one in _within(table, Name.TH) if "/ID" in one}
        cells = list(_within(table, Name.TD))
        named = [{bytes(head) for head in cell.get("/A", {}).get("/Headers", [])} for cell in cells]
        if not heads or not cells or not all(one and one <= heads for one in named):
            return False
    return True


@rule
def figures_say_what_they_show(pdf):
    return all(str(one.get("/Alt", "")).strip() for one in elements(pdf, "Figure"))


@rule
def all_that_is_marked_has_its_place(pdf):
    if "/StructTreeRoot" not in pdf.Root:
        return False
    nums = pdf.Root.StructTreeRoot.ParentTree.Nums
    parents = {int(nums[i]): nums[i + 1] for i in range(0, len(nums), 2)}
    for page in pdf.pages:
        drawn = [int(one) for one in DRAWN.findall(page.Contents.read_bytes())]
        if len(set(drawn)) != len(drawn) or "/StructParents" not in page.obj:
            return False
        if len(parents.get(int(page.obj.StructParents), ())) != len(drawn):
            return False
    return True


@rule
def words_are_read_in_the_order_they_are_drawn(pdf):
    # a picture within a line is drawn after the words of its page, and read where it stands
    told = [one for one, parent in walked(pdf) if isinstance(one, tuple) and parent.get("/S") != Name.Figure]
    for at, page in enumerate(pdf.pages):
        drawn = [int(one) for one in DRAWN.findall(page.Contents.read_bytes())]
        heard = [number for where, number in told if where == at]
        if not heard or heard != [one for one in drawn if one in set(heard)]:
            return False
    pages = [where for where, _ in told]
    return pages == sorted(pages)


@breaks("structure_is_marked")
def _(pdf):
    del pdf.Root["/StructTreeRoot"]


@breaks("the_language_is_named")
def _(pdf):
    pdf.Root.Lang = String("")


@breaks("what_is_in_another_language_names_it")
def _(pdf):
    elements(pdf, "P")[0].Lang = String("English")


@breaks("the_window_shows_the_title")
def _(pdf):
    del pdf.Root["/ViewerPreferences"]


@breaks("elements_are_of_kinds_that_readers_know")
def _(pdf):
    elements(pdf, "P")[0].S = Name.Paragraph


@breaks("headings_begin_at_one_and_skip_no_level")
def _(pdf):
    elements(pdf, "H2")[0].S = Name.H3


@breaks("headings_say_something")
def _(pdf):
    elements(pdf, "H2")[0].K = Array()


@breaks("cells_of_tables_name_their_headers")
def _(pdf):
    for head in elements(pdf, "TH"):
        head.S = Name.TD


@breaks("figures_say_what_they_show")
def _(pdf):
    del elements(pdf, "Figure")[0]["/Alt"]


@breaks("all_that_is_marked_has_its_place")
def _(pdf):
    page = pdf.pages[0]
    page.Contents = pdf.make_stream(page.Contents.read_bytes().replace(b"/MCID 1>>", b"/MCID 0>>").replace(b"/MCID 1 ", b"/MCID 0 "))


@breaks("words_are_read_in_the_order_they_are_drawn")
def _(pdf):
    whole = elements(pdf, "Document")[0]
    whole.K = Array(list(whole.K)[::-1])
