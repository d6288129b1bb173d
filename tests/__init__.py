"""Tests, laid out like the floors they guard."""
