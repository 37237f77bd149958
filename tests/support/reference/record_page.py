"""docs/reference/records.md: every key of every kind of record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from support.reference.markdown import code, codes, head, item, joined, para, table
from support.reference.prose import prose
from swarfbook import quantities, tables
from swarfbook.decisions.stand_ins import StandIn, Stands, stand_ins
from swarfbook.records import BookSettings, as_toml, example, parse
from swarfbook.records.base import Record
from swarfbook.records.examples import EXAMPLES
from swarfbook.records.fields import Flag, Free, Id, Leaf, Moment, Pair, Plain, Text
from swarfbook.records.job import HOLD_NEEDS, SQUEEZING
from swarfbook.records.keys import MODELS, Key, keys_of
from swarfbook.records.meanings import meaning
from swarfbook.records.recipe import OPERATION_KEYS
from swarfbook.records.run import Meter
from swarfbook.records.tool import SHAPE_KEYS
from swarfbook.tui.job_facts import DEFAULTS, WORDS

KINDS = {
    "machine": ("Machine", "machines/ID.toml"),
    "tool": ("Tool", "tools/ID.toml"),
    "material": ("Material", "materials/ID.toml"),
    "recipe": ("Recipe", "recipes/ID.toml"),
    "job": ("Job", "jobs/ID.toml"),
    "book": ("Book", "book.toml"),
    "run": ("Run", "runs/YEAR-MONTH.jsonl"),
    "rename": ("Rename", "renames.jsonl"),
}
SORTS: dict[type[Leaf], str] = {
    Flag: "true or false",
    Free: "a table of its own",
    Id: "an id",
    Moment: "a moment",
    Plain: "a bare number",
    Pair: "pairs of speed and torque",
    Text: "text",
}


def every_table(kind: str) -> Iterator[tuple[str, type[Record], bool]]:
    """Yield the tables of a kind: dotted place, model, and whether there is a list of them."""
    yield from _tables(MODELS[kind], "", many=False)


def _tables(model: type[Record], place: str, *, many: bool) -> Iterator[tuple[str, type[Record], bool]]:
    yield place, model, many
    for key in keys_of(model).values():
        if key.table:
            yield from _tables(key.table, f"{place}.{key.name}".lstrip("."), many=key.many)


def every_key(kind: str) -> Iterator[tuple[str, type[Record], Key]]:
    """Yield the keys of a kind that hold values: dotted place, the table's model, the key."""
    for place, model, _ in every_table(kind):
        for key in keys_of(model).values():
            if key.table is None:
                yield f"{place}.{key.name}".lstrip("."), model, key


def page() -> str:
    """Set the page."""
    lines = head("Records", prose()["intros"]["records"])
    for kind in KINDS:
        lines += _kind(kind)
    return joined([*lines, *_units()])


def _kind(kind: str) -> Iterator[str]:
    title, where = KINDS[kind]
    yield from (f"## {title}", "")
    yield para(f'`{where}`, `schema = "{EXAMPLES[kind]["schema"]}"`. {prose()["kinds"][kind]}')
    yield ""
    for place, model, many in every_table(kind):
        if place:
            yield from (f"### {title}: `{'[[' if many else '['}{place}{']]' if many else ']'}`", "")
        keys = [key for key in keys_of(model).values() if key.table is None]
        yield from table(
            ["key", "what it is", "value", "left out", "example"],
            [_row(kind, f"{place}.{key.name}".lstrip("."), model, key) for key in keys],
        )
    if kind == "job":
        yield from _holds()


def _row(kind: str, dotted: str, model: type[Record], key: Key) -> list[str]:
    shown = as_toml(example(kind, dotted)).replace("0" * 64, "…")
    return [
        code(key.name),
        meaning(model, key.name),
        _value(key),
        left_out(kind, dotted, model, key),
        code(shown),
    ]


def _value(key: Key) -> str:
    leaf = key.leaf
    assert leaf is not None
    told = codes(leaf.choices) if leaf.choices else _sort(leaf)
    return f"list: {told}" if key.many else told


def _sort(leaf: Leaf) -> str:
    if isinstance(leaf, Meter):
        return f"{leaf.dimension} with its unit, and its side if it is power".replace(
            "temperature with its unit, and its side if it is power", "temperature with its unit"
        )
    if leaf.dimension == "ratio":
        return f"ratio, {_brief(leaf.span)}"
    if leaf.dimension == "angle":
        return leaf.span
    if leaf.dimension:
        return f"{leaf.dimension.replace('_', ' ')}, {_brief(leaf.span)}"
    return leaf.span or next(words for sort, words in SORTS.items() if isinstance(leaf, sort))


def _brief(span: str) -> str:
    return span.replace("a value ", "").replace(" it", "")


def left_out(kind: str, dotted: str, model: type[Record], key: Key) -> str:
    """Say what serves where a key is left out; `needed` where it must stand."""
    if key.required:
        return "**needed**"
    own = prose()["left_out"].get(f"{kind}.{dotted}")
    return own or _of_others(kind, key.name) or _serves(kind, dotted, model, key)


def _of_others(kind: str, name: str) -> str:
    """Say which shape or operation a key is for."""
    if kind == "tool" and name in SHAPE_KEYS:
        shape, needed = SHAPE_KEYS[name]
        return f"**needed** for `{shape}`" if needed else f"only for `{shape}`: a sharp point"
    if kind == "recipe" and name in OPERATION_KEYS:
        return f"for {codes(OPERATION_KEYS[name])} only"
    if kind == "recipe" and name in ("feed_per_tooth", "feed_rate"):
        return "**needed**, one of the two feeds"
    return ""


def _serves(kind: str, dotted: str, model: type[Record], key: Key) -> str:
    if kind in ("machine", "tool", "material"):
        found = _stands(kind).get(dotted)
        return _said(found, kind, dotted) if found else "nothing"
    default = model.declared[key.attribute].default
    assert default is not None
    if kind == "job" and dotted in DEFAULTS:
        return _row_value(DEFAULTS[dotted])
    if kind == "job" and dotted in WORDS:
        return WORDS[dotted]
    return _plain(default(), key)


def _plain(default: object, key: Key) -> str:
    if default in (None, "", (), {}):
        return "nothing"
    dimension = key.leaf.dimension if key.leaf else None
    if isinstance(default, float) and dimension and dimension != "ratio":
        return code(quantities.show(default, dimension))
    return code(as_toml(default))


def _row_value(name: str) -> str:
    row = tables.load("defaults").get(name)
    return f"{quantities.show(row.needed('value'), row.text('dimension'))}, assumed: `{name}` of `defaults`"


@cache
def _stands(kind: str) -> Stands:
    record = parse(kind, EXAMPLES[kind] | BESIDE.get(kind, {}), where="")
    return stand_ins(kind, record, BookSettings(title="example"))


BESIDE = {
    "tool": {"corner_radius": None, "point_angle": None, "tip_diameter": None, "taper": None},
}


def _said(found: StandIn, kind: str, dotted: str) -> str:
    if found.row is not None:
        if kind == "material":
            return f"the row's, `{found.row.table}`"
        key = next(key for place, _, key in every_key(kind) if place == dotted)
        assert key.leaf is not None
        assert found.value is not None
        number = quantities.show(found.value, key.leaf.dimension or "ratio")
        return f"{number}{', assumed' * found.assumed}: `{found.row.id}` of `{found.row.table}`"
    if kind == "material" and dotted.startswith("overrides."):
        table_name = re.sub(r"\.csv has none", "", found.says)
        return f"the row's, `{table_name}`"
    return (found.says or found.origin) + ", assumed" * found.assumed


def _holds() -> Iterator[str]:
    yield from ("What each way of holding needs besides its `method`:", "")
    for method, keys in HOLD_NEEDS.items():
        more = "`force`, or `bolt` with `torque`" if method in SQUEEZING else ""
        yield item(f"`{method}`: {' and '.join(filter(None, [codes(keys), more])) or 'nothing'}")
    yield ""


def _units() -> Iterator[str]:
    from swarfbook._units import UNITS

    used = {key.leaf.dimension for kind in KINDS for _, _, key in every_key(kind) if key.leaf} | {"torque"}
    yield from ("## Units", "")
    yield from ("The unit that is written where nobody chose another stands first.", "")
    yield from table(
        ["dimension", "units that may be written"],
        [
            [
                name.replace("_", " "),
                codes(filter(None, quantities.units(name))) + ", or a bare number" * (name == "ratio"),
            ]
            for name in UNITS
            if name in used
        ],
    )
