"""A Django app of tasks that only tests queue."""
