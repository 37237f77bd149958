"""What every result has: the object of JSON, the page as text, a table, a view in a notebook."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING, Any, TypeVar

from swarfbook.errors import did_you_mean, undriven

if TYPE_CHECKING:
    import pandas as pd

    from swarfbook.book import Book

T_co = TypeVar("T_co", covariant=True)


class Result(ABC):
    """A result of a decision."""

    _book: Book

    @abstractmethod
    def to_dict(self) -> dict[str, Any]:
        """Give exactly the object that the command prints with `--json`: plain dicts, lists and numbers."""

    @abstractmethod
    def table(self) -> pd.DataFrame:
        """Give the result as a pandas table."""

    @abstractmethod
    def _page(self, units: str | None, *, plain: bool) -> str:
        """Write the page as the command prints it."""

    @abstractmethod
    def _in_brief(self) -> str:
        """Say in a few words what came out."""

    @abstractmethod
    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        """Give the headings and the rows of the view in a notebook."""

    def page(self, *, units: str | None = None, plain: bool = False) -> str:
        """Write the page that the command prints.

        Args:
            units: `metric` or `imperial`; None for the book's own choice.
            plain: letters and ASCII signs only.
        """
        text = self._page(units or self._book.settings.units, plain=plain)
        if plain:
            from swarfbook.reports import plain as ascii_only  # noqa: PLC0415 - seldom asked for

            text = ascii_only.plain(text)
        return undriven(text)

    def __str__(self) -> str:
        return self.page()

    def __repr__(self) -> str:
        return undriven(f"<{type(self).__name__} {self._in_brief()}>")

    def _repr_html_(self) -> str:
        headings, rows = self._cells(self._book.settings.units or "metric")
        return html_table(self._in_brief(), headings, rows)


class Named(Mapping[str, T_co]):
    """Values by name, in the order in which they are reported.

    Args:
        values: the values by name.
    """

    def __init__(self, values: Mapping[str, T_co]) -> None:
        self._values = dict(values)

    def __getitem__(self, name: str) -> T_co:
        """Give one value; raises KeyError with the nearest names."""
        try:
            return self._values[name]
        except KeyError:
            raise KeyError(f"no {name!r}: {did_you_mean(str(name), self._values)}") from None

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)

    def __repr__(self) -> str:
        return "\n".join(map(repr, self._values.values()))

    def table(self) -> pd.DataFrame:
        """Give the values as a pandas table, a row each by name."""
        return frame([{"name": name, **_columns(one)} for name, one in self._values.items()], index="name")

    def _repr_html_(self) -> str:
        rows = [{"name": name, **_columns(one)} for name, one in self._values.items()]
        return html_table("", list(rows[0]) if rows else [], [list(map(cell, row.values())) for row in rows])


def _columns(one: object) -> dict[str, Any]:
    columns: dict[str, Any] = one.columns()  # type: ignore[attr-defined] # of any value that is kept by name
    return columns


def cell(value: object) -> str:
    """Write a value into a cell: numbers to three figures, nothing for None."""
    if value is None:
        return ""
    return f"{value:.3g}" if isinstance(value, float) else str(value)


def frame(rows: Sequence[Mapping[str, Any]], *, index: str = "") -> pd.DataFrame:
    """Make a pandas table of rows; `index` names the column that rows are called by."""
    import pandas as pd  # noqa: PLC0415 - slow to load, and only tables need it

    made = pd.DataFrame(list(rows))
    return made.set_index(index) if index and len(made) else made


def html_table(caption: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Write a plain table in HTML; whatever text of a file stands in it is text there, too."""
    body = "".join(_line("td", row) for row in rows)
    head = f"<caption>{_text(caption)}</caption>" if caption else ""
    return f"<table>{head}<thead>{_line('th', headings)}</thead><tbody>{body}</tbody></table>"


def _line(tag: str, cells: Sequence[str]) -> str:
    return f"<tr>{''.join(f'<{tag}>{_text(cell)}</{tag}>' for cell in cells)}</tr>"


def _text(text: str) -> str:
    return escape(undriven(text))
