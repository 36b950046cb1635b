"""What somebody typed is in no message of a database error, so in no log of the server."""

import logging
import traceback

import pytest
from sqlalchemy import event
from sqlalchemy.exc import DBAPIError

SECRET, ANSWER = "correct horse battery", "Zebedee Quill of 77 Xylophone Row"


@pytest.fixture
def refusing(store):
    """Let the database refuse every change of a table, as a full or broken one does."""

    def refuse(table):
        def strike(connection, cursor, statement, parameters, context, many):
            if f"UPDATE {table} " in statement and "no_such" not in statement:
                return f"{statement} AND no_such_column = 1", parameters
            return statement, parameters

        event.listen(store.database.engine, "before_cursor_execute", strike, retval=True)

    return refuse


@pytest.mark.parametrize("what", ["password", "answers"])
def test_an_error_of_the_database_tells_nothing_that_was_typed(store, firm, refusing, caplog, what):
    act = {
        "password": lambda: store.people.set_password(firm.id, firm.office.id, SECRET),
        "answers": lambda: store.jobs.save_answers(firm.id, firm.job.id, {"owner_name": ANSWER}),
    }[what]
    refusing({"password": "person", "answers": "job"}[what])
    with caplog.at_level(logging.DEBUG), pytest.raises(DBAPIError) as refused:
        act()
    # As the server logs it.
    told = caplog.text + "".join(traceback.format_exception(refused.value))
    assert "no_such_column" in told
    for kept in (SECRET, ANSWER, "Zebedee", "$argon2"):
        assert kept not in told
