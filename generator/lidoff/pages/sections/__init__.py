"""The sections of the site: which pages each has, at which addresses."""
