"""Management of the test database."""
