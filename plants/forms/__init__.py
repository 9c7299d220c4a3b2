"""plants forms."""
