"""Pure core: conductors, ampacity, drop, protection, and the sizing that holds them together."""
