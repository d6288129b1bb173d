"""Tests of the sizing of wires and fuses."""
