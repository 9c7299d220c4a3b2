"""jobs management."""
