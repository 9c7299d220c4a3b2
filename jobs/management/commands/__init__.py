"""jobs management commands."""
