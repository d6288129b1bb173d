"""Tests of circuit sheets in and out."""
