"""The frozen record: one dataclass an object of the schema, field for field."""

from lidoff.record.model.record import Record

__all__ = ["Record"]
