"""Pages of suppliers, their lists and items, and of the prices of a quote."""
