"""Pages of purchasing, one module a subject."""
