"""What a command is: one thing a person can do, with its keys and its words."""

from __future__ import annotations

from swarfbook.frozen import frozen


@frozen
class Command:
    """One thing a person can do.

    Attributes:
        id: `screen.action`, a name that stays.
        keys: the keys as Textual names them, `?` and `/` as themselves, with commas between.
        shown: the keys as a person reads them.
        words: what it does, in the footer.
        help: what it does, on the help page.
        rank: how soon it leaves a narrow footer, 1 the last; 0 is never in it.
    """

    id: str
    keys: str
    shown: str
    words: str
    help: str
    rank: int = 0

    @property
    def screen(self) -> str:
        """The screen it belongs to."""
        return self.id.split(".")[0]

    @property
    def action(self) -> str:
        """The name of the screen's action."""
        return self.id.split(".")[1]
