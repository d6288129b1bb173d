"""Only in tests: lets the database be emptied between two of them, which a shop with invoices may never do."""
