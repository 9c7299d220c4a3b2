"""jobs queries."""
