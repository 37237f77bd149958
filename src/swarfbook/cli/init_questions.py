"""The four questions of `swarfbook init`, and the same answers taken from options."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

import click

from swarfbook import tables
from swarfbook.cli.text import indented, page_width
from swarfbook.decisions.first.book import Answers
from swarfbook.decisions.first.cutter import Cutter, cutter_record, read_cutter
from swarfbook.decisions.first.machine import Plate, machines_named, read_plate, read_rating
from swarfbook.decisions.first.material import materials_named
from swarfbook.decisions.first.naming import only
from swarfbook.errors import Problem, SwarfbookError, printable, shorten
from swarfbook.frozen import frozen
from swarfbook.tables import Row

T = TypeVar("T")
Told = Mapping[str, str | None]

BEGIN = "Four questions, then a first recipe. Enter takes what stands in brackets."
MACHINE = "1 of 4  What machine is it? A number, or words."
SPINDLE = "2 of 4  What does the spindle's plate say? Power, and speeds if they are there."
RATING = "        What is that power? A number, or a word."
TOOL = "3 of 4  The first cutter? Diameter, flutes, and what it is made of."
MATERIAL = "4 of 4  The first material? A word or two (`swarfbook table materials` has all)."
SEVERAL = "        Which of these? A number."
SIDES = {
    "shaft": "shaft: what the spindle gives",
    "input": "input: what it takes at the plug",
    "unknown": "unknown: the plate does not say",
}
USUAL_TOOL, USUAL_MATERIAL = "6 mm two-flute carbide", "6082"


@frozen
class Question:
    """One question: its lines, an example, and what Enter stands for, as typed and as shown."""

    lines: Sequence[str]
    example: str = ""
    usual: str = ""
    shown: str = ""


def read(told: Told) -> Answers:
    """Give the answers that options hold, spindle and rating where they were said.

    Raises:
        SwarfbookError: something that does not read, or fits several rows.
    """
    machine, material = told["machine"] or "", told["material"] or ""
    answers = Answers(
        machine=_machine(machine),
        plate=_plate(told),
        cutter=read_cutter(told["tool"] or "", where="--tool"),
        material=_material(material),
    )
    if answers.cutter.unread:
        _say(f"--tool is {_taken(answers.cutter)}")
    return answers


def asked(told: Told) -> Answers:
    """Ask at the terminal for what the options leave out; a bad answer is told and asked for again.

    Raises:
        SwarfbookError: an option does not read, which is told before anything is asked.
        click.Abort: Ctrl+C or Ctrl+D.
    """
    machine = None if told["machine"] is None else _machine(told["machine"])
    plate = _plate(told)
    cutter = None if told["tool"] is None else read_cutter(told["tool"], where="--tool")
    material = None if told["material"] is None else _material(told["material"])
    _say(BEGIN)
    try:
        machine = machine or _ask_machine()
        plate = _ask_plate(told, plate, machine)
        cutter = cutter or _ask_cutter()
        material = material or _ask_material()
    except click.Abort:
        _say("", "nothing was made")
        raise
    _say("")
    return Answers(machine, plate, cutter, material)


def _machine(text: str) -> Row:
    return only(
        machines_named(text, where="--machine"), tables.load("first_machines"), text, where="--machine"
    )


def _material(text: str) -> Row:
    return only(materials_named(text, where="--material"), tables.load("materials"), text, where="--material")


def _plate(told: Told) -> Plate:
    plate = read_plate(told["spindle"] or "", where="--spindle")
    return Plate(plate.power, plate.slowest, plate.fastest, told["rating"] or "unknown")


def _ask_machine() -> Row:
    rows = tables.load("first_machines").rows
    question = Question([MACHINE, *_numbered([row.text("what") for row in rows])], usual="1")
    return _chosen(question, rows, machines_named)


def _ask_plate(told: Told, plate: Plate, machine: Row) -> Plate:
    """Ask for what the plate says, and for what its power is where one was said."""
    if told["spindle"] is None:
        usual = f"{machine.text('rated_power_w')} W, assumed"
        example = "800 W, 1 hp, 2.2 kW 6000-24000 rpm"
        plate = _ask(Question([SPINDLE], example, shown=usual), read_plate)
    if not plate.power or told["rating"] is not None:
        return Plate(plate.power, plate.slowest, plate.fastest, told["rating"] or "unknown")
    words = list(SIDES)
    question = Question([RATING, *_numbered(list(SIDES.values()))], usual="3")
    rating = _ask(question, lambda text: _numbered_of(words, text) or read_rating(text))
    return Plate(plate.power, plate.slowest, plate.fastest, rating)


def _ask_cutter() -> Cutter:
    question = Question([TOOL], "6 mm one-flute carbide, 1/4 in two-flute HSS, 3 mm ball", USUAL_TOOL)
    cutter = _ask(question, read_cutter)
    _say(f"        {_taken(cutter)}")
    return cutter


def _taken(cutter: Cutter) -> str:
    """Say what a cutter was taken as, and what of the words said nothing."""
    unread = f"; not understood: {shorten(', '.join(cutter.unread))}" if cutter.unread else ""
    return f"taken as: {cutter_record(cutter).values['name']}{unread}"


def _ask_material() -> Row:
    question = Question([MATERIAL], "6082, brass, mild steel, birch ply, acetal, MDF", USUAL_MATERIAL)
    row = _chosen(question, (), materials_named)
    _say(f"        taken as: {row.text('name')}")
    return row


def _chosen(question: Question, rows: Sequence[Row], named: Callable[[str], list[Row]]) -> Row:
    """Ask for a row by its number or by words; where words fit several, ask which."""
    found = _rows(question, rows, named)
    while len(found) > 1:
        lines = [SEVERAL, *_numbered([row.text("name") for row in found])]
        found = _rows(Question(lines, usual="1"), found, named)
    return found[0]


def _rows(question: Question, rows: Sequence[Row], named: Callable[[str], list[Row]]) -> list[Row]:
    def found(text: str) -> list[Row]:
        if rows and text.strip().isdecimal() and not _numbered_of(rows, text):
            raise SwarfbookError(Problem("", "", text, f"write a number from 1 to {len(rows)}, or words"))
        return _one(_numbered_of(rows, text)) or named(text)

    return _ask(question, found)


def _one(row: Row | None) -> list[Row]:
    return [] if row is None else [row]


def _numbered(lines: Sequence[str]) -> list[str]:
    return [f"        {number:>2}  {line}" for number, line in enumerate(lines, 1)]


def _numbered_of(items: Sequence[T], text: str) -> T | None:
    """Give the item of the number that was typed; None where no number of these was."""
    typed = text.strip()
    number = int(typed) if typed.isdecimal() and len(typed) < 4 else 0
    return items[number - 1] if 1 <= number <= len(items) else None


def _ask(question: Question, take: Callable[[str], T]) -> T:
    """Ask until the answer reads."""
    _say("", *question.lines)
    if question.example:
        _say(f"        such as: {question.example}")
    while True:
        shown = question.shown or question.usual
        text = click.prompt(
            f"        [{shown}]", default=question.usual, show_default=False, prompt_suffix=" > ", err=True
        )
        try:
            return take(text)
        except SwarfbookError as error:
            _say(*indented((_line(one) for one in error.problems), page_width()))


def _line(problem: Problem) -> str:
    return str(Problem("", "", "", f"{shorten(problem.found)}: {problem.remedy}")).removeprefix(": ")


def _say(*lines: str) -> None:
    for line in lines:
        click.echo(printable(line), err=True)
