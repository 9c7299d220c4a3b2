"""The firm itself: people, crews, clients, letters, settings."""
