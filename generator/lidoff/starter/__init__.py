"""An empty knowledge base of one's own: the files that it starts with."""
