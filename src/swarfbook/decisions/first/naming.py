"""Rows of a reference table found by what a person calls them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from swarfbook.errors import Problem, SwarfbookError, nearest
from swarfbook.tables import Row, Table

WORD = re.compile(r"[^\W_]+")
MOST_NAMED = 6
LEAST_WITHIN = 3
"""Letters from which a word may stand within another, as in `wood`, and is looked for among like ones."""


def words_of(text: str, spellings: Mapping[str, str] | None = None) -> list[str]:
    """Give the words and numbers of a text, in lower case, each in the spelling of the tables."""
    known = spellings or {}
    return [known.get(word, word) for word in WORD.findall(text.casefold())]


def rows_named(table: Table, text: str, columns: Sequence[str], spellings: Mapping[str, str]) -> list[Row]:
    """Give the rows that hold every word of a text, in the table's order.

    A row whose id or name is the text itself is the only one; so are the rows that hold the words whole,
    where others only begin with them, and so on.

    Args:
        table: the table.
        text: words as typed; `6082`, `birch ply`.
        columns: where the words are looked for, beside the id; the first is the row's name.
        spellings: other spellings, by word.
    """
    wanted = words_of(text, spellings)
    if not wanted:
        return []
    told = {row.id: words_of(" ".join([row.id, *(row.text(one) for one in columns)])) for row in table.rows}
    same = [row for row in table.rows if wanted in (words_of(row.id), words_of(row.text(columns[0])))]
    whole = [row for row in table.rows if set(wanted) <= set(told[row.id])]
    begun = [row for row in table.rows if _all(str.startswith, wanted, told[row.id])]
    within = [row for row in table.rows if _all(str.__contains__, wanted, told[row.id])]
    return same[:1] or whole or begun or (within if min(map(len, wanted)) >= LEAST_WITHIN else [])


def only(rows: Sequence[Row], table: Table, text: str, *, where: str) -> Row:
    """Give the one row that was found.

    Args:
        rows: what was found.
        table: where it was looked for.
        text: as typed.
        where: the option, for the message.

    Raises:
        SwarfbookError: none was found, or several; the line names what is nearest.
    """
    if len(rows) == 1:
        return rows[0]
    names = [row.text("name") for row in rows[:MOST_NAMED]]
    more = f" and {len(rows) - MOST_NAMED} more" if len(rows) > MOST_NAMED else ""
    if rows:
        raise SwarfbookError(
            Problem(where, "", text, f"{len(rows)} fit: {', '.join(names)}{more}; write one of them")
        )
    raise none_fits(table, text, where=where)


def none_fits(table: Table, text: str, *, where: str) -> SwarfbookError:
    """Give the error of a text that no row holds; its line names the rows with the nearest words."""
    told = {row.text("name"): words_of(row.text("name")) for row in table.rows}
    wanted = [word for word in words_of(text) if len(word) >= LEAST_WITHIN]
    near = {
        word for typed in wanted for word in nearest(typed, {one for some in told.values() for one in some})
    }
    names = [name for name, words in told.items() if near.intersection(words)] or list(told)
    ask = "did you mean" if near else "known:"
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    line = f"{ask} {', '.join(names[:MOST_NAMED])}{more}{'?' if near else ''}"
    return SwarfbookError(Problem(where, "", text, f"nothing here is called that; {line}"))


def _all(holds: Callable[[str, str], bool], wanted: Sequence[str], told: Sequence[str]) -> bool:
    return all(any(holds(word, one) for word in told) for one in wanted)
