"""plants views."""
