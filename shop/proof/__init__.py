"""Proof before power: the check sheet of a vehicle, its readings, and the lock on its battery."""
