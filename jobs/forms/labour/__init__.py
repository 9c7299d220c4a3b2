"""Forms of the rates of labour and of the labour of a quote."""
