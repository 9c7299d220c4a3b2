"""firm views."""
