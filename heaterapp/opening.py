"""The archive that the environment names, opened for a command."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from heaterapp import archive
from heaterapp.archive.store import FILE_NAME
from heaterapp.web import settings


class Stopped(Exception):
    """A command cannot go on; the text is the one sentence that is printed."""


def configuration() -> dict[str, Any]:
    return settings.settled({})


def open_archive(must_exist: bool = True) -> Any:
    """Open the archive that the environment names; never make one in passing. Raises Stopped."""
    config = configuration()
    url, folder = config["DATABASE_URL"], Path(config["DATA_DIR"])
    if must_exist and url is None and not (folder / FILE_NAME).is_file():
        raise Stopped(f"There is no database in {folder} yet: run 'python -m heaterapp setup' first.")
    try:
        places = {"blobs": config["BLOBS"], "blobs_endpoint": config["S3_ENDPOINT"]}
        store = archive.open_store(url=url, data_dir=folder, upgrade=not must_exist, **places)
        current = store.database.is_current()
    except archive.BlobsFailed as refused:
        raise Stopped(f"HEATERAPP_BLOBS: {refused}.") from refused
    except OSError as refused:
        raise Stopped(f"The data folder {folder} cannot be used: {refused.strerror}.") from refused
    except Exception as refused:  # whatever the database's own driver raises
        said = str(refused).splitlines()[0][:200]
        raise Stopped(f"The database cannot be opened: {said}.") from refused
    if not current:
        store.close()
        raise Stopped("The database is of another version: run 'python -m heaterapp setup' first.")
    return store
