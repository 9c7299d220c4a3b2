"""Everything that writes rows of the firm."""
