"""What a sweep looks for, and what it finds."""

from dataclasses import dataclass

from heaterapp.archive.errors import Invalid
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
    present: str = ""
    """The newest paper of the job, where that is another one; beside it what that says of the heater."""
    present_address: str = ""
    present_model: str = ""
    present_serial: str = ""
    at_desk: bool = False
    """Whether it is a job at the desk without a paper: no record, no number, no kind."""

    @property
    def address_now(self) -> str:
        """The address as the newest paper has it."""
        return self.present_address if self.present else self.address

    @property
    def model_now(self) -> str:
        """The heater's maker and model as the newest paper has them."""
        return self.present_model if self.present else self.model

    @property
    def serial_now(self) -> str:
        """The heater's serial as the newest paper has it."""
        return self.present_serial if self.present else self.serial


def serial_range(sought: Sought) -> tuple[str, str]:
    """Return the ends of the range of serials as they are compared, one alone as both. Raises Invalid."""
    low, high = folded(sought.serial_from), folded(sought.serial_to)
    for name, end, typed in (
        ("serial_from", low, sought.serial_from), ("serial_to", high, sought.serial_to),
    ):  # fmt: skip
        if typed.strip() and not end:
            raise Invalid(name, "a serial number with letters or digits")
    if low and high and len(low) != len(high):
        said = f"a serial number of {len(low)} letters and digits, as long as the first one"
        raise Invalid("serial_to", said)
    if low and high and low > high:
        raise Invalid("serial_to", "a serial number not before the first one")
    return low or high, high or low
