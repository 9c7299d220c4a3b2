"""What templates need to write figures, days and fields."""
