"""The heater itself: its listing, ratings and where it may be used."""
