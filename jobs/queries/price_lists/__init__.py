"""Reads price lists of suppliers: cells, columns, names, and the whole list."""
