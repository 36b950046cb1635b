"""The relief valve, and the pipe that takes its water where it can do no harm."""

# Could not measure is no answer about the part that keeps the tank from bursting.
MUST_MEASURE = True
