"""Commands of the test database."""
