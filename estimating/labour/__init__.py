"""Pure core: hours as a distribution, from counted work elements."""
