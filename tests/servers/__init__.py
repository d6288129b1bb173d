"""Real servers and programs that tests talk to."""
