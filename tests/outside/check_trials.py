"""Checks trials and calibration files with readers that we did not write: Python's own csv, tomllib and XML.

    python check_trials.py --program target/release/gripwright --work target/outside/trials
"""

import argparse
import csv
import shutil
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from report import Report

SPEC = "demo-specs/dispensing-arm.toml"
TRIALS = "demo-specs/trials/dispensing-arm.csv"
SVG = "{http://www.w3.org/2000/svg}"
# Upper estimate of a letter's width relative to the font size: DejaVu Sans has 0.55 to 0.65 on average.
LETTER = 0.66
TYPE_PX = 13.0


def rows_of(path):
    """Rows with an outcome, read by a plain CSV reader."""
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [row for row in csv.DictReader(lines) if row["outcome"]]


def check_sheet(report, work):
    """Checks that the blank trials file has a row for every coupon and tool, with empty cells for the answers."""
    listed = list(csv.DictReader((work / "coupons.csv").read_text(encoding="utf-8").splitlines()))
    sheet = list(csv.DictReader((work / "trials.csv").read_text(encoding="utf-8").splitlines()))
    wanted = {(c["coupon"], t) for c in listed if c["kind"] != "gauge" for t in (c["tools"].split("; ") if c["tools"] else ["body"])}
    report.check("sheet has a row for each coupon and tool", {(r["coupon"], r["tool"]) for r in sheet} == wanted, len(sheet))
    filled = [r for r in sheet if any(r[c] for c in ("outcome", "pull", "slide", "drag", "load", "bore", "note"))]
    report.check("sheet is blank", not filled, f"{len(filled)} filled rows")


def check_calibration(report, work):
    """Checks that the calibration has every row of the trials file, and that each recommended step lies in its interval."""
    found = tomllib.loads((work / "calibration.toml").read_text(encoding="utf-8"))
    written = rows_of(Path(TRIALS))
    kept = [row for entry in found["rounds"] for row in entry["trials"]]
    pair = lambda row: (row["coupon"], row.get("tool", "body"), row["outcome"])
    report.check("calibration keeps every row", sorted(map(pair, kept)) == sorted(map(pair, written)), f"{len(kept)} rows")
    for size in found["sizes"]:
        low, high = size["draw_90"]
        inside = low - 0.01 <= size["draw"] <= high + 0.01
        narrower = size["error"]["after"]["sd"] <= size["error"]["before"]["sd"] + 1e-3
        report.check(f"size {size['size']} is drawn within its interval", inside, f"{low} to {high}: {size['draw']}")
        report.check(f"size {size['size']} is known no worse than before", narrower, size["error"]["after"]["sd"])


def check_figure(report, path):
    """Checks that a figure is valid XML and that no text leaves the page."""
    root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
    width, height = float(root.get("width")), float(root.get("height"))
    out = []
    for text in root.iter(f"{SVG}text"):
        long = LETTER * TYPE_PX * len(text.text or "")
        left = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor")] * long
        x, y = float(text.get("x")), float(text.get("y"))
        if x - left < 0 or x - left + long > width or y < TYPE_PX or y > height:
            out.append(text.text)
    texts = sum(1 for _ in root.iter(f"{SVG}text"))
    report.check(f"{path.name} keeps its text on the paper", texts >= 10 and not out, f"{texts} texts, outside: {out}")


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    report = Report()
    shutil.rmtree(options.work, ignore_errors=True)
    program = options.program.resolve()
    subprocess.run([program, "coupons", SPEC, "--out", options.work, "--quiet"], check=True)
    subprocess.run([program, "calibrate", SPEC, TRIALS, "--out", options.work, "--quiet"], check=True)
    check_sheet(report, options.work)
    check_calibration(report, options.work)
    for name in ("beliefs", "coupons", "fit"):
        check_figure(report, options.work / f"calibration-{name}.svg")
    return report.finish()


if __name__ == "__main__":
    sys.exit(main())
