"""The room, its access, what protects the heater and what it endangers."""
