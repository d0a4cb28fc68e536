"""A second look at an edited text: what in it disagrees with the record."""
