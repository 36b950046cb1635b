"""The pan under the heater and its drain."""
