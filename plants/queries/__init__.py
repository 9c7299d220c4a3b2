"""plants queries."""
