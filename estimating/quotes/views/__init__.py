"""Pages of the quotes app, one module a page."""
