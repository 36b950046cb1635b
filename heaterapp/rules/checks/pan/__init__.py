"""The pan under the heater and its drain."""

NO_PAN_ASKED = "This book asks for no pan here; the one fitted is not judged."


def asked_for(
    heater_kind: str | None, leak_would_damage: bool | None, heaters: tuple[str, ...], always: bool
) -> bool:
    """The book asks for a pan here, or too little is known to say that it does not."""
    return (always or leak_would_damage is not False) and (heater_kind is None or heater_kind in heaters)
