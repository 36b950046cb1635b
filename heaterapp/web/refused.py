"""What the phone is told when something is not taken: a status, a code, a sentence for the person."""

from __future__ import annotations

from typing import Any


class Refused(Exception):
    """An answer that is no success. `more` are further parts of it, such as the fields that are wrong."""

    def __init__(self, status: int, code: str, says: str, **more: Any):
        super().__init__(says)
        self.status, self.code, self.says, self.more = status, code, says, more

    def as_json(self) -> dict[str, Any]:
        return {"error": self.says, "code": self.code, **self.more}
