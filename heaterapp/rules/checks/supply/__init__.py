"""House pressure, what limits it, and the valves and pipes at the heater."""
