"""Django app: staff, roles, the shop's letterhead, log-in."""
