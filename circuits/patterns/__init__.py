"""Pure core: expands each circuit of a plan into wires, devices and protections. One module a pattern."""

from circuits.patterns.expansion import expand

__all__ = ["expand"]
