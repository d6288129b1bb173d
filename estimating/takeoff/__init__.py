"""Pure core: parts with exact quantities and the circuits that caused them."""
