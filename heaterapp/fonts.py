"""The lettering of pages and certificates, prepared once from Debian's font packages.

B612 is the face of everything; DejaVu Sans stands in for names in scripts that
B612 lacks, and on papers further faces for those that both lack (`font_faces.py`
names them all). None is kept in this project: set-up reads them from Debian's
packages and writes two forms of the first two to a cache folder, TTF for the PDF
and WOFF2 for the pages, and of the others the TTF alone.

Debian ships B612 with cubic (CFF) outlines. They are turned into TrueType ones
because WeasyPrint then writes a plain CIDFontType2 font; from CFF it writes a
CIDFontType0 font that carries a CIDToGIDMap, which ISO 32000-1 table 117 allows
for CIDFontType2 only. Outlines stay within 1/1000 of the em of the original.

The PDF's form of B612 also sets fractions of an inch as such (`font_fractions.py`).

Style sheets take the families from `font_face_css`, under names that no system
has: asked for plain "B612", WeasyPrint embeds the system's own CFF file instead.

Run `python -m heaterapp.fonts` to prepare them.
"""

import hashlib
import io
import os
import sys
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from heaterapp.font_faces import FACES, FALLBACK, FAMILY, FURTHER, LEVELED, Face

__all__ = [
    "FACES", "FALLBACK", "FAMILY", "FORMS", "FURTHER", "Face", "FontMissing", "font_face_css", "font_files",
    "font_folder", "missing_packages", "prepare",
]  # fmt: skip

FORMS = ("ttf", "woff2")
ROOTS = tuple(map(Path, ("/usr/share/fonts", "/usr/share/fonts-droid-fallback", "/usr/local/share/fonts")))
STAMP = "prepared-3.sha256"
"""A form made otherwise has another stamp, so that a folder made before is filled anew."""


class FontMissing(RuntimeError):
    """A font is neither prepared nor to be had; the message says what to install."""


def font_folder() -> Path:
    """Return the folder of prepared fonts: HEATERAPP_FONTS, or .cache/fonts in the project."""
    named = os.environ.get("HEATERAPP_FONTS")
    return Path(named) if named else Path(__file__).resolve().parent.parent / ".cache" / "fonts"


def font_files(folder: Path | None = None) -> dict[str, Path]:
    """Return every prepared font file by its name, preparing them if that was not done yet.

    The names are the stems of `FACES`, each with `.ttf` (for the PDF) and `.woff2`
    (for the pages), and those of `FURTHER` with `.ttf` alone.

    Raises:
        FontMissing: a font is not prepared and its package is not installed.
    """
    folder = folder or font_folder()
    files = {name: folder / name for name in _names()}
    if not (folder / STAMP).is_file() or not all(path.is_file() for path in files.values()):
        prepare(folder)
    return files


def font_face_css(
    form: str, address: Callable[[str], str], faces: Iterable[Face] = FACES, display: str = "swap"
) -> str:
    """Return the @font-face rules of faces in one form.

    Args:
        form: "ttf" for the PDF, "woff2" for the pages.
        address: gives the address of a font file by its name, as `font_files` names it.
        faces: which; by default those of every page and paper.
        display: what the browser does until the file is there (CSS Fonts 4, font-display).

    Set text in them with `font-family: "Heaterapp B612", "Heaterapp DejaVu Sans"`.
    """
    known = {"ttf": "truetype", "woff2": "woff2"}[form]
    return "".join(
        f'@font-face {{ font-family: "{face.family}"; font-weight: {face.weight}; font-display: {display}; '
        f'src: url("{address(name)}") format("{known}"); }}\n'
        for face in faces
        for name in [f"{face.stem}.{form}"]
    )


def prepare(folder: Path | None = None, roots: Iterable[Path] = ROOTS) -> bool:
    """Write the fonts to `folder` and return whether anything had to be written.

    The same packages and library versions give the same bytes every time.

    Raises:
        FontMissing: a package is not installed, or the folder cannot be written.
    """
    folder = folder or font_folder()
    originals = {face.stem: _original(face, tuple(roots)).read_bytes() for face in _all()}
    stamp = _stamp(originals)
    absent = _absent(folder, stamp)
    if not absent:
        return False
    try:
        folder.mkdir(parents=True, exist_ok=True)
        outlines = {face.stem: _truetype(originals[face.stem]) for face in FACES}
        for face in FACES:
            truetype = outlines[face.stem]
            if f"{face.stem}.ttf" in absent:
                _write(folder / f"{face.stem}.ttf", _for_paper(face, truetype, outlines))
            if f"{face.stem}.woff2" in absent:
                _write(folder / f"{face.stem}.woff2", _woff2(truetype))
        for face in FURTHER:
            if f"{face.stem}.ttf" in absent:
                made = originals[face.stem]
                made = _as_high_as(originals["B612-Regular"], made) if face.family in LEVELED else made
                _write(folder / f"{face.stem}.ttf", made)
        _write(folder / STAMP, stamp.encode("ascii"))
    except OSError as error:
        raise FontMissing(
            f"The fonts cannot be written to {folder} ({error.strerror}): make that folder writable, "
            "or name another one in HEATERAPP_FONTS."
        ) from error
    return True


def missing_packages(roots: Iterable[Path] = ROOTS) -> list[str]:
    """Return the Debian packages that hold a font we need and cannot find, each once."""
    roots = tuple(roots)
    return sorted({face.package for face in _all() if _find(face, roots) is None})


def _all() -> tuple[Face, ...]:
    return (*FACES, *FURTHER)


def _names() -> list[str]:
    used = [f"{face.stem}.{form}" for face in FACES for form in FORMS]
    return used + [f"{face.stem}.ttf" for face in FURTHER]


def _find(face: Face, roots: tuple[Path, ...]) -> Path | None:
    for root in roots:
        for source in face.sources:
            found = sorted(root.rglob(source))
            if found:
                return found[0]
    return None


def _original(face: Face, roots: tuple[Path, ...]) -> Path:
    found = _find(face, roots)
    if found is None:
        raise FontMissing(
            f"The font {face.stem} is not on this machine: install the package {face.package} "
            f"(apt-get install {face.package}), then run: python -m heaterapp.fonts"
        )
    return found


def _stamp(originals: dict[str, bytes]) -> str:
    import fontTools

    digest = hashlib.sha256(f"3 {fontTools.version}".encode())
    for stem in sorted(originals):
        digest.update(hashlib.sha256(originals[stem]).digest())
    return digest.hexdigest()


def _absent(folder: Path, stamp: str) -> list[str]:
    kept = folder / STAMP
    if not kept.is_file() or kept.read_text("ascii") != stamp:
        return _names()
    return [name for name in _names() if not (folder / name).is_file()]


def _write(path: Path, content: bytes) -> None:
    # Several workers may find the folder empty at once: each file appears whole or not at all.
    handle, unfinished = tempfile.mkstemp(dir=path.parent, prefix=path.name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(unfinished, 0o644)
        os.replace(unfinished, path)
    except BaseException:
        os.unlink(unfinished)
        raise


def _truetype(original: bytes) -> bytes:
    from fontTools.pens.cu2quPen import Cu2QuPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen
    from fontTools.ttLib import TTFont, newTable

    font = TTFont(io.BytesIO(original), recalcTimestamp=False)
    if "glyf" in font:
        return original
    names, drawn = font.getGlyphOrder(), font.getGlyphSet()
    tolerance = font["head"].unitsPerEm / 1000
    outlines = {}
    for name in names:
        pen = TTGlyphPen(drawn)
        drawn[name].draw(Cu2QuPen(pen, tolerance, reverse_direction=True))
        outlines[name] = pen.glyph()
    font["loca"] = newTable("loca")
    font["glyf"] = glyf = newTable("glyf")
    glyf.glyphOrder, glyf.glyphs = names, outlines
    del font["CFF "]
    glyf.compile(font)
    _fill_maxp(font)
    post = font["post"]
    post.formatType, post.extraNames, post.mapping, post.glyphOrder = 2.0, [], {}, names
    font.sfntVersion = "\0\1\0\0"
    return _saved(font)


def _for_paper(face: Face, truetype: bytes, outlines: dict[str, bytes]) -> bytes:
    from heaterapp.font_fractions import with_fractions

    return with_fractions(truetype, outlines["B612-Bold"]) if face.family == FAMILY else truetype


def _fill_maxp(font) -> None:
    """Give the maxp table the fields that only TrueType outlines have (OpenType 1.9, maxp version 1.0)."""
    maxp = font["maxp"]
    maxp.tableVersion = 0x00010000
    maxp.maxZones = 1
    for field in ("TwilightPoints", "Storage", "FunctionDefs", "InstructionDefs", "StackElements",
                  "SizeOfInstructions", "ComponentElements"):
        setattr(maxp, f"max{field}", 0)
    maxp.recalc(font)


def _as_high_as(model: bytes, original: bytes) -> bytes:
    """Give a face the ascent and descent of another, so that a line of both is no higher than one of it."""
    from fontTools.ttLib import TTFont

    own = TTFont(io.BytesIO(model))
    font = TTFont(io.BytesIO(original), recalcTimestamp=False, recalcBBoxes=False)
    scale = font["head"].unitsPerEm / own["head"].unitsPerEm
    above, below = round(own["hhea"].ascent * scale), -round(own["hhea"].descent * scale)
    line, system = font["hhea"], font["OS/2"]
    line.ascent, line.descent, line.lineGap = above, -below, 0
    system.sTypoAscender, system.sTypoDescender, system.sTypoLineGap = above, -below, 0
    system.usWinAscent, system.usWinDescent = above, below
    return _saved(font)


def _woff2(truetype: bytes) -> bytes:
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(truetype), recalcTimestamp=False)
    font.flavor = "woff2"
    return _saved(font)


def _saved(font) -> bytes:
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def main() -> int:
    """Prepare the fonts and say in one line what was done."""
    try:
        written = prepare()
    except FontMissing as error:
        print(error, file=sys.stderr)
        return 1
    print(f"Fonts {'prepared' if written else 'already prepared'}: {len(_names())} files.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
