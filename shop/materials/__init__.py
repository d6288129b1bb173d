"""The seam between jobs and buying: which jobs need material by when, and how far each one's kit is."""
