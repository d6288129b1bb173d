"""Template tags of the planning app."""
