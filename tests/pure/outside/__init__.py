"""Figures printed outside this project, each with the one computed here."""
