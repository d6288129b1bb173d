"""Template tags of purchasing."""
