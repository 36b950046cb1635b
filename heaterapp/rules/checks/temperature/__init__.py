"""How hot the water may leave the heater."""
