"""`python -m heaterapp.languages.extract`: bring the catalogue up to the program, keeping what is translated.

With `--check` nothing is written: it says what is wrong with the catalogue, and exits with 1.
"""

from __future__ import annotations

import argparse
import sys
from io import BytesIO

from .files import path_of
from .found import every_text

HEAD = """\
Spanish of heaterapp: the trade's Spanish as it is spoken in the United States, "usted" throughout.
A hole such as {0} or {count} is a number or a word that is put in: keep each of them.
Words of the trade follow glossary.es.toml, which a test holds this file to."""


def updated(language: str) -> bytes:
    """The catalogue of a language with every text of the program in it, and none besides; as a file."""
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import read_po, write_po

    path = path_of(language)
    held = Catalog(locale=language)
    if path.is_file():
        with path.open("rb") as kept:
            held = read_po(kept, locale=language)
    fresh = Catalog(
        locale=language,
        project="heaterapp",
        header_comment="\n".join(f"# {one}" for one in HEAD.splitlines()),
    )
    fresh.revision_date = held.revision_date
    fresh.creation_date = held.creation_date
    for text, places in every_text().items():
        known = held.get(text)
        said = known.string if known else ""
        flags = {"fuzzy"} if known and known.fuzzy else set()
        fresh.add(text, said, locations=[(place, None) for place in places], flags=flags)  # type: ignore[list-item]
    made = BytesIO()
    write_po(made, fresh, width=110, include_lineno=False, omit_header=False)
    return made.getvalue()


def main() -> int:
    """Write the catalogues anew, or say what is wrong with them."""
    parser = argparse.ArgumentParser(prog="python -m heaterapp.languages.extract", description=__doc__)
    parser.add_argument(
        "--check", action="store_true", help="write nothing; say what is wrong, and exit with 1"
    )
    chosen = parser.parse_args()
    from .faults import faults

    path = path_of("es")
    body = updated("es")
    if chosen.check:
        stale = (
            []
            if path.is_file() and path.read_bytes() == body
            else ["the file is not as the program has it: extract anew"]
        )
        wrong = stale + faults(body)
    else:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(body)
        wrong = faults(body)
    for one in wrong:
        print(one)
    print(f"{len(wrong)} to put right in {path}" if wrong else f"{path}: whole")
    return 1 if wrong and chosen.check else 0


if __name__ == "__main__":
    sys.exit(main())
