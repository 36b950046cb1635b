"""What the desk knows of a job, for the page of its record."""

from __future__ import annotations

from heaterapp import archive
from heaterapp.archive.desk_shapes import DeskJob
from heaterapp.web.security import store


def desk_of(organisation: int, job_id: str) -> DeskJob | None:
    """Return what the desk holds of a job; None where it is erased."""
    try:
        found: DeskJob = store().desk.get(organisation, job_id)
    except (archive.NotFound, archive.Erased):
        return None
    return found
