"""One drawing, two files: the archival one, and the same pages without its claim and what is attached."""

from __future__ import annotations

import io
import zlib
from collections.abc import Collection

import pydyf


class PaperFault(RuntimeError):
    """The renderer complained: what it would have left out or guessed is named."""


class _Said(pydyf.Object):  # type: ignore[misc]
    """An object of a file, put into bytes once: the writer does it twice for each of the two files."""

    data = b""

    def __init__(self, one: pydyf.Object) -> None:
        super().__init__()
        self.number, self.generation, self.free = one.number, one.generation, one.free
        self.data, self._compressible = one.data, one.compressible

    @property
    def compressible(self) -> bool:
        return bool(self._compressible)


class _LeftOut(pydyf.Object):  # type: ignore[misc]
    """Stands at the number of an object that a file does not carry."""

    data = b"null"

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number


def _packed(one: pydyf.Object) -> pydyf.Object:
    """The object, a stream packed: once, and at a level four times as fast as the writer's own."""
    if isinstance(one, pydyf.Stream) and one.compress:
        body = pydyf.Stream(one.stream).data.partition(b"stream\n")[2].removesuffix(b"\nendstream")
        one.stream, one.compress = [zlib.compress(body)], False
        one.extra["Filter"] = "/FlateDecode"
    return one


def prepare(pdf: pydyf.PDF) -> None:
    """Put all into bytes but the catalog, in which the two files differ; pack what the writer adds to it."""
    for at, one in enumerate(pdf.objects):
        if one.free != "f" and one is not pdf.catalog:
            pdf.objects[at] = _Said(_packed(one))
    pdf.add_object = lambda one: type(pdf).add_object(pdf, _packed(one))


def attached(pdf: pydyf.PDF) -> set[int]:
    """Return which objects are the attached files and what names them. Asked before `prepare`."""
    names = pdf.catalog.get("Names", {}).get("EmbeddedFiles")
    found = {_number(names)} if names else set()
    for entry in pdf.objects[_number(names)]["Names"][1::2] if names else ():
        found |= {_number(entry), _number(pdf.objects[_number(entry)]["EF"]["F"])}
    return found


def _number(reference: bytes) -> int:
    return int(reference.split()[0])


def without_claim(pdf: pydyf.PDF, identifier: bytes, attachments: Collection[int] = ()) -> bytes:
    """The same drawn and tagged pages as a file that does not call itself archival, with nothing attached.

    Readers open a file that does behind a banner, with notes and signing switched off; and what is passed
    on from hand to hand carries no more than its pages show.

    attachments  the objects that are left out: `attached`
    """
    claim, held = pdf.objects[-1], list(pdf.objects)
    if pdf.catalog["Metadata"] != claim.reference:
        raise PaperFault("the archival claim is not where the renderer used to put it")
    kept = dict(pdf.catalog)
    for key in ("Metadata", "OutputIntents", "AF"):
        pdf.catalog.pop(key, None)
    names = {key: value for key, value in kept.get("Names", {}).items() if key != "EmbeddedFiles"}
    pdf.catalog.pop("Names", None)
    if names:
        pdf.catalog["Names"] = pydyf.Dictionary(names)
    pdf.objects.pop()
    for number in attachments:
        pdf.objects[number] = _LeftOut(number)
    out = io.BytesIO()
    pdf.write(out, "1.7", identifier, True)
    pdf.objects[:] = held
    pdf.catalog.clear()
    pdf.catalog.update(kept)
    pdf.current_position = 0
    return out.getvalue()
