"""The room, its access, what protects the heater and what it endangers."""

from ...questions.plate import FUEL


def clause_of(clause: str, heater_kind: str | None, mechanical: bool) -> str:
    """The clause to cite: the mechanical code's for a heater that burns no fuel, where the books have one."""
    burns = heater_kind is None or FUEL.holds(lambda _: heater_kind)
    return f"{clause}_mechanical" if mechanical and not burns else clause
