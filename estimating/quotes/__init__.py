"""Django app: price book, minutes and terms as rows; quotes, their revisions and papers."""
