"""Measurements, run by ``python -m tests.bench``; not part of the tests, as the machine may be busy."""
