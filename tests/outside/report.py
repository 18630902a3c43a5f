"""Report of checks: one line for each, and a machine-readable count at the end."""

import json


class Report:
    """Collects outcomes: a check passes, fails, or is skipped with a reason."""

    def __init__(self):
        self.counts = {"passed": 0, "failed": 0, "skipped": 0}

    def check(self, name, holds, figure):
        """Records whether the check `name` holds, with the deciding figure."""
        self.counts["passed" if holds else "failed"] += 1
        print(f"{'ok  ' if holds else 'FAIL'} {name}: {figure}", flush=True)
        return holds

    def skip(self, name, why):
        """Records a check that cannot run."""
        self.counts["skipped"] += 1
        print(f"skip {name}: {why}", flush=True)

    def note(self, name, figure):
        """Prints a figure for information, such as a time: a busy machine must not fail a check."""
        print(f"note {name}: {figure}", flush=True)

    def finish(self):
        """Prints the count and returns the exit code."""
        print("outside-checks " + json.dumps(self.counts), flush=True)
        return 1 if self.counts["failed"] else 0
