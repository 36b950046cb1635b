"""What the archive refuses, each with its own name so that a page can answer it plainly."""


class ArchiveError(Exception):
    """Any refusal by the archive. Its text may be shown to the person."""


class NotFound(ArchiveError):
    """No such thing in this organisation. A foreign id and an unknown id look the same."""


class Invalid(ArchiveError):
    """A value the archive cannot keep; `field` names it and the text says what was expected."""

    def __init__(self, field: str, expected: str):
        super().__init__(f"{field}: {expected}")
        self.field = field
        self.expected = expected


class AnswerConflict(ArchiveError):
    """Somebody else changed the same answers since `revision`.

    `conflicts` maps each key to `(stored value, offered value)`; None means
    removed. Nothing was saved; `revision` is the one now stored.
    """

    def __init__(self, conflicts: dict[str, tuple[object, object]], revision: int):
        super().__init__("Changed elsewhere meanwhile: " + ", ".join(sorted(conflicts)))
        self.conflicts = conflicts
        self.revision = revision


class SettingsConflict(ArchiveError):
    """Somebody else changed these settings after they were read; nothing was changed. `keys` names them."""

    def __init__(self, keys: tuple[str, ...]):
        super().__init__("Changed elsewhere meanwhile: " + ", ".join(keys))
        self.keys = keys


class JobIssued(ArchiveError):
    """The job has been issued; reopen it to correct it."""


class JobChanged(ArchiveError):
    """The job's answers changed after the ones being issued were read; look again, then issue."""

    def __init__(self, expected: int, stored: int):
        super().__init__("The answers changed after they were reviewed. Review them again, then issue.")
        self.expected = expected
        self.stored = stored


class KeyConflict(ArchiveError):
    """The idempotency key was used before for other content.

    `differs` names what is different; `first` is the answer the key got.
    """

    def __init__(self, key: str, differs: tuple[str, ...], first: object):
        super().__init__("This submission was already used for something else: " + ", ".join(differs))
        self.key = key
        self.differs = differs
        self.first = first


class SupersedeConflict(ArchiveError):
    """The record to be replaced is not the current one; `current` is the id that is, or None."""

    def __init__(self, asked: int, current: int | None):
        super().__init__("Somebody else has replaced this one already. Open the current one.")
        self.asked = asked
        self.current = current


class UnderHold(ArchiveError):
    """The job is on hold, so nothing of it is erased."""

    def __init__(self, placed_at: str, reason: str):
        why = reason.rstrip(".")
        super().__init__(f"On hold since {placed_at[:10]}: {why}. Nothing is erased until it is lifted.")
        self.placed_at, self.reason = placed_at, reason


class KeptLonger(ArchiveError):
    """By the rule of keeping the job is not to be deleted before `until`, an ISO date."""

    def __init__(self, until: str):
        super().__init__(f"By the rule it is kept until {until}, and may be deleted from that day on.")
        self.until = until


class NotByRule(ArchiveError):
    """The rule of keeping says nothing of this job as it stands."""

    def __init__(self, why: str):
        super().__init__(f"{why}. It can be erased on request only.")


class NotCurrent(ArchiveError):
    """The record is replaced or void, so it is not the one to act on; `current` is the number of that one."""

    def __init__(self, number: str, state: str, current: str | None):
        what = f"{number} is void" if state == "void" else f"{number} was replaced"
        where = f": the current one is {current}." if current else ", and none stands in its place yet."
        super().__init__(what + where)
        self.number, self.state, self.current = number, state, current


class PapersWait(ArchiveError):
    """A later paper of the job is numbered and not made yet; `number` is its number."""

    def __init__(self, number: str):
        super().__init__(
            f"{number} was numbered since, and its papers are not made yet. Make them first, or"
            " open the job to be signed anew."
        )
        self.number = number


class AlreadyVoid(ArchiveError):
    """The record has been declared void before; its first reason stands."""

    def __init__(self, number: str):
        super().__init__(f"{number} is void already.")
        self.number = number


class RulesetConflict(ArchiveError):
    """A ruleset with this digest is stored with other bytes, or was not handed over at all."""


class WrongPassword(ArchiveError):
    """Login name and password do not go together (or the person may no longer sign in)."""


class TooManyTries(ArchiveError):
    """Guessing is slowed down; try again after `wait_s` whole seconds."""

    def __init__(self, wait_s: int):
        super().__init__(f"Too many tries. Try again in {wait_s} seconds.")
        self.wait_s = wait_s


class Erased(ArchiveError):
    """The content was erased for privacy; only its place in the log is left."""


class NotMailed(ArchiveError):
    """This mail is not to be sent, or not to be changed now; the text says why."""


class StoreFull(ArchiveError):
    """The disk takes nothing more, or cannot be written; nothing was changed."""


class StoreBusy(ArchiveError):
    """Others are writing, or the database cannot be reached: it is worth to try again."""


class BlobsFailed(ArchiveError):
    """The place for blobs does not take or give a body; nothing was changed."""
