"""Draw the site with mkdocs and put it in place; the only part of the package that knows mkdocs."""
