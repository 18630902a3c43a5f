"""Sizes and makes a population of random specs, and looks at parts of some of them with the independent kernel.

    python population.py --program target/release/examples/population --work target/outside/population \
        --specs 10000 --kernel 1000

Every spec must be refused with a reason, or be made of sound parts only. Blocks of seeds are kept in the work folder: a run that
was stopped goes on where it was, and a greater number adds to what is there. The summary counts all that stands there.
"""

import argparse
import collections
import json
import shutil
import statistics
import subprocess
import sys
from pathlib import Path

from report import Report

# Seeds of one block, after which the work is safe.
BLOCK = 20


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--specs", type=int, default=10_000)
    parser.add_argument("--kernel", type=int, default=1_000, help="specs whose parts the kernel looks at, of the first ones")
    options = parser.parse_args()
    options.work.mkdir(parents=True, exist_ok=True)
    report = Report()
    for first in range(0, options.specs, BLOCK):
        block(options, report, first)
    summary(options, report)
    sys.exit(report.finish())


def block(options, report, first):
    """Makes one block of seeds, unless it stands already."""
    path = options.work / f"block-{first:06}.jsonl"
    if path.exists():
        return
    folder = options.work / "parts"
    command = [options.program.resolve(), str(first), str(min(BLOCK, options.specs - first))]
    in_kernel = first < options.kernel
    ended = subprocess.run([*command, *([folder] if in_kernel else [])], capture_output=True, text=True)
    lines = [json.loads(line) for line in ended.stdout.splitlines()]
    if len(lines) < int(command[2]):
        lines.append({"seed": first + len(lines), "fault": f"the program ended: {ended.stderr[-200:]}", "seconds": 0.0})
    for line in lines:
        if "entry" in line:
            line["kernel"] = seen_by_kernel(folder / line["entry"]["path"], line.pop("entry"))
    shutil.rmtree(folder, ignore_errors=True)
    partial = path.with_suffix(".partial")
    partial.write_text("".join(json.dumps(line) + "\n" for line in lines))
    partial.rename(path)


def seen_by_kernel(path, entry):
    """Returns how many checks of a file passed and failed in the independent kernel."""
    import check_step

    quiet = Report()
    check_step.check_file(quiet, path, entry)
    return quiet.counts


def summary(options, report):
    """Counts outcomes of all blocks."""
    lines = [json.loads(line) for path in sorted(options.work.glob("block-*.jsonl")) for line in path.read_text().splitlines()]
    faults = [line for line in lines if "fault" in line]
    refused = collections.Counter(line["refused"] for line in lines if "refused" in line)
    made = [line for line in lines if "parts" in line]
    seconds = sorted(line["seconds"] for line in lines)
    report.check(f"{len(lines)} random specs", not faults, f"{len(made)} made, {sum(refused.values())} refused, {len(faults)} faults")
    for line in faults[:5]:
        print(f"seed {line['seed']}: {line['fault']}")
    report.note("parts, all sound", sum(line["parts"] for line in made))
    report.note("sleeves among them", sum(line["sleeves"] for line in made))
    for code, count in refused.most_common():
        report.note(f"refused as {code}", count)
    if seconds:
        report.note("seconds for one spec", f"median {statistics.median(seconds):.2f}, greatest {seconds[-1]:.2f}")
    looked = [line["kernel"] for line in made if "kernel" in line]
    failed = sum(counts["failed"] for counts in looked)
    passed = sum(counts["passed"] for counts in looked)
    if looked:
        report.check(f"{len(looked)} of them in the independent kernel", failed == 0, f"{passed} checks passed, {failed} failed")
    elif options.kernel:
        report.skip("independent kernel", "no spec among the first ones has a design")


if __name__ == "__main__":
    main()
