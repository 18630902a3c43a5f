"""Fuzzes the readers and the makers of parts, with coverage, and keeps what reaches new code.

    python tests/fuzz/run.py --minutes 10 [TARGET ...]     runs each target until it had ten minutes in all
    python tests/fuzz/run.py --keep 24                     puts up to 24 inputs of each target into tests/fuzz/corpus

The work stands in `target/fuzz`: inputs, findings and the time that each target had. A run that was stopped goes on where it
was; a folder that is removed starts afresh. Stable Rust and a C++ compiler are enough.
"""

import argparse
import json
import os
import re
import shutil
import struct
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TARGETS = ["spec", "trials", "calibration", "materials", "dxf", "svg", "stl", "units", "parts"]
# Counters for every edge, as libFuzzer reads them; all of these flags are stable.
COVERAGE = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
    "-Ccodegen-units=4",
]
# Longest input, bytes; slowest and largest run of one input.
LONGEST, SECONDS, MEGABYTES = 16_384, 10, 1_024
# Findings after which a target ends: the first ones are to be mended first.
MOST_FINDINGS = 20
# Longest input that is kept in the repository.
LONGEST_KEPT = 4_096


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("targets", nargs="*", choices=[*TARGETS, []], help="all, if none is named")
    parser.add_argument("--minutes", type=float, default=0.0, help="minutes in all for each target")
    parser.add_argument("--keep", type=int, default=0, help="inputs of each target to put into the repository")
    parser.add_argument("--work", type=Path, default=ROOT / "target" / "fuzz")
    options = parser.parse_args()
    program, work = build(options.work.resolve()), options.work.resolve()
    for name in options.targets or TARGETS:
        target = Target(name, work, program)
        if options.minutes:
            target.fuzz(60.0 * options.minutes)
        if options.keep:
            target.keep(options.keep)
    findings = 0
    for name in options.targets or TARGETS:
        findings += Target(name, work, program).summary()
    sys.exit(1 if findings else 0)


def build(work):
    """Builds the fuzzer with coverage; the versions are those of the workspace. Returns its path."""
    shutil.copy(ROOT / "Cargo.lock", ROOT / "tests" / "fuzz" / "Cargo.lock")
    environment = {**os.environ, "RUSTFLAGS": " ".join(COVERAGE), "CARGO_TARGET_DIR": str(work / "build")}
    # The triple keeps the flags from build scripts and macros.
    triple = next(line.split()[1] for line in subprocess.check_output(["rustc", "-vV"], text=True).splitlines() if line.startswith("host"))
    command = ["cargo", "build", "--release", "--target", triple, "--manifest-path", str(ROOT / "tests" / "fuzz" / "Cargo.toml")]
    subprocess.run(command, env=environment, check=True)
    return work / "build" / triple / "release" / "gripwright-fuzz"


class Target:
    """One target with its folders."""

    def __init__(self, name, work, program):
        self.name, self.program = name, program
        self.folder = work / name
        self.inputs, self.findings, self.state = self.folder / "inputs", self.folder / "findings", self.folder / "state.json"
        self.inputs.mkdir(parents=True, exist_ok=True)
        self.findings.mkdir(exist_ok=True)

    def spent(self):
        """Returns seconds and runs so far."""
        return json.loads(self.state.read_text()) if self.state.exists() else {"seconds": 0.0, "runs": 0}

    def run(self, *arguments):
        """Runs the fuzzer and returns what it printed."""
        environment = {**os.environ, "FUZZ_TARGET": self.name}
        ended = subprocess.run([self.program, *arguments], env=environment, capture_output=True, cwd=self.folder)
        return ended.stderr.decode(errors="replace")

    def fuzz(self, seconds):
        """Runs until the target had this time in all, past findings."""
        kept = ROOT / "tests" / "fuzz" / "corpus" / self.name
        for source in [*seeds(self.name), *([path.read_bytes() for path in sorted(kept.iterdir())] if kept.is_dir() else [])]:
            path = self.inputs / f"seed-{hash_of(source)}"
            if len(source) <= LONGEST and not path.exists():
                path.write_bytes(source)
        while (left := seconds - self.spent()["seconds"]) >= 1.0 and len(list(self.findings.iterdir())) < MOST_FINDINGS:
            # Short turns, so that a run that is stopped loses little.
            start, turn = time.monotonic(), int(min(left, 60.0))
            printed = self.run(
                self.inputs, f"-max_total_time={turn}", f"-max_len={LONGEST}", f"-timeout={SECONDS}", f"-rss_limit_mb={MEGABYTES}",
                f"-artifact_prefix={self.findings}/", "-print_final_stats=1", "-use_value_profile=1", "-len_control=20",
            )
            runs = re.search(r"stat::number_of_executed_units: (\d+)", printed)
            before = self.spent()
            after = {"seconds": before["seconds"] + time.monotonic() - start, "runs": before["runs"] + int(runs.group(1) if runs else 0)}
            self.state.write_text(json.dumps(after))
            if "Test unit written" in printed:
                (self.folder / "last-finding.txt").write_text(printed)
                print(f"{self.name}: {last_words(printed)}", flush=True)
        self.summary()

    def summary(self):
        """Prints and returns the number of findings."""
        spent, found = self.spent(), len(list(self.findings.iterdir()))
        print(f"{self.name}: {spent['seconds'] / 60:.1f} min, {spent['runs']} runs, {len(list(self.inputs.iterdir()))} inputs, {found} findings", flush=True)
        return found

    def keep(self, most):
        """Replaces the inputs of the repository by a few that cover much; those called `found-` stay."""
        small = self.folder / "small"
        shutil.rmtree(small, ignore_errors=True)
        small.mkdir()
        short = self.folder / "short"
        shutil.rmtree(short, ignore_errors=True)
        short.mkdir()
        for path in self.inputs.iterdir():
            if path.stat().st_size <= LONGEST_KEPT:
                shutil.copy(path, short)
        self.run("-set_cover_merge=1", small, short, f"-timeout={SECONDS}")
        chosen = sorted(small.iterdir(), key=lambda path: (path.stat().st_size, path.name))
        # Evenly from the shortest to the longest.
        chosen = [chosen[i * len(chosen) // most] for i in range(most)] if len(chosen) > most else chosen
        kept = ROOT / "tests" / "fuzz" / "corpus" / self.name
        kept.mkdir(parents=True, exist_ok=True)
        for path in kept.iterdir():
            if not path.name.startswith("found-"):
                path.unlink()
        for path in chosen:
            shutil.copy(path, kept / hash_of(path.read_bytes()))


def hash_of(content):
    """Returns a short name of some bytes."""
    import hashlib

    return hashlib.sha256(content).hexdigest()[:12]


def last_words(printed):
    """Returns the message of a finding."""
    lines = [line for line in printed.splitlines() if "panicked at" in line or "ERROR: libFuzzer" in line or "Test unit written" in line]
    after = [b for a, b in zip(printed.splitlines(), printed.splitlines()[1:]) if "panicked at" in a]
    return " | ".join([*lines[:2], *after[:1]])[:400]


def seeds(name):
    """Returns inputs to begin with, from the files of the project."""
    files = {
        "spec": ["tests/suite/spec/*.toml", "demo-specs/*.toml", "crates/input/data/starter.toml"],
        "materials": ["crates/input/data/materials.toml"],
        "dxf": ["demo-specs/drawings/*.dxf"],
        "svg": ["demo-specs/drawings/*.svg"],
    }
    found = [path.read_bytes() for pattern in files.get(name, []) for path in sorted(ROOT.glob(pattern))]
    if name == "materials":
        # Each material by itself: the whole library is too long.
        return [part.encode() for part in found[0].decode().split("\n\n")]
    if name in ("dxf", "svg"):
        return [b"0" + content for content in [*found, *(drawings() if name == "svg" else dxf_drawings())]]
    if name == "trials":
        paths = [*sorted(ROOT.glob("tests/suite/trials/*")), *sorted(ROOT.glob("demo-specs/trials/*.csv"))]
        return [(b"T" if path.suffix == ".toml" else b"C") + path.read_bytes() for path in paths]
    if name == "units":
        return [text.encode() for text in ("12 mm", "1/2 in", "1 1/2 in", "12 h9", "3 deg", "0.1 rad", "9 g", "1.5 kg", "2 N", "1e3 mm", "1,5 mm", "12.5", "0.5 inch", "12 H7", "5 lbf", "3'")]
    if name == "stl":
        return [b"8E" + scan(sides) for sides in (3, 4, 12)] + [b"8Esolid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0\nvertex 1 0 9\nvertex 0 1 9\nendloop\nendfacet\nendsolid a\n"]
    if name == "calibration":
        return calibrations()
    if name == "parts":
        return [bytes((i * k + k) % 256 for i in range(200)) for k in range(1, 60)]
    return found


def drawings():
    """Returns small SVG drawings, one of each element."""
    inner = [
        '<circle cx="5" cy="5" r="12"/>', '<ellipse rx="14" ry="9"/>', '<rect width="30" height="16" rx="4"/>',
        '<polygon points="0,0 20,0 20,10 0,10"/>', '<path d="M0 0h20v10h-20z"/>', '<path d="M0 0C9 0 9 9 0 9S-9 0 0 0z"/>',
        '<path d="M0 0A10 10 0 1 1 0 0.1z"/>', '<g transform="rotate(30)"><rect width="20" height="10"/></g>',
    ]
    return [f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">{each}</svg>'.encode() for each in inner]


def dxf_drawings():
    """Returns small DXF drawings, one of each entity."""
    entities = [
        "0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n12\n", "0\nELLIPSE\n8\n0\n10\n0\n20\n0\n11\n14\n21\n0\n40\n0.6\n41\n0\n42\n6.283185307\n",
        "0\nLWPOLYLINE\n8\n0\n90\n4\n70\n1\n10\n0\n20\n0\n10\n20\n20\n0\n42\n0.5\n10\n20\n20\n10\n10\n0\n20\n10\n42\n0.2\n",
        "0\nARC\n8\n0\n10\n0\n20\n0\n40\n9\n50\n0\n51\n180\n0\nLINE\n8\n0\n10\n-9\n20\n0\n11\n9\n21\n0\n",
        "0\nSPLINE\n8\n0\n70\n8\n71\n2\n72\n7\n73\n4\n" + "".join(f"40\n{k}\n" for k in (0, 0, 0, 1, 2, 2, 2)) + "10\n0\n20\n0\n10\n20\n20\n0\n10\n20\n20\n15\n10\n0\n20\n0\n",
    ]
    head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    block = "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nb\n10\n0\n20\n0\n" + entities[0] + "0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nINSERT\n8\n0\n2\nb\n10\n1\n20\n2\n41\n2\n50\n30\n"
    tail = "0\nENDSEC\n0\nEOF\n"
    return [(head + each + tail).encode() for each in entities] + [(block + tail).encode()]


def scan(sides):
    """Returns a prism from z = 0 to 10 as binary STL."""
    from math import cos, pi, sin

    ring = [(15 * cos(2 * pi * k / sides), 10 * sin(2 * pi * k / sides)) for k in range(sides)]
    triangles = []
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
        triangles += [(ax, ay, 0, bx, by, 0, bx, by, 10), (ax, ay, 0, bx, by, 10, ax, ay, 10)]
    return b" " * 80 + struct.pack("<I", len(triangles)) + b"".join(struct.pack("<12fH", 0, 0, 0, *t, 0) for t in triangles)


def calibrations():
    """Returns calibrations of the demo, written by a release of the program if there is one."""
    program = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "release" / "gripwright"
    found = [path.read_bytes() for path in sorted((ROOT / "tests" / "fuzz" / "corpus" / "calibration").glob("*"))]
    if program.exists():
        out = ROOT / "target" / "fuzz" / "calibrated"
        spec, trials = "demo-specs/dispensing-arm.toml", "demo-specs/trials/dispensing-arm.csv"
        subprocess.run([program, "calibrate", spec, trials, "--out", out, "--quiet"], cwd=ROOT, check=True)
        found.append((out / "calibration.toml").read_bytes())
    return found


if __name__ == "__main__":
    main()
