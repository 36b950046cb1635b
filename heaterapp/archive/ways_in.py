"""What lets somebody in beside a password: the invitations a person made, the passkeys a person keeps."""

from sqlalchemy import Connection, delete, select, update

from heaterapp.archive import log, office_tables

_invite, _passkey = office_tables.invite, office_tables.passkey


def close_invites(connection: Connection, organisation: int, now: str, by: int | None, person: int) -> None:
    """Close this person's open invitations in the caller's transaction; each stands in the log."""
    open_ones = (
        _invite.c.organisation == organisation, _invite.c.created_by == person,
        _invite.c.used_at.is_(None), _invite.c.revoked_at.is_(None),
    )  # fmt: skip
    for number in _numbers(connection, _invite, *open_ones):
        connection.execute(update(_invite).where(_invite.c.id == number).values(revoked_at=now))
        log.append(connection, organisation, "invite", now, by, None, {"invite": number, "what": "revoked"})


def remove_passkeys(connection: Connection, organisation: int, now: str, by: int | None, person: int) -> None:
    """Remove a person's passkeys for good, in the caller's transaction; each stands in the log."""
    theirs = _passkey.c.organisation == organisation, _passkey.c.person == person
    for number in _numbers(connection, _passkey, *theirs):
        connection.execute(delete(_passkey).where(_passkey.c.id == number))
        body = {"passkey": number, "what": "removed", "person": person}
        log.append(connection, organisation, "passkey", now, by, None, body)


def _numbers(connection: Connection, table, *which) -> list[int]:
    return list(connection.execute(select(table.c.id).where(*which).order_by(table.c.id)).scalars())
