"""jobs actions."""
