"""The planner is steered for one statement: afterwards stands what stood before, after an error too."""

import pytest
from sqlalchemy import create_engine
from sqlalchemy.exc import DBAPIError

from heaterapp.archive.postgresql import by_word_index


@pytest.fixture(scope="module")
def engine(postgres_server):
    with postgres_server.lent() as url:
        made = create_engine(url)
        yield made
        made.dispose()


def _set(connection):
    return tuple(
        connection.exec_driver_sql(f"SHOW {name}").scalar() for name in ("enable_seqscan", "enable_indexscan")
    )


@pytest.mark.parametrize("stood", [("on", "on"), ("off", "on"), ("on", "off")])
def test_what_stood_before_stands_again(engine, stood):
    with engine.connect() as connection, connection.begin():
        connection.exec_driver_sql(f"SET LOCAL enable_seqscan = {stood[0]}")
        connection.exec_driver_sql(f"SET LOCAL enable_indexscan = {stood[1]}")
        with by_word_index(connection):
            assert _set(connection) == ("off", "off")
        assert _set(connection) == stood


def _fail(connection, broken):
    with by_word_index(connection):
        if broken:
            connection.exec_driver_sql(broken)
        raise KeyError("no row")


@pytest.mark.parametrize(("broken", "told"), [("SELECT 1 / 0", "division"), (None, "no row")])
def test_it_stands_again_after_an_error_which_is_told_as_it_is(engine, broken, told):
    with engine.connect() as connection, connection.begin():
        with pytest.raises((DBAPIError, KeyError), match=told):
            _fail(connection, broken)
        assert _set(connection) == ("on", "on")
