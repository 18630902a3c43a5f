"""Feeds files that are small, or small for their kind, and could take all memory or time.

    python check_limits.py --program target/release/gripwright --work target/outside/limits

Each must be refused with exit code 1 within 300 MB. Times are printed for information only.
"""

import argparse
import json
import shutil
import subprocess
import sys
from pathlib import Path

from report import Report

LARGEST_MB = 300.0


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    report = Report()
    shutil.rmtree(options.work, ignore_errors=True)
    options.work.mkdir(parents=True)
    starter = subprocess.run([options.program, "new", options.work / "starter.toml", "--quiet"])
    report.check("a starter spec", starter.returncode == 0, f"exit {starter.returncode}")
    starter = (options.work / "starter.toml").read_text()
    for name, text in drawings().items():
        (options.work / name).write_text(text)
        spec = with_drawing(starter, name)
        check(report, options, name, ["check", write(options, f"{name}.toml", spec)], "(too-much)")
    for name, text in specs().items():
        check(report, options, name, ["check", write(options, f"{name}.toml", text)])
    for name, text in trials().items():
        check(report, options, name, ["calibrate", options.work / "starter.toml", write(options, f"{name}.csv", text)])
    sys.exit(report.finish())


def write(options, name, text):
    """Writes a file and returns its path."""
    path = options.work / name
    path.write_text(text)
    return path


def check(report, options, name, arguments, reason=""):
    """Runs the program, and checks its exit code, its memory, and that it names the reason."""
    sizes = options.work / "measured.json"
    measured = [sys.executable, Path(__file__).with_name("measure.py"), sizes, options.program.resolve(), *arguments]
    ended = subprocess.run(measured, capture_output=True)
    said = ended.stderr.decode(errors="replace")
    size = json.loads(sizes.read_text())
    figure = f"exit {ended.returncode}, {size['megabytes']:.0f} MB, {size['seconds']:.2f} s"
    report.check(name, ended.returncode == 1 and size["megabytes"] < LARGEST_MB and reason in said, figure)
    if ended.returncode != 1 or reason not in said:
        print(said[:500])


def with_drawing(starter, name):
    """Returns the starter spec with a body from a drawing."""
    profile = f'profile = {{ shape = "traced", file = "{name}", unit = "mm" }}'
    lines = [profile if line.startswith("profile = ") else line for line in starter.splitlines()]
    return "\n".join(lines) + "\n"


def drawings():
    """Returns drawings that make many points or many steps."""
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">'
    head, tail = "0\nSECTION\n2\nENTITIES\n", "0\nENDSEC\n0\nEOF\n"
    bulges = "".join(f"10\n{(i % 2) * 9e6}\n20\n0\n42\n0.9\n" for i in range(20_000))
    knots = "".join(f"40\n{i}\n" for i in range(50_004))
    controls = "".join(f"10\n{(i % 2) * 9e6}\n20\n{i}\n30\n0\n" for i in range(50_000))
    text = "0\nTEXT\n8\n0\n10\n0\n20\n0\n40\n1\n1\nx\n"
    opening, closing = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nb\n10\n0\n20\n0\n", "0\nENDBLK\n0\nENDSEC\n"
    inserts = "0\nINSERT\n8\n0\n2\nb\n10\n0\n20\n0\n" * 10_000
    attributes = " ".join(f'a{i}="1"' for i in range(400_000))
    return {
        "arcs.svg": f'{svg}<path d="M0 0{"A9e6 9e6 0 1 1 1 1A9e6 9e6 0 1 1 0 0" * 8_000}"/></svg>',
        "curves.svg": f'{svg}<path d="M0 0{"C9e6 0 0 9e6 0 0" * 17_000}"/></svg>',
        "attributes.svg": f"{svg}<path {attributes}/></svg>",
        "bulges.dxf": f"{head}0\nLWPOLYLINE\n8\n0\n90\n20000\n70\n1\n{bulges}{tail}",
        "spline.dxf": f"{head}0\nSPLINE\n8\n0\n70\n8\n71\n3\n72\n50004\n73\n50000\n{knots}{controls}{tail}",
        "inserts.dxf": f"{opening}{text * 600_000}{closing}{head}{inserts}{tail}",
        "inserts-within-the-limit.dxf": f"{opening}{text * 180_000}{closing}{head}{inserts}{tail}",
    }


def specs():
    """Returns specs of many mistakes."""
    return {
        "signs": "=" * 3_900_000,
        "signs-within-the-limit": "=" * 1_000_000,
        "unknown-keys": "\n".join(f"k{i} = 1" for i in range(300_000)),
        "unknown-keys-within-the-limit": "\n".join(f"k{i} = 1" for i in range(80_000)),
        "unknown-keys-in-one-line": "holder = { " + ", ".join(f"k{i} = 1" for i in range(75_000)) + " }",
    }


def trials():
    """Returns trials files of many mistakes."""
    return {
        "bad-rows": "coupon,tool,outcome\n" + "x,,\n" * 600_000,
        "bad-rows-within-the-limit": "coupon,tool,outcome\n" + "x,,\n" * 250_000,
        "headings": ",".join(f"h{i}" for i in range(300_000)),
        "headings-within-the-limit": ",".join(f"h{i}" for i in range(140_000)),
    }


if __name__ == "__main__":
    main()
