"""python -m heaterapp: judge jobs on bare Python; set up and serve the pages."""

from __future__ import annotations

import sys

from .rules.__main__ import main as machine_door

if __name__ == "__main__":
    sys.exit(machine_door())
