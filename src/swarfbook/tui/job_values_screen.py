"""A job's values, over its page: judged as they stand with every change, saved or not."""

from __future__ import annotations

from swarfbook.decisions.jobs.judging import judge_job
from swarfbook.decisions.jobs.loading import job_of
from swarfbook.errors import Problem
from swarfbook.reports.breaking import wrap
from swarfbook.reports.job_page import verdict_line
from swarfbook.tui.beside import Progress
from swarfbook.tui.desk import Desk
from swarfbook.tui.lines import Line
from swarfbook.tui.record_draft import Values
from swarfbook.tui.record_screen import RecordScreen
from swarfbook.tui.working import Step, Working

MOST_LINES = 2  # of the verdict


class JobValuesScreen(RecordScreen, Working[str | None]):
    """Gives the id of the job it ended with; what was saved is in the book."""

    def __init__(self, desk: Desk, job: str) -> None:
        """Open a job; raises SwarfbookError if its file does not read."""
        super().__init__(desk, "job", job)
        self._judged: Values | None = None
        self._verdict = ""

    def draw(self) -> None:
        """Draw every part, and begin to judge what stands there unless that was done."""
        if self.sheet.draft.values is not self._judged:
            self._judged = self.sheet.draft.values
            self.judge()
        super().draw()

    def judge(self) -> None:
        """Begin to judge the values beside the keys; those that do not fit say so themselves."""
        draft, book = self.sheet.draft, self.desk.book
        if draft.problems:
            self.stop()
            self._verdict = "not judged as it stands"
            return

        def work_out(step: Step) -> str:
            case = job_of(book, draft.id, draft.values)
            step()
            return verdict_line(judge_job(case))

        self.begin(Progress("judging …"), work_out, self._take)

    def _take(self, verdict: str) -> None:
        self._verdict = verdict

    def take_refused(self, problem: Problem) -> None:
        """Say why the values cannot be judged."""
        self._verdict = f"not judged: {self.sheet.label(problem.key)}: {problem.remedy}"

    def head(self, width: int) -> list[Line]:
        """Name the job and its file, and say what is made of it as it stands."""
        first, *_ = super().head(width)
        said = "judging …" if self.progress is not None and not self._verdict else self._verdict
        told = wrap(said, width - 2, break_on_hyphens=False)[:MOST_LINES] or [""]
        return [first, *([(f" {line}", "plain")] for line in told), []]

    def log_read(self) -> None:
        """Judge with what the log says now."""
        self.judge()
        super().log_read()
