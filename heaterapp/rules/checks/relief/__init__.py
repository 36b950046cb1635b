"""The relief valve, and the pipe that takes its water where it can do no harm."""
