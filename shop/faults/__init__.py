"""The punch list: faults with their symptom, tests, cause, remedy and re-test."""
