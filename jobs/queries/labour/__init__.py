"""Rates of labour, the labour of a quote, and what logged hours say of both."""
