"""Sizes of type and of white on a job sheet, at a scale [pt]."""

from __future__ import annotations

from dataclasses import dataclass

ARMS_LENGTH = 12.0
"""Type that is read at arm's length."""
SMALLEST = 7.0
SCALES = [step / 40 for step in range(10, 45)]
"""Scales that are tried; 1 is about a page of four steps."""
FULL = 0.55
"""Down to this scale warnings are bold."""
FEW_STEPS = 6
"""Up to here the numbers to set are of a size that is read at arm's length, each under its name."""


@dataclass(frozen=True, slots=True)
class Look:
    """Sizes at a scale; `few` where there are few steps on the page."""

    scale: float
    few: bool

    def at(self, size: float, least: float) -> float:
        """Scale a size, down to the least."""
        return max(least, size * self.scale)

    @property
    def loud(self) -> bool:
        """Tell whether warnings are bold: a page that is full to the edge has lighter ones."""
        return self.few or self.scale > FULL

    @property
    def small(self) -> float:
        """Names, boxes, the foot."""
        return self.at(8.5, SMALLEST)

    @property
    def text(self) -> float:
        """What is read before the machine runs."""
        return self.at(10.0, SMALLEST)

    @property
    def head(self) -> float:
        """The sentence of a step, with how far the cutter stands out."""
        return self.at(12.5, ARMS_LENGTH if self.few else SMALLEST + 0.5)

    @property
    def number(self) -> float:
        """The numbers to set."""
        return self.at(14.0, ARMS_LENGTH if self.few else SMALLEST + 1.0)

    @property
    def numeral(self) -> float:
        """The number of a step."""
        return self.at(42.0, 14.0)

    @property
    def title(self) -> float:
        """The title of the page."""
        return self.at(26.0, 13.0)

    @property
    def box(self) -> float:
        """A box to tick."""
        return (1.3 if self.few else 1.15) * self.small

    @property
    def edge(self) -> float:
        """The page's white edge."""
        return min(38.0, self.at(38.0, 20.0))

    @property
    def aside(self) -> float:
        """Width of the column for what happened."""
        return self.at(136.0, 120.0)

    @property
    def gap(self) -> float:
        """Between two columns."""
        return self.at(12.0, 7.0)

    @property
    def pad(self) -> float:
        """Over and under a step."""
        return self.at(7.0, 1.8)

    @property
    def between(self) -> float:
        """Between the parts of the page."""
        return self.at(8.0, 3.0)

    @property
    def pitch(self) -> float:
        """Height of a line to write on."""
        return self.at(21.0, 15.0)
