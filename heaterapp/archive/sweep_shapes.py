"""What a sweep looks for, and what it finds."""

from dataclasses import dataclass

from heaterapp.archive.sweeping import folded


@dataclass(frozen=True)
class Sought:
    """What a sweep looks for; empty text asks nothing. Days are `2026-03-14`, both included."""

    model: str = ""
    serial_from: str = ""
    serial_to: str = ""
    expansion_tank: str = ""
    """Its size in gallons, as a decimal such as 4.4."""
    check: str = ""
    verdict: str = ""
    place: str = ""
    day_from: str = ""
    day_to: str = ""
    current: bool = True
    """Without what was replaced; a job whose newest paper is void stays in."""
    serial_ends: bool = False
    """Whether the ends, digits alone, are compared with the last digits of each serial."""

    @property
    def asks(self) -> bool:
        """Whether anything is asked but the state."""
        return any(value for value in vars(self).values() if isinstance(value, str))

    @property
    def digits_alone(self) -> bool:
        """Whether the range of serials has ends of digits alone."""
        return (folded(self.serial_from) + folded(self.serial_to)).isdecimal()


@dataclass(frozen=True)
class Swept:
    """One record that a sweep found, with whom to write to; erased facts are empty."""

    record: int
    number: str
    kind: str
    job_id: str
    issued_at: str
    worked_on: str
    address: str
    owner: str
    model: str
    serial: str
    expansion_tank: str
    contact: str
    phone: str
    email: str
    owner_now: str = ""
    """Who owns the house by now, as the office notes it; `owner` is as recorded."""
    owner_now_phone: str = ""
    owner_now_since: str = ""
    void: bool = False
    """Whether its paper was declared void."""
