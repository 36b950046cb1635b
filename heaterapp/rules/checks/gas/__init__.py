"""Gas: the right kind, and no leak."""
