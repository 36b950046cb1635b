"""One drawing, two files: the archival one, and the same pages without its claim; all put into bytes once."""

from __future__ import annotations

import io
import zlib

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


def without_claim(pdf: pydyf.PDF, identifier: bytes) -> bytes:
    """The same drawn and tagged pages as a file that does not call itself archival.

    Readers open a file that does behind a banner, with notes and signing switched off.
    """
    claim, whole = pdf.objects[-1], len(pdf.objects)
    if pdf.catalog["Metadata"] != claim.reference:
        raise PaperFault("the archival claim is not where the renderer used to put it")
    kept = {key: pdf.catalog.pop(key) for key in ("Metadata", "OutputIntents")}
    pdf.objects.pop()
    out = io.BytesIO()
    pdf.write(out, "1.7", identifier, True)
    pdf.objects[whole - 1 :] = [claim]
    pdf.catalog.update(kept)
    pdf.current_position = 0
    return out.getvalue()
