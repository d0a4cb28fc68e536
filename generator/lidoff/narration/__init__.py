"""From an entry to what a reviewer publishes: a spoken draft, captions, cards, an article, and a check of the text."""
