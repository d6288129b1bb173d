"""Django app: work queued in the same transaction as the data it is about."""
