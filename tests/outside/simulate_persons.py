"""Simulated printers and persons that drive the program through its command line alone.

A printer has a bore error that all sizes share, one of each size, and scatter from print to print. A person calls coupons
loose, good or tight by a rule of its own. The simulator prints the plates that the program proposes, tries them, writes
`trials.csv`, and compares what `calibrate` wants drawn with the truth. Forces follow a linear law of interference through the
figures of `check --json`; neither code nor assumptions come from the fit model.

    python tests/outside/simulate_persons.py --program target/release/gripwright --results results.jsonl --count 160

Results are added to the file line by line. Another run with the same file goes on where the last one ended.
"""

import argparse
import concurrent.futures
import json
import math
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
SPECS = {
    "dispensing arm": ROOT / "demo-specs/dispensing-arm.toml",
    "layout compass": ROOT / "demo-specs/layout-compass.toml",
    "three lamps": ROOT / "crates/calibration/data/three-lamps.toml",
    "three syringes": ROOT / "crates/calibration/data/three-syringes.toml",
}
# Standard deviations, mm: bore error of all sizes, of each size, from print to print, of a calliper in a bore.
COMMON_SD, OWN_SD, SCATTER_SD, CALLIPER_SD = 0.12, 0.04, 0.02, 0.03
# Half the window of a person who judges by the seat, and the error at which such a person gives a coupon up, mm.
GOOD_MM, GIVEN_UP_MM = 0.10, 0.25
# Logarithmic standard deviation of a person's bias who judges by force, and of each single try.
BIAS_SD, TRY_SD = 0.2, 0.05
NEAR_MM = 0.05
# Coupons reach so far, mm.
REACH_MM = 0.6
PERSONS = ["window", "window, bores measured", "force", "whole clip", "window, off by 0.5 mm"]


def run(program, *arguments, accept=(0,)):
    done = subprocess.run([str(program), *map(str, arguments)], capture_output=True, text=True)
    if done.returncode not in accept:
        raise RuntimeError(f"{' '.join(map(str, arguments))}: {done.returncode}\n{done.stdout[-600:]}{done.stderr[-900:]}")
    return done


def document(program, *arguments, accept=(0,)):
    return json.loads(run(program, *arguments, "--json", accept=accept).stdout)


class Family:
    """What the simulator knows of a spec: figures of the design, read from the program's own documents."""

    def __init__(self, program, spec):
        self.spec = spec
        with tempfile.TemporaryDirectory() as folder:
            first = document(program, "coupons", spec, "--next", "--out", folder)
            rows = (pathlib.Path(folder) / "trials.csv").read_text().splitlines()
        self.header = rows[0].split(",")
        self.first = [tuple(row.split(",")[:2]) for row in rows[1:]]
        check = document(program, "check", spec)
        text = spec.read_text()
        slice_mm = 8.0
        found = re.search(r"(?s)\[coupons\].*?\blength\s*=\s*([0-9.]+)", text)
        if found:
            slice_mm = float(found.group(1))
        self.sizes = {}
        for size in check["sizes"]:
            rows = [row for row in check["fit"] if row["size"] == size["size"]]
            seat = 2.0 * size["seat_radius_mm"] if size["form"] == "round" else None
            self.sizes[size["size"]] = {
                **linear_laws(rows), "share": slice_mm / size["length_mm"], "seat_mm": seat, "tool": size["tools"][0],
            }
        mount = check["mount"]
        laws = linear_laws([mount["fit"]])
        self.sizes["M"] = {**laws, "share": slice_mm / mount["length_mm"], "seat_mm": None, "tool": "body"}


def middle(pair):
    return math.sqrt(max(pair[0], 1e-3) * max(pair[1], 1e-3))


def linear_laws(rows):
    """Hold over what is asked, push and strain over what is allowed, each linear in how far the clip is opened.

    Hold grows with the interference of the seated barrel; push and strain with how far the mouth opens.
    """
    mean = lambda values: sum(values) / len(values)
    return {
        "interference_mm": max(mean([row["interference_mm"] for row in rows]), 0.02),
        "opening_mm": max(mean([row["opening_mm"] for row in rows]), 0.02),
        "hold": mean([
            min(middle(row["axial_hold_n"]) / row["along_needed_n"], middle(row["pull_out_n"]) / row["across_needed_n"])
            for row in rows
        ]),
        "push": mean([middle(row["snap_in_n"]) / row["snap_in_limit_n"] for row in rows]),
        "strain": max(row["strain"] / row["strain_limit"] for row in rows),
    }


def seats_with(laws, hold, push, strain):
    """Seats, mm of change, with which hold is at least, push and strain at most this multiple of what is asked."""
    i0, o0 = laws["interference_mm"], laws["opening_mm"]
    tight = max(2.0 * o0 * (1.0 - push / laws["push"]), 2.0 * o0 * (1.0 - strain / laws["strain"]))
    return tight, 2.0 * i0 * (1.0 - hold / laws["hold"])


def limits_of(laws):
    return seats_with(laws, 1.0, 1.0, 1.0)


def window_of(person, laws, bias):
    """Seats that a person calls good, mm of change against the design's."""
    if person.startswith("window"):
        return -GOOD_MM, GOOD_MM
    if person == "force":
        return seats_with(laws, math.exp(bias[0]), math.exp(bias[1]), 1e9)
    return seats_with(laws, 1.0 / laws["share"], 1.0 / laws["share"], 1e9)


def aim_of(person, laws, bias):
    """Middle of what is good within the limits of the part; None where no coupon reaches an edge of it."""
    tight, loose = window_of(person, laws, bias)
    if not person.startswith("window"):
        limits = limits_of(laws)
        tight, loose = max(tight, limits[0]), min(loose, limits[1])
    reached = tight > -REACH_MM and loose < REACH_MM and tight < loose
    return 0.5 * (tight + loose) if reached else None


def outcome(person, laws, bias, wide, noise):
    tight, loose = window_of(person, laws, bias)
    if person.startswith("window"):
        far = GIVEN_UP_MM - GOOD_MM
    else:
        far = 0.3
        loose += noise * TRY_SD * laws["interference_mm"] * 2.0 / laws["hold"]
    if wide > loose + far:
        return "fell-out"
    if wide > loose:
        return "loose"
    if wide < tight - far:
        return "would-not-go"
    if wide < tight:
        return "tight"
    return "good"


WORDS = ["fell-out", "loose", "good", "tight", "would-not-go"]


def simulate(program, name, family, person, seed, plates):
    rng = random.Random(f"{name}/{person}/{seed}")
    common = 0.5 * rng.choice([-1, 1]) if "off by" in person else rng.gauss(0.0, COMMON_SD)
    errors = {size: common + rng.gauss(0.0, OWN_SD) for size in family.sizes}
    bias = [rng.gauss(0.0, BIAS_SD), rng.gauss(0.0, BIAS_SD)]
    slip = rng.random() < 0.25
    times, used, stopped = [], 0, None
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        text = family.spec.read_text()
        spec = folder / "spec.toml"
        spec.write_text(text)
        plate = family.first
        slipped = rng.randrange(len(plate))
        for number in range(plates):
            lines, pieces = ["coupon,tool,outcome,pull,slide,drag,load,bore,note"], {}
            for index, (coupon, tool) in enumerate(plate):
                size, step = coupon[0], float(coupon[1:])
                laws = family.sizes[size]
                if coupon not in pieces:
                    pieces[coupon] = step + errors[size] + rng.gauss(0.0, SCATTER_SD)
                word = outcome(person, laws, bias, pieces[coupon], rng.gauss(0.0, 1.0))
                if slip and number == 0 and index == slipped:
                    word = rng.choice([w for w in WORDS if w != word])
                bore = ""
                if "measured" in person and laws["seat_mm"] is not None:
                    bore = f"{laws['seat_mm'] + pieces[coupon] + rng.gauss(0.0, CALLIPER_SD):.2f}"
                lines.append(f"{coupon},{tool},{word},,,,,{bore},")
            used += len(pieces)
            trials = folder / f"round-{number + 1}.csv"
            trials.write_text("\n".join(lines) + "\n")
            start = time.monotonic()
            # The spec names its calibration only after the first round.
            if number == 1:
                spec.write_text(re.sub(r"(?m)^\[printer\]$", '[printer]\ncalibration = "calibration.toml"', text, count=1)
                                if "[printer]" in text else text + '\n[printer]\ncalibration = "calibration.toml"\n')
            found = document(program, "calibrate", spec, trials, "--out", folder)
            times.append(round(time.monotonic() - start, 2))
            if found["next"]["enough"]:
                stopped = used
                break
            tool_of = {size: laws["tool"] for size, laws in family.sizes.items()}
            plate = [(c["coupon"], tool_of[c["size"]]) for c in found["next"]["coupons"]]
        if 'calibration = ' not in spec.read_text():
            spec.write_text(re.sub(r"(?m)^\[printer\]$", '[printer]\ncalibration = "calibration.toml"', text, count=1)
                            if "[printer]" in text else text + '\n[printer]\ncalibration = "calibration.toml"\n')
        made = run(program, "check", spec, "--json", accept=(0, 1, 3))
        sizes = []
        for size in found["sizes"]:
            letter = size["size"]
            laws = family.sizes[letter]
            tight, loose = limits_of(laws) if person == "whole clip" else window_of(person, laws, bias)
            seat, aim, (low, high) = size["draw_mm"] + errors[letter], aim_of(person, laws, bias), size["draw_90_mm"]
            off = None if aim is None else size["draw_mm"] - (aim - errors[letter])
            sizes.append({
                "size": letter,
                "off_mm": off,
                "near": off is not None and abs(off) <= NEAR_MM + 1e-9,
                "inside": tight <= seat <= loose,
                # Half of the hundredth to which steps are drawn.
                "covers": off is not None and low - 0.005 <= aim - errors[letter] <= high + 0.005,
                "width_mm": round(high - low, 3),
            })
    return {
        "family": name, "person": person, "seed": seed, "plates": plates, "coupons": used, "slip": slip, "stopped": stopped,
        "seconds": times, "refused": made.returncode, "why": (made.stdout + made.stderr)[:300] if made.returncode else "",
        "anew": "sized anew" in made.stdout, "asks": found.get("person"), "sizes": sizes, "common": round(common, 3),
    }


def ladder(family, person, seed, name):
    """A ladder of 24 coupons read by eye: the middle of the good ones, or between loose and tight."""
    rng = random.Random(f"{name}/{person}/{seed}")
    common = 0.5 * rng.choice([-1, 1]) if "off by" in person else rng.gauss(0.0, COMMON_SD)
    errors = {size: common + rng.gauss(0.0, OWN_SD) for size in family.sizes}
    bias = [rng.gauss(0.0, BIAS_SD), rng.gauss(0.0, BIAS_SD)]
    each = 24 // len(family.sizes)
    out = []
    for size, laws in family.sizes.items():
        steps = [0.8 * (k / (each - 1) - 0.5) for k in range(each)]
        words = [outcome(person, laws, bias, s + errors[size] + rng.gauss(0, SCATTER_SD), rng.gauss(0, 1)) for s in steps]
        good = [s for s, w in zip(steps, words) if w == "good"]
        if good:
            step = sum(good) / len(good)
        else:
            loose = [s for s, w in zip(steps, words) if w in ("loose", "fell-out")]
            tight = [s for s, w in zip(steps, words) if w in ("tight", "would-not-go")]
            step = 0.5 * (min(loose, default=0.4) + max(tight, default=-0.4))
        low, high = limits_of(laws) if person == "whole clip" else window_of(person, laws, bias)
        aim, seat = aim_of(person, laws, bias), step + errors[size]
        near = aim is not None and abs(seat - aim) <= NEAR_MM + 1e-9
        out.append({"near": near, "inside": low <= seat <= high, "off_mm": aim})
    return out


def share(flags):
    flags = list(flags)
    p = sum(flags) / max(len(flags), 1)
    return f"{100 * p:.1f} %"


def table(results, families):
    print("| person | plates | printers | seats, with both edges | within 0.05 mm | in own window | 90 % interval covers | ladder of 24 by eye | refused, sized anew | calibrate, s | coupons |")
    print("|---|---|---|---|---|---|---|---|---|---|---|")
    for person in PERSONS:
        for plates in sorted({r["plates"] for r in results if r["person"] == person}):
            rows = [r for r in results if r["person"] == person and r["plates"] == plates]
            seats = [s for r in rows for s in r["sizes"]]
            aimed = [s for s in seats if s["off_mm"] is not None]
            eye = [s for r in rows if r["family"] in families for s in ladder(families[r["family"]], person, r["seed"], r["family"])]
            anew = sum(1 for r in rows if r.get("anew"))
            refused = sum(1 for r in rows if r["refused"])
            slow = max((t for r in rows for t in r["seconds"]), default=0.0)
            coupons = sum(r["coupons"] for r in rows) / max(len(rows), 1)
            stopped = sum(1 for r in rows if r["stopped"])
            print(f"| {person} | {plates} | {len(rows)} | {len(seats)}, {len(aimed)} | {share(s['near'] for s in aimed)} | {share(s['inside'] for s in seats)} | "
                  f"{share(s['covers'] for s in aimed)} | {share(s['near'] for s in eye if s['off_mm'] is not None)}, {share(s['inside'] for s in eye)} | {refused}, {anew} | {slow:.1f} | {coupons:.1f}, {stopped} stopped |")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", default="target/release/gripwright")
    parser.add_argument("--results", required=True)
    parser.add_argument("--count", type=int, default=160, help="printers a row, spread over the families")
    parser.add_argument("--plates", type=int, default=2)
    parser.add_argument("--persons", default=",".join(str(k) for k in range(len(PERSONS))))
    parser.add_argument("--families", default="")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=math.inf, help="stop beginning new printers after this time")
    arguments = parser.parse_args()
    start = time.monotonic()
    names = [n for n in SPECS if not arguments.families or n in arguments.families.split(",")]
    families = {name: Family(arguments.program, SPECS[name]) for name in names}
    path = pathlib.Path(arguments.results)
    results = [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []
    done = {(r["family"], r["person"], r["seed"], r["plates"]) for r in results}
    persons = [PERSONS[int(k)] for k in arguments.persons.split(",")]
    wanted = [(names[k % len(names)], person, k // len(names)) for k in range(arguments.count) for person in persons]
    wanted = [w for w in wanted if (*w, arguments.plates) not in done]

    def work(item):
        name, person, seed = item
        if time.monotonic() - start > arguments.seconds:
            return None
        return simulate(arguments.program, name, families[name], person, seed, arguments.plates)

    with concurrent.futures.ThreadPoolExecutor(arguments.jobs) as pool, path.open("a") as out:
        for result in pool.map(work, wanted):
            if result is not None:
                results.append(result)
                out.write(json.dumps(result) + "\n")
                out.flush()
    table(results, families)
    return 0


if __name__ == "__main__":
    sys.exit(main())
