"""Template tags of the billing app."""
