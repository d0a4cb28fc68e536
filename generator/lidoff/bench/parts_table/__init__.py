"""A table of parts, as copied from a spreadsheet -> the components of a record."""
