"""The why of a number, as lines for people."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook import tables
from swarfbook.decisions.titles import title
from swarfbook.decisions.why import Rests, Why
from swarfbook.reports.breaking import wrap
from swarfbook.reports.measuring import Topic, topics_for
from swarfbook.tables import Row

COMMAND = "swarfbook measure {topic.name}"


def why_lines(why: Why, *, width: int, page: str = COMMAND) -> list[str]:
    """Write what stands behind one number: formula, inputs, sources, what is assumed and how to measure it.

    Args:
        why: what stands behind it.
        width: columns there are.
        page: how to come to a page on measuring, with `{topic.name}` or `{topic.title}` in it.
    """
    name = title(why.name)
    lines = [f"{name} = {why.value}", f"  {why.says}", f"  {why.formula}"]
    if why.limit:
        lines.append(f"  held against {why.limit}")
    lines += ["", "rests on", *(_input_line(rest) for rest in why.rests_on)]
    lines += (
        ["", "sources", *(f"  {line}" for row in why.rows for line in source_lines(row))] if why.rows else []
    )
    lines += _assumed(why)
    lines += [f"  measure it: {page.format(topic=topic)}" for topic in to_measure(why)]
    return [piece for line in lines for piece in _wrapped(line, width)]


def _input_line(rest: Rests) -> str:
    spread = f", spread {100 * rest.spread:.0f}\u00a0%" if rest.spread else ""
    star = "*" if rest.assumed else ""
    return f"  {title(rest.name)}{star}  {rest.value}  ({rest.origin}{spread})"


def _assumed(why: Why) -> Iterator[str]:
    names = [title(rest.name) for rest in why.rests_on if rest.assumed]
    if names:
        yield ""
        yield f"* assumed, because the book does not say: {', '.join(names)}"


def to_measure(why: Why) -> tuple[Topic, ...]:
    """Give the pages that say how to measure what is assumed."""
    return topics_for(rest.name for rest in why.rests_on if rest.assumed)


def _wrapped(line: str, width: int) -> list[str]:
    indent = " " * (len(line) - len(line.lstrip()))
    return wrap(line, width, initial_indent="", subsequent_indent=indent + "    ") or [""]


def source_lines(row: Row) -> Iterator[str]:
    """Write a table row's provenance: the row, then the work and place it came from and how sure that is."""
    yield f"{row.id}, {row.table}.csv"
    if row.source:
        work = tables.source(row.source)
        said = ", ".join(str(work[key]) for key in ("author", "title", "edition", "year") if work.get(key))
        yield f"  {said}; {row.locator} ({row.source_kind})"
    else:
        yield f"  {row.source_kind}: {row.values.get('note', '') or 'nothing to cite'}"
