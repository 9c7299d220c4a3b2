"""Plants, the places they grow in, and the care they need."""
