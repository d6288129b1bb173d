"""Django app: plans as rows, their editor, sheets in and out, the bench calculator."""
