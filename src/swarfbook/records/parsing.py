"""From what a TOML reader gives to a record, with every problem of the file told at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal, overload

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import complaints
from swarfbook.records.base import Record
from swarfbook.records.keys import find
from swarfbook.records.machine import Machine
from swarfbook.records.material import Material
from swarfbook.records.reader import Reader
from swarfbook.records.recipe import Recipe
from swarfbook.records.rename import Rename
from swarfbook.records.run import Run
from swarfbook.records.settings import BookSettings
from swarfbook.records.tool import Tool

if TYPE_CHECKING:
    from swarfbook.records.job import Job

Raw = Mapping[str, Any]


@overload
def parse(kind: Literal["machine"], raw: Raw, *, where: str) -> Machine: ...
@overload
def parse(kind: Literal["tool"], raw: Raw, *, where: str) -> Tool: ...
@overload
def parse(kind: Literal["material"], raw: Raw, *, where: str) -> Material: ...
@overload
def parse(kind: Literal["recipe"], raw: Raw, *, where: str) -> Recipe: ...
@overload
def parse(kind: Literal["job"], raw: Raw, *, where: str) -> Job: ...
@overload
def parse(kind: Literal["book"], raw: Raw, *, where: str) -> BookSettings: ...
@overload
def parse(kind: Literal["run"], raw: Raw, *, where: str) -> Run: ...
@overload
def parse(kind: Literal["rename"], raw: Raw, *, where: str) -> Rename: ...
@overload
def parse(kind: str, raw: Raw, *, where: str) -> Record: ...
def parse(kind: str, raw: Raw, *, where: str) -> Record:
    """Read one record.

    Args:
        kind: "machine", "tool", "material", "recipe", "job", "book", "run" or "rename".
        raw: the file as the TOML reader gives it, `schema` among it.
        where: the file as messages name it.

    Returns:
        The record, in SI units.

    Raises:
        SwarfbookError: with every problem of the file.
    """
    problems = list(complaints.about_schema(kind, raw, where=where))
    if problems and isinstance(raw.get("schema"), str):
        raise SwarfbookError(*problems)
    reader = Reader(kind, where)
    record = reader.read({key: value for key, value in raw.items() if key != "schema"})
    problems += reader.problems
    if problems:
        raise SwarfbookError(*problems)
    return record


def read_value(kind: str, dotted: str, raw: object) -> object:
    """Read one value as its key does, for a prompt.

    Args:
        kind: kind of record.
        dotted: a key of `record_keys(kind)` that is neither a list nor a pair.
        raw: the value as typed.

    Returns:
        The value as a record holds it, in SI units.

    Raises:
        SwarfbookError: with what would do.
    """
    key = find(kind, dotted)
    if key is None or key.leaf is None or key.many:
        raise KeyError(dotted)
    try:
        return key.leaf.read(raw)
    except ValueError as error:
        raise SwarfbookError(Problem("", dotted, complaints.as_found(raw), str(error))) from error


def takes(kind: str, dotted: str, raw: object) -> bool:
    """Say whether a key would take a value; see `read_value`."""
    try:
        read_value(kind, dotted, raw)
    except SwarfbookError:
        return False
    return True
