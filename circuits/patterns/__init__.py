"""Pure core: expands each circuit of a plan into wires, devices and protections. One module a pattern."""
