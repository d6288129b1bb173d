"""Pure core: money. Price book, terms, the priced quote and the one rounding rule."""
