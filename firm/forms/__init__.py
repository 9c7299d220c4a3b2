"""firm forms."""
