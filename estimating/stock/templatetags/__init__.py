"""Template tags of the stock."""
