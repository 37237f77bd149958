"""Picking a recipe for a job, over the page: what the job asks, and below it the ranking as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from textwrap import shorten, wrap

from textual import on
from textual.app import ComposeResult

from swarfbook.decisions.pick import Asked, Candidate, pick
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.pick_page import WORDS, candidate_line, nothing_fits, reason_lines
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import counted
from swarfbook.tui.beside import Progress
from swarfbook.tui.commands import footer, shown
from swarfbook.tui.desk import Desk
from swarfbook.tui.finding import Finder
from swarfbook.tui.form_screen import FormScreen
from swarfbook.tui.job_forms import asked_of, job_text, pick_form
from swarfbook.tui.lines import Line, Lines, text_of
from swarfbook.tui.naming import Naming
from swarfbook.tui.rows_screen import FOOT, PAGE_ABOVE, ROOMY
from swarfbook.tui.working import Step, Working

TITLE = "What to cut it with"
STEM = 60  # letters of an id that is proposed
FORM_SHARE = 0.6  # of the rows go to the form while it is written in, as far as it needs them
LEAST_FIELDS = 4
LEAST_RANKED = 3  # rows that the reasons of the chosen recipe leave to the ranking


@dataclass(frozen=True, slots=True)
class Ranked:
    """A recipe of the ranking as a row.

    Attributes:
        candidate: the recipe.
    """

    candidate: Candidate
    words: str = ""

    @property
    def id(self) -> str:
        """What tells it from the others: an adapted one stands beside the recipe that it comes from."""
        recipe = self.candidate.check.case.recipe
        return f"{self.candidate.check.case.recipe_id} {recipe.machine} {recipe.tool}"

    @property
    def group(self) -> str:
        """How well it fits."""
        return WORDS[self.candidate.fit]


class PickScreen(FormScreen[str | None], Working[str | None]):
    """Gives the id of the recipe to open, or None for going back.

    Attributes:
        ranking: the recipes as they stand, best first, and which is chosen.
        among_ranked: keys choose among them, and the form is folded into a line.
        naming: the name of an adapted recipe while it is asked for.
    """

    DEFAULT_CSS = "PickScreen > #rows { height: auto; }"

    def __init__(self, desk: Desk) -> None:
        super().__init__(TITLE, pick_form(desk))
        self.desk = desk
        self.ranking: Finder[Ranked] = Finder()
        self.among_ranked = False
        self.naming = Naming(desk)
        self._asked: Asked | None = None
        self._status = ""
        self._halted = False

    @property
    def mode(self) -> str:
        """The keys of the form, or those of the ranking."""
        return "picked" if self.among_ranked else "pick"

    def compose(self) -> ComposeResult:
        """Lay out the form, the ranking and the chosen recipe's reasons."""
        yield Lines(id="head", classes="top")
        for part in ("rows", "detail", "ranking", "reasons", "foot"):
            yield Lines(id=part)

    def on_mount(self) -> None:
        """Begin with the job as the recipe on the page has it."""
        self.write()

    # Ranking, beside the keys

    def write(self, *, again: bool = False) -> bool:
        """Take what is written, and rank anew where that asks otherwise; False where it will not do.

        Args:
            again: rank anew where the ranking was stopped, too.
        """
        try:
            asked = asked_of(self.form)
        except SwarfbookError as error:
            self.form.refuse(error.problems[0])
            return False
        if asked != self._asked or (again and self._halted):
            self._rank(asked, None)
        return True

    def log_read(self) -> None:
        """Rank by what the log says now, unless one that was ranked is being named."""
        if self._asked is not None and not self._halted and self.naming.line is None:
            self._rank(self._asked, self.ranking.chosen)
            self.draw()

    def _rank(self, asked: Asked, chosen: str | None) -> None:
        self._asked, self._halted = asked, False
        self.begin(
            Progress("ranking: recipes looked at", self.desk.recipes),
            partial(_ranked, self.desk, asked),
            partial(self._take, chosen),
        )

    def _take(self, chosen: str | None, ranked: list[Ranked]) -> None:
        self.ranking.fill(ranked, chosen)
        self._status = _status([one.candidate for one in ranked])

    def take_refused(self, problem: Problem) -> None:
        """Say what is wrong with the book."""
        self.ranking.fill([], None)
        self._status = str(problem)

    def _halt(self) -> None:
        self.stop()
        self._halted = True
        self.ranking.fill([], None)
        self._status = "stopped; Enter ranks again"

    @property
    def _answered(self) -> bool:
        """Whether there is a recipe to choose that was ranked for what is asked now."""
        return self.chosen is not None and self.progress is None

    @property
    def chosen(self) -> Candidate | None:
        """The chosen recipe."""
        return self.ranking.hits[self.ranking.place].candidate if self.ranking.hits else None

    # Drawing

    def head(self, width: int) -> list[Line]:
        """Say what is asked: by the form, or in words while that is folded."""
        lines = super().head(width)
        if not self.among_ranked:
            return lines
        told = wrap(job_text(self.form), width - 2)
        return [lines[0], *([(f" {line}", "plain")] for line in told), []]

    def detail_height(self) -> int:
        """Rows for what may be written."""
        return 0 if self.among_ranked else 3 if self.size.height >= ROOMY else 2

    def room(self) -> int:
        """Rows for the fields."""
        if self.among_ranked:
            return 0
        share = int(self._rest() * FORM_SHARE)
        return min(len(self.form.fields.rows), max(share, LEAST_FIELDS))

    def _rest(self) -> int:
        """Rows for the fields and the ranking together."""
        head = len(self.head(self.size.width))
        return max(self.size.height - PAGE_ABOVE - head - self.detail_height() - FOOT, 1)

    def draw(self) -> None:
        """Draw every part."""
        width, room = self.size.width, self.room()
        self.query_one("#head", Lines).show(self.head(width))
        fields = self.form.fields.lines(room) if room else ()
        self.query_one("#rows", Lines).show([self._item(item, width) for item in fields])
        detail = self.detail(width, self.detail_height()) if room else []
        blanks: list[Line] = [[]] * (self.detail_height() - len(detail))
        self.query_one("#detail", Lines).show([*detail, *blanks])
        self._draw_ranking(width, self._rest() - room)
        self.query_one("#foot", Lines).show([[(self.foot(width), "faint")]])

    def _draw_ranking(self, width: int, height: int) -> None:
        named = self.naming.drawn(width)
        reasons = self._reasons(width) if self.among_ranked and self._answered else []
        room = height - 1 - bool(named)
        needed = len(self._shown(room))
        reasons = _cut(reasons, max(room - needed, room - LEAST_RANKED), width)
        status = self._status if self.progress is None else self.said or "ranking …"
        lines: list[Line] = [[(f" {shorten(status, width - 2, placeholder=' …')}", "faint")]]
        lines += [self._ranking_line(item, width) for item in self._shown(max(room - len(reasons), 1))]
        if not (self.ranking.hits or self._halted or self.progress or self._asked is None):
            solve = f"{shown('page.solve')} on the page works out a first one to try."
            told = [*nothing_fits(width=width - 2), *wrap(solve, width - 2)]
            lines += [[(f" {line}", "plain")] for line in told]
        self.query_one("#ranking", Lines).show(lines)
        below = [*([named] if named else []), *reasons]
        blanks: list[Line] = [[]] * (height - len(lines) - len(below))
        self.query_one("#reasons", Lines).show([*below, *blanks])

    def _shown(self, room: int) -> list[str | int]:
        return list(self.ranking.lines(room)) if self.ranking.hits else []

    def _ranking_line(self, item: str | int, width: int) -> Line:
        if isinstance(item, str):
            return [(f" {item}"[:width], "faint")]
        chosen = self.among_ranked and item == self.ranking.place
        candidate = self.ranking.hits[item].candidate
        line = candidate_line(candidate, width=width - 4, system=self.desk.shown)
        # What stands while it is ranked anew answers an earlier question.
        style = "faint" if self.progress is not None else "strong" if chosen else "plain"
        return [(f" {'▸' if chosen else ' '} {line}", style)]

    def _reasons(self, width: int) -> list[Line]:
        """Say what the chosen recipe is, and why it fits no better."""
        if self.chosen is None:
            return []
        told = list(reason_lines(self.chosen, width=width, system=self.desk.shown))
        if self.chosen.adapted is None:
            sentence = sentence_of(self.chosen.check.case, system=self.desk.shown)
            told = [*sentence_text(sentence, width=width - 2).split("\n"), *told]
        blank: list[Line] = [] if self.naming.line is not None else [[]]
        return [*blank, *([(f" {line.removeprefix('    ')}", "plain")] for line in told)]

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        adapted = self.chosen is not None and self.chosen.adapted is not None
        now = {"open": "name it"} if self.among_ranked and adapted else {}
        if self.naming.line is not None:
            now = {"open": "save", "close": "do not"}
        elif self.progress is not None:
            now["close"] = "stop"
        return footer(self.mode, width, self.usable, now)

    # Keys and mouse

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now: while a name is typed its letters are no commands."""
        if self.naming.line is not None:
            return action in ("open", "close", "help")
        return action != "open" or not self.among_ranked or self._answered

    def before_key(self) -> None:
        """Forget what the last key had to say."""
        super().before_key()
        self.naming.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Write in the field, or the name."""
        if self.naming.line is not None:
            self.naming.line.press(key, character)
            self.draw()
        elif not self.among_ranked:
            super().typed(key, character)

    def move(self, step: int) -> None:
        """Choose another recipe, or write in another field once this one will do."""
        if self.among_ranked:
            self.ranking.move(step)
        elif self.write():
            self.form.fields.move(step)
        self.draw()

    def may_leave(self) -> bool:
        """Say whether another field may be chosen."""
        done = self.write()
        self.draw()
        return done

    @on(Lines.Pressed, "#ranking")
    def press_ranked(self, event: Lines.Pressed) -> None:
        """Choose the recipe under the mouse; a second press opens it."""
        items = self._shown(event.lines.size.height - 1) if self.naming.line is None else []
        if not 1 <= event.row <= len(items) or isinstance(items[event.row - 1], str) or not self.write():
            return
        place = int(items[event.row - 1])
        again = self.among_ranked and place == self.ranking.place
        self.among_ranked, self.ranking.place = True, place
        if again:
            self.action_open()
        self.draw()

    def action_open(self) -> None:
        """From the form go on to the ranking; from there open the chosen recipe, an adapted one by a name."""
        if not self.among_ranked:
            self.among_ranked = self.write(again=True)
        elif not self._answered:
            return
        elif self.chosen is not None and self.chosen.adapted is None:
            self.dismiss(self.chosen.recipe)
            return
        elif self.chosen is not None:
            case = self.chosen.check.case
            saved = self.naming.take(case.values, case.recipe_id[:STEM])
            if saved is not None:
                self.dismiss(saved)
                return
        self.draw()

    def action_ask(self) -> None:
        """Go back to the form."""
        self.among_ranked = False
        self.draw()

    def action_close(self) -> None:
        """Go back a step: from the name, from the work, from the ranking, from the form."""
        if self.naming.line is not None:
            self.naming.line = None
        elif self.progress is not None:
            self._halt()
        elif self.among_ranked:
            self.among_ranked = False
        else:
            self.dismiss(None)
            return
        self.draw()


def _status(ranked: list[Candidate]) -> str:
    own = [one for one in ranked if one.adapted is None]
    usable, adapted = sum(one.usable for one in own), len(ranked) - len(own)
    if adapted:
        return f"none of the book's may be run as it is; {counted(adapted, 'trial')} adapted"
    return f"{usable} of {counted(len(own), 'recipe')} may be run" if own else ""


def _cut(lines: list[Line], height: int, width: int) -> list[Line]:
    """Cut lines at a height, with a sign that they go on."""
    if len(lines) <= height or height < 1:
        return lines[: max(height, 0)]
    last = text_of(lines[height - 1])
    return [*lines[: height - 1], [(f"{last[: width - 3]} …", "plain")]]


def _ranked(desk: Desk, asked: Asked, step: Step) -> list[Ranked]:
    return [Ranked(one) for one in pick(desk.book, asked, past=desk.logbook.past, watch=step)]
