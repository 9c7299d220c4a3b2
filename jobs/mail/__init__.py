"""Letters about work and money."""
