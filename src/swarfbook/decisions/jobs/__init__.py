"""Decisions on a whole job: can it be made, will it hold, how warm, how long, what does it cost."""
