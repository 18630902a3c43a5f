"""Checks parts of random specs with the independent kernel.

    python check_random.py --parts target/release/examples/random_parts --work target/outside/random --count 60
"""

import argparse
import json
import subprocess
import sys
from pathlib import Path

import check_step
from report import Report


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--parts", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--count", type=int, default=60)
    options = parser.parse_args()
    report = Report()
    command = [options.parts.resolve(), options.work, str(options.count)]
    entries = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    report.check("random specs were made", len(entries) == options.count, f"{len(entries)} of {options.count}")
    for entry in entries:
        check_step.check_file(report, options.work / entry["path"], entry)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
