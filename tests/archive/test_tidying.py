"""SQLite's word index is joined beside whoever writes, and stays one that can be read."""

from heaterapp.archive import indexes


def test_the_word_index_is_joined_beside_a_writer_who_never_rests(store, firm, monkeypatch):
    """A write between any two steps: the joining ends, and the index stays one that can be written and read."""
    numbers = [firm.issued(job_id=firm.new_job().id).number for _ in range(6)]

    def somebody_issues(_):
        assert len(numbers) < 150, "the joining does not end"
        numbers.append(firm.issued(job_id=firm.new_job().id).number)

    monkeypatch.setattr(indexes.time, "sleep", somebody_issues)
    monkeypatch.setattr(indexes, "PAGES", 1)  # a large index in small
    assert store.tidy_words() + store.tidy_words() > 0
    with store.database.read() as connection:
        levels = indexes._levels(connection.exec_driver_sql(indexes._STRUCTURE).scalar_one())
    assert levels < 12
    numbers.append(firm.issued(job_id=firm.new_job().id).number)
    assert [hit.number for hit in store.find(firm.id, "oak", limit=200).hits] == numbers[::-1]
    assert store.verify().ok


def test_an_index_on_many_levels_is_no_more_joined_as_a_whole(store, firm, monkeypatch):
    for _ in range(6):
        firm.issued(job_id=firm.new_job().id)
    monkeypatch.setattr(indexes, "MOST_LEVELS", 0)
    with store.database.read() as connection:
        before = indexes._levels(connection.exec_driver_sql(indexes._STRUCTURE).scalar_one())
    store.tidy_words()
    with store.database.read() as connection:
        assert indexes._levels(connection.exec_driver_sql(indexes._STRUCTURE).scalar_one()) <= before + 1
    assert len(store.find(firm.id, "oak").hits) == 6


def test_the_levels_of_a_word_index_are_read_as_sqlite_writes_them():
    assert indexes._levels(b"\x00\x00\x00\x05\x03\x01") == 3
    assert indexes._levels(b"\x00\x00\x00\x05\x8f\x50\x01") == 2000
    assert indexes._levels(b"\x00\x00\x00\x05\xff\x00\x00\x01\x02") == 2
