"""plants actions."""
