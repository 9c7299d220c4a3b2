"""Pages of care contracts: the draft, the offer, the running year, the private page."""
