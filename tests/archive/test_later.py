"""What was erased or closed after a backup does not come back with it: a list beside the backups tells a restore."""

from dataclasses import replace

import pytest

from heaterapp import archive
from heaterapp.archive import backups
from heaterapp.archive.backups import later, listing
from heaterapp.commands.restore import told


@pytest.fixture
def lived_on(store, firm, tmp_path):
    """A backup, and after it: a job and a record erased, a link, an account and a role changed, a password set."""
    gone, part, stays = (
        firm.issued(job_id=firm.new_job().id),
        firm.issued(),
        firm.issued(job_id=firm.new_job().id),
    )
    store.gone, store.part, store.stays = gone, part, stays
    store.job = store.records.get(firm.id, gone.record).job_id
    store.holds.place(firm.id, store.job, firm.office.id, "claim 77")
    store.token, share = store.shares.make(firm.id, stays.record)
    store.people.add(firm.id, "first", "First Owner", "owner", "copper-kettle-47")
    second = store.people.add(firm.id, "second", "Second Owner", "owner", "copper-kettle-47")
    third = store.people.add(firm.id, "third", "Third One", "office", "copper-kettle-47")
    key = store.passkeys.add(firm.id, third.id, "credential", b"key", 0, "a phone")
    made = store.backups.make(tmp_path / "backups")
    (hold,) = store.holds.of_job(firm.id, store.job)
    store.holds.lift(firm.id, hold.id, firm.office.id, "settled")
    store.erase_job(firm.id, store.job, firm.office.id, "asked by the owner")
    store.erase(firm.id, part.record, firm.office.id, "asked by the owner")
    store.shares.revoke(firm.id, share.id)
    store.people.save(firm.id, second.id, disabled=True)
    store.people.save(firm.id, firm.office.id, disabled=True)
    store.people.save(firm.id, firm.office.id, disabled=False)
    store.people.save(firm.id, third.id, role="installer")
    store.passkeys.remove(firm.id, third.id, key.id, third.id)
    store.people.set_password(firm.id, third.id, "another-kettle-48")
    store.second, store.third = second.id, third.id
    return made


def _looked_at(store, firm, again):
    with pytest.raises(archive.Erased):
        again.records.get(firm.id, store.part.record)
    with pytest.raises(archive.Erased):
        again.records.get(firm.id, store.gone.record)
    assert again.jobs.get(firm.id, store.job).state == "erased"
    assert again.records.get(firm.id, store.stays.record).number == store.stays.number
    assert again.shares.lookup(store.token) is None
    assert again.people.get(firm.id, store.second).disabled
    assert not again.people.get(firm.id, firm.office.id).disabled
    assert again.people.get(firm.id, store.third).role == "installer"
    assert again.passkeys.all_for(firm.id, store.third) == []
    assert again.verify().ok
    acts = [one for one in again.log.newest(firm.id, limit=30) if one.act in ("erase", "erase_job")]
    assert {one.actor for one in acts} == {None}


@pytest.mark.parametrize("to_server", [False, True])
def test_a_restore_takes_away_again_what_was_taken_away_later(
    store, firm, lived_on, tmp_path, request, to_server
):
    url = request.getfixturevalue("postgres_url") if to_server else None
    later.note(store.database, lived_on.path.parent)
    said = backups.restore(lived_on.path, tmp_path / "again", url)
    again = archive.open_store(url=url, data_dir=tmp_path / "again", upgrade=False)
    try:
        _looked_at(store, firm, again)
    finally:
        again.close()
    acts = {
        "erase": 2,
        "erase_job": 1,
        "share_revoked": 1,
        "closed": 1,
        "role": 1,
        "passkey": 1,
        "hold_lifted": 1,
    }
    assert dict(said["again"].acts) == acts
    assert said["again"].by_hand == {"password": [store.third]}
    words = "\n".join(told(said["again"], said["made_at"]))
    assert "2 records erased, 1 job erased" in words
    assert f"set it anew for person {store.third}" in words


def test_as_it_was_and_without_a_list_it_says_so_plainly(store, firm, lived_on, tmp_path):
    later.note(store.database, lived_on.path.parent)
    said = backups.restore(lived_on.path, tmp_path / "as_it_was", as_it_was=True)
    assert "back as the backup has it" in "".join(told(said["again"], said["made_at"]))
    (lived_on.path.parent / later.NAME).unlink()
    said = backups.restore(lived_on.path, tmp_path / "again")
    assert "No later-erasures.jsonl lies beside this backup" in "".join(told(said["again"], said["made_at"]))
    again = archive.open_store(data_dir=tmp_path / "again", upgrade=False)
    assert again.records.get(firm.id, store.part.record).number == store.part.number
    again.close()
    with pytest.raises(backups.BackupRefused, match="is not there: name the list"):
        backups.restore(lived_on.path, tmp_path / "third", later_list=tmp_path / "nowhere")


def test_the_list_is_chained_names_nobody_and_goes_on_where_it_was_cut(store, firm, lived_on):
    folder = lived_on.path.parent
    path = folder / later.NAME
    count = later.note(store.database, folder)
    assert (count, later.note(store.database, folder)) == (11, 0)
    body = path.read_text()
    for word in ("owner", "second", "Second", "credential", "oak", "Oak"):
        assert word not in body.replace('"to":"', "")
    assert later.read(path).as_of.at == store.database.now()
    path.write_text(body[: body.index('{"as_of"') - 40])
    assert len(later.read(path).lines) == count
    assert later.note(store.database, folder) == 1
    assert len(later.read(path).lines) == count + 1
    lines = path.read_text().splitlines()
    for broken in ([lines[1], *lines[1:]], [*lines[:-1], lines[-1].replace("1", "2")], lines[:2] + lines[3:]):
        path.write_text("\n".join(broken) + "\n")
        with pytest.raises(backups.BackupRefused, match="damaged at line"):
            backups.restore(lived_on.path, folder / "again")
    # The sound beginning stays: what a log that a restore ended has told stands nowhere else.
    assert later.note(store.database, folder) == count
    assert path.read_text().splitlines()[:2] == lines[:2]
    assert len(list(folder.glob(f"{later.NAME}.damaged-*"))) == 1


def test_what_another_archive_erased_under_the_same_ids_is_left_alone(store, firm, lived_on, tmp_path):
    path = lived_on.path.parent / later.NAME
    later.note(store.database, path.parent)
    lines, last = [later.FIRST], later.sha256(later.FIRST)
    for one in later.read(path).lines:
        line, last = listing.written(replace(one, of="0" * 64), last)
        lines.append(line)
    path.write_text("\n".join(lines) + "\n")
    said = backups.restore(lived_on.path, tmp_path / "again")
    assert not said["again"].acts
    assert "done again after" in "".join(told(said["again"], said["made_at"]))
