"""Air for burning: enough of it, through openings in the right places."""
