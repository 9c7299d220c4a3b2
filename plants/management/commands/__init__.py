"""plants management commands."""
