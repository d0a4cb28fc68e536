"""The knowledge base as it is on the disk now, for the live preview: reads again only what was edited."""

from lidoff.live.collection import LiveCollection
from lidoff.live.stamps import stamps_of

__all__ = ["LiveCollection", "stamps_of"]
