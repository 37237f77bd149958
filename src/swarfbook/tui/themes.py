"""The themes: ink on paper, by lamplight and by day, and one of the strongest contrast.

Meaning is never in the colour.
"""

from __future__ import annotations

from dataclasses import replace

from textual.theme import Theme

LAMPLIGHT = Theme(
    name="lamplight", dark=True, primary="#9db4c8", secondary="#a39c8e", accent="#8fc1e3",
    foreground="#ece6d8", background="#1c1b19", surface="#262420", panel="#302d28",
)  # fmt: skip
DAYLIGHT = Theme(
    name="daylight", dark=False, primary="#24435c", secondary="#6b6558", accent="#1d4f8a",
    foreground="#201d18", background="#f6f2e7", surface="#ece6d6", panel="#e0d9c6",
)  # fmt: skip
CONTRAST = Theme(
    name="high-contrast", dark=True, primary="#ffffff", secondary="#ffffff", accent="#ffffff",
    foreground="#ffffff", background="#000000", surface="#000000", panel="#000000",
)  # fmt: skip
THEMES = (LAMPLIGHT, DAYLIGHT, CONTRAST)
SIXTEEN = "standard"
"""Rich's word for a terminal of sixteen colours."""


def in_sixteen(theme: Theme) -> Theme:
    """Give a theme for a terminal of sixteen colours, whose one dark grey is too near white to read."""
    return theme if theme.dark else replace(theme, secondary=theme.foreground, accent=theme.foreground)
