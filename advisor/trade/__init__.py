"""The trade's own words: the values and quantities that every other part speaks of."""
