"""Template tags of the floor."""
