"""Runs the program on the demo specs and checks its files with reference libraries.

    python run.py --program target/release/gripwright --specs demo-specs --work target/outside/runs
"""

import argparse
import json
import shutil
import subprocess
import sys
from pathlib import Path

import check_card
import check_damage
import check_layout
import check_letters
import check_repeat
import check_step
import check_stl
import check_taper
import check_three_mf
from report import Report

CHECKS = {"step": check_step.check_file, "stl": check_stl.check_file, "3mf": check_three_mf.check_file}
# Largest permitted memory of one `make` as a whole process. Its time is printed for information only.
LARGEST_MB = 150.0


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--specs", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    report = Report()
    shutil.rmtree(options.work, ignore_errors=True)
    specs = sorted(options.specs.glob("*.toml"))
    report.check("there are demo specs", bool(specs), f"{len(specs)}")
    noticed = False
    for spec in specs:
        noticed = check_spec(report, options, spec, with_damage=not noticed) or noticed
    if specs:
        check_taper.check_bodies(report, options, make, check_step.check_file)
        named = check_three_mf.check_names(report, options.program, specs[0], options.work / "names")
        if named is not None:
            check_letters.check_file(report, *named)
    sys.exit(report.finish())


def check_spec(report, options, spec, with_damage):
    """Checks all files of one spec; returns whether there were files."""
    folders = [options.work / place / spec.stem for place in ("first", "second/deeper")]
    document = make(report, options.program, spec, folders[0])
    if document is None:
        report.skip(f"{spec.stem} files", "`make` did not end well, so there is nothing to read")
        return False
    make(report, options.program, spec, folders[1])
    check_repeat.check_same(report, spec.stem, *folders)
    for command in ("check", "coupons"):
        arguments = [] if command == "check" else ["--out", str(options.work / "coupons" / spec.stem)]
        ended = subprocess.run([options.program, command, spec, "--quiet", *arguments], capture_output=True, text=True)
        report.check(f"{spec.stem} {command} ends with 0", ended.returncode == 0, ended.stderr.strip()[:200] or "0")
    listed = [entry for entry in document["files"] if entry["kind"] in CHECKS]
    report.check(f"{spec.stem} lists STEP, STL and 3MF", {entry["kind"] for entry in listed} == set(CHECKS), f"{len(listed)} files")
    check_layout.check_holders(report, folders[0], document)
    check_card.check_card(report, folders[0], document)
    check_taper.check_seats(report, folders[0], document)
    for entry in listed:
        CHECKS[entry["kind"]](report, folders[0] / entry["path"], entry)
        if entry["kind"] == "3mf":
            check_letters.check_file(report, folders[0] / entry["path"], entry)
    if with_damage:
        check_detection(report, folders[0], listed)
    return True


def check_detection(report, folder, listed):
    """Checks that damage to one file of each kind is detected."""
    damage = {
        "step": check_damage.check_step_damage,
        "stl": check_damage.check_stl_damage,
        "3mf": check_damage.check_three_mf_damage,
    }
    for kind, check in damage.items():
        entry = next((entry for entry in listed if entry["kind"] == kind), None)
        if entry is None:
            report.skip(f"damaged {kind}", "no such file was written")
        else:
            check(report, folder / entry["path"])


def make(report, program, spec, folder):
    """Runs `make`, checks its exit code and memory, and returns its document."""
    sizes = folder.parent / f"{spec.stem}.measured.json"
    sizes.parent.mkdir(parents=True, exist_ok=True)
    command = [program.resolve(), "make", spec, "--out", folder, "--json"]
    measured = [sys.executable, Path(__file__).with_name("measure.py"), sizes, *command]
    ended = subprocess.run(measured, capture_output=True, text=True)
    size = json.loads(sizes.read_text())
    seconds, megabytes = size["seconds"], size["megabytes"]
    good = ended.returncode == 0 and megabytes < LARGEST_MB
    figure = f"exit {ended.returncode}, {seconds:.3f} s, {megabytes:.0f} MB {ended.stderr.strip()[:300] if ended.returncode else ''}"
    report.check(f"{spec.stem} make", good, figure)
    return json.loads(ended.stdout) if ended.returncode == 0 else None


if __name__ == "__main__":
    main()
