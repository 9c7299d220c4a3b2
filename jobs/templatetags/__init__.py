"""Template tags of work and money."""
