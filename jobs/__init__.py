"""Work that is done, what it costs, and who is told."""
