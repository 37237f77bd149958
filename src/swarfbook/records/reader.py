"""Read the tables of one file into models, and collect every problem on the way.

Pydantic could validate them (`records.schema` gives the same records, which a test holds), but it would
cost every command more at start than all it does, and it keeps nothing of a record that has a mistake.
So the keys are read here, one by one, with the readers the models declare.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.errors import Problem, shorten
from swarfbook.records import complaints
from swarfbook.records.base import MISSING, Record
from swarfbook.records.fields import Leaf, given
from swarfbook.records.keys import MODELS, Key, keys_of


class Reader:
    """Reads one file.

    Attributes:
        problems: what is wrong so far.
        values: values that read, by dotted key, lists counted from 1.
        present: dotted keys that stand in the file, read or not.
    """

    def __init__(self, kind: str, where: str) -> None:
        self.kind, self.where = kind, where
        self.problems: list[Problem] = []
        self.values: dict[str, Any] = {}
        self.present: dict[str, Any] = {}

    def read(self, raw: Mapping[str, Any]) -> Record:
        """Read the whole file; the record is only good if there are no problems."""
        model = MODELS[self.kind]
        record = self._table(model, raw, "")
        for place, remedy in model.relations(self.values, self.present.keys()):
            self._complain(place, self.present.get(place), remedy)
        return record

    def _table(self, model: type[Record], raw: Mapping[str, Any], prefix: str) -> Record:
        keys = keys_of(model)
        if not model.passes_over_unknown:
            self._refuse_unknown(raw, set(keys), prefix)
        fields: dict[str, Any] = {}
        for key in keys.values():
            found = raw.get(key.name)
            if found is not None:
                fields[key.attribute] = self._key(key, found, prefix + key.name)
            elif key.required and key.table and not key.many:
                self._table(key.table, {}, f"{prefix}{key.name}.")
            elif key.required:
                self._complain(prefix + key.name, None, MISSING)
        return model(**fields)

    def _refuse_unknown(self, raw: Mapping[str, Any], known: set[str], prefix: str) -> None:
        for name in raw:
            if name not in known:
                self._complain(prefix + shorten(name), raw[name], complaints.unknown(self.kind, prefix, name))

    def _key(self, key: Key, raw: object, place: str) -> object:
        """Read the value of a key: one value, one table, or a list of either."""
        self.present[place] = raw
        before = len(self.problems)
        value: object = None
        if not key.many:
            value = self._one(key, raw, place)
        elif isinstance(raw, list):
            value = tuple(self._one(key, item, f"{place}[{n}]") for n, item in enumerate(raw, start=1))
        else:
            self._complain(place, raw, complaints.write_instead(self.kind, place))
        if len(self.problems) == before:
            self.values[place] = value
        return value

    def _one(self, key: Key, raw: object, place: str) -> object:
        """Read one value or one table; None where it will not do."""
        self.present[place] = raw
        if isinstance(key.of, Leaf):
            return self._leaf(key.of, raw, place)
        if isinstance(raw, Mapping):
            record = self._table(key.of, raw, f"{place}.")
            return given(record) if key.as_dict else record
        self._complain(place, raw, complaints.write_table(self.kind, place))
        return None

    def _leaf(self, leaf: Leaf, raw: object, place: str) -> object:
        try:
            return leaf.read(raw)
        except ValueError as error:
            self._complain(place, raw, str(error))
            return None

    def _complain(self, place: str, found: object, remedy: str) -> None:
        if remedy == MISSING:
            found, remedy = None, complaints.missing(self.kind, place)
        self.problems.append(Problem(self.where, place, complaints.as_found(found), remedy))
