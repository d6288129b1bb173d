"""Template tags of the quotes app."""
