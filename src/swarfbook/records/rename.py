"""A rename: what a record was called until when. One line of `renames.jsonl`."""

from datetime import datetime
from typing import Annotated, Literal, get_args

from swarfbook.records.base import Record, stated
from swarfbook.records.fields import Moment, RecordId, Word

Renamed = Literal["machine", "tool", "material", "recipe"]


class Rename(Record):
    """A rename as its line describes it; keys this version does not know are passed over.

    Attributes:
        at: when.
        kind: kind of record.
        from_: its id until then.
        to: its id from then on.
    """

    passes_over_unknown = True

    at: Annotated[datetime, Moment()]
    kind: Annotated[Renamed, Word(get_args(Renamed))]
    from_: RecordId = stated(name="from")
    to: RecordId
