"""Commands of the firm: first run, serving, background work, backup and restore."""
