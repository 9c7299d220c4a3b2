"""plants management."""
