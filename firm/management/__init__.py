"""Commands of the firm."""
