"""python -m heaterapp: judge jobs on bare Python; set up and serve the pages."""

from __future__ import annotations

import sys

MACHINE_DOOR = ("assess", "schema")
MANUAL_DOOR = ("compare-books", "coverage")


def main(arguments: list[str] | None = None) -> int:
    """Run one command. Returns its exit status: 2 when something is missing or was said wrong.

    `assess`, `schema`, `compare-books` and `coverage` need nothing but Python; the others need
    what the set-up installs.
    """
    given = sys.argv[1:] if arguments is None else arguments
    if given and given[0] in MACHINE_DOOR:
        from .rules.__main__ import main as machine_door

        return machine_door(given)
    if given and given[0] in MANUAL_DOOR:
        from .manual.__main__ import main as manual_door

        return manual_door(given)
    try:
        from .web.commands import main as commands
    except ModuleNotFoundError as missing:
        if missing.name is None or missing.name.split(".")[0] == "heaterapp":
            raise
        print(f"The package {missing.name} is missing: run 'sh .ci/start' once.", file=sys.stderr)
        return 2
    return commands(given)


if __name__ == "__main__":
    sys.exit(main())
