"""jobs views."""
