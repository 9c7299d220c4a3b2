"""jobs forms."""
