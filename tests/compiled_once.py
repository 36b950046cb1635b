"""Every archive that a process of tests opens shares the statements that were compiled for the one before.

SQLAlchemy keeps compiled statements by engine, and a program has one. Each test opens an archive of its
own, so that nearly every statement was compiled anew: four tenths of the time of the archive's tests.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from unittest import mock

from sqlalchemy import Dialect, Engine, create_engine
from sqlalchemy.util import LRUCache

from heaterapp.archive import dialect, postgresql

KEPT = 4000


@contextmanager
def compiled_once() -> Iterator[None]:
    """Let engines of one kind share one cache, and the dialect by which its entries are found."""
    cache: LRUCache[Any, Any] = LRUCache(KEPT)
    shared: dict[str, Dialect] = {}

    def engine(*given: Any, **options: Any) -> Engine:
        made = create_engine(*given, **options)
        made.update_execution_options(compiled_cache=cache)
        first = shared.get(made.dialect.name)
        # One that never reached its database knows nothing of it.
        if first is None or first.server_version_info is None:
            shared[made.dialect.name] = made.dialect
        else:
            made.dialect = first
        return made

    with (
        mock.patch.object(dialect, "create_engine", engine),
        mock.patch.object(postgresql, "create_engine", engine),
    ):
        yield
