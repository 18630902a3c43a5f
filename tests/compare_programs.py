#!/usr/bin/env python3
"""Compares the outputs of two builds of the program, to show that a change of structure changes no result.

Usage: compare_programs.py record PROGRAM FOLDER      records the outputs of all demos and of the bad inputs
       compare_programs.py compare FOLDER FOLDER      compares two records; exit code 1 when results differ

STEP, STL, 3MF, CSV and PNG files must be equal byte for byte. In JSON documents the keys, the figures, the codes and
the places must be equal. Exit codes must be equal. Texts may differ, but not in their figures; `--texts` prints each
pair that does.
"""

import json
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
EXACT = {".step", ".stl", ".3mf", ".csv", ".png"}
# Sentences for people; every other text in a JSON document is a code, a place or a name.
SENTENCES = {"description", "message", "hints", "hint", "allowed", "notes", "note", "reason", "why", "text", "cautions", "measure"}


def run(program, folder, name, *arguments):
    """Runs the program in the project's folder and keeps its exit code, its document and its complaints."""
    done = subprocess.run([program, *arguments], cwd=ROOT, capture_output=True, check=False)
    document = done.stdout.decode().replace(str(folder), "OUT").replace(str(ROOT), "ROOT")
    (folder / f"{name}.json").write_text(document)
    (folder / f"{name}.exit").write_text(f"{done.returncode}\n")
    (folder / f"{name}.stderr").write_text(done.stderr.decode().replace(str(folder), "OUT").replace(str(ROOT), "ROOT"))


def record(program, folder):
    program = str(pathlib.Path(program).resolve())
    folder = pathlib.Path(folder).resolve()
    folder.mkdir(parents=True)
    for spec in sorted(ROOT.glob("demo-specs/*.toml")):
        path, name = str(spec.relative_to(ROOT)), spec.stem
        run(program, folder, f"{name}-check", "check", path, "--json")
        run(program, folder, f"{name}-make", "make", path, "--json", "--out", str(folder / name))
        run(program, folder, f"{name}-next", "coupons", path, "--next", "--json", "--out", str(folder / f"{name}-next"))
        for trials in sorted(ROOT.glob(f"demo-specs/trials/{name}*.csv")):
            out = folder / f"{trials.stem}-calibrated"
            arguments = ["calibrate", path, str(trials.relative_to(ROOT)), "--json", "--out", str(out)]
            run(program, folder, f"{trials.stem}-calibrate", *arguments)
            calibrated_specs(program, folder, spec, out)
    for spec in sorted(ROOT.glob("tests/suite/spec/*.toml")):
        run(program, folder, f"spec-{spec.stem}", "check", str(spec.relative_to(ROOT)), "--json")
    for trials in sorted(ROOT.glob("tests/suite/trials/*.*")):
        spec = "demo-specs/seatpost-lamps.toml"
        out = ["--out", str(folder / f"trials-{trials.stem}-{trials.suffix[1:]}")]
        name = f"trials-{trials.stem}-{trials.suffix[1:]}"
        run(program, folder, name, "calibrate", spec, str(trials.relative_to(ROOT)), "--json", *out)
    changed_specs(program, folder)
    run(program, folder, "schema", "schema")


def calibrated_specs(program, folder, spec, calibration):
    """Checks and makes the spec with the calibration that was just written."""
    text = spec.read_text().replace("[printer]", f'[printer]\ncalibration = "{calibration}/calibration.toml"', 1)
    copy = folder / f"{spec.stem}-with-calibration.toml"
    copy.write_text(text)
    run(program, folder, f"{spec.stem}-calibrated-check", "check", str(copy), "--json")
    run(program, folder, f"{spec.stem}-calibrated-make", "make", str(copy), "--json", "--out", str(folder / copy.stem))
    copy.write_text(text.replace(str(folder), "OUT").replace(str(ROOT), "ROOT"))


def changed_specs(program, folder):
    """Changes demo specs so that no design meets them: every explanation of a refusal is compared as well."""
    changes = {
        "dispensing-arm-snap": ("dispensing-arm", r"snap_on = .*", 'snap_on = { at_most = "4 N" }'),
        "seatpost-hold": ("seatpost-lamps", r"hold = .*", "hold = { safety = 20.0 }"),
        "inspection-aim": ("inspection-arm", r"within = [0-9.]+", "within = 0.05"),
        "marker-offset": ("marker-rail", r"offset = .*", "offset = 12.0"),
        "wire-cutter-offset": ("wire-cutter", r"offset = .*", "offset = 19.0"),
        "wire-cutter-clearance": ("wire-cutter", r"clearance = .*", "clearance = 9.0"),
        "hot-air-sway": ("hot-air-grip", r"at_most = 0\.06", "at_most = 0.01"),
        "bench-lamp-aim": ("bench-lamp-arm", r"within = [0-9.]+", "within = 0.2"),
        "cells-snap": ("round-cells", r"snap_on = .*", 'snap_on = { at_most = "2 N" }'),
        "compass-hold": ("layout-compass", r"hold = .*", "hold = { safety = 20.0 }"),
    }
    for name, (demo, pattern, value) in changes.items():
        text = (ROOT / "demo-specs" / f"{demo}.toml").read_text()
        changed, count = re.subn(pattern, value, text)
        # Files that a demo names lie beside the demos.
        changed = re.sub(r'file = "', f'file = "{ROOT}/demo-specs/', changed)
        spec = folder / f"{name}.toml"
        spec.write_text(changed if count else text)
        run(program, folder, f"changed-{name}", "check", str(spec), "--json")
        spec.write_text(f"{count} changes\n" + changed.replace(str(ROOT), "ROOT"))


def figures(text):
    """All figures in a text; wording may change, figures may not."""
    return sorted(re.findall(r"\d+(?:\.\d+)?", text))


def differences(old, new, path, texts):
    """Yields the places at which two JSON values differ; collects pairs of unlike sentences in `texts`."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted(old.keys() | new.keys()):
            if key not in old or key not in new:
                yield f"{path}.{key} only in the {'old' if key in old else 'new'}"
            else:
                yield from differences(old[key], new[key], f"{path}.{key}", texts)
    elif isinstance(old, list) and isinstance(new, list):
        if len(old) != len(new):
            yield f"{path}: {len(old)} and {len(new)} entries"
        for index, (a, b) in enumerate(zip(old, new)):
            yield from differences(a, b, f"{path}[{index}]", texts)
    elif old != new or type(old) is not type(new):
        keys = re.findall(r"[A-Za-z_0-9]+(?=(?:\[\d+\])*$)", path)
        if isinstance(old, str) and isinstance(new, str) and keys and keys[-1] in SENTENCES:
            texts.append((path, old, new))
            if figures(old) != figures(new):
                yield f"{path}: the figures in {old!r} and {new!r}"
        else:
            yield f"{path}: {old!r} and {new!r}"


def content(folder, name):
    """Bytes of a recorded file; documents that name their own folder compare equal."""
    return (folder / name).read_bytes().replace(str(folder.resolve()).encode(), b"OUT")


def compare(old, new, show_texts):
    old, new = pathlib.Path(old), pathlib.Path(new)
    names = lambda folder: {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}
    found, texts, counts = [], [], {"exact": 0, "json": 0, "text": 0}
    for name in sorted(names(old) ^ names(new)):
        found.append(f"{name}: only in one record")
    for name in sorted(names(old) & names(new)):
        a, b = content(old, name), content(new, name)
        suffix = pathlib.Path(name).suffix
        if suffix in EXACT or suffix == ".exit":
            counts["exact"] += 1
            if a != b:
                found.append(f"{name}: bytes differ")
        elif suffix == ".json" and a != b and a.strip() and b.strip():
            counts["json"] += 1
            found += [f"{name}: {d}" for d in differences(json.loads(a), json.loads(b), "$", texts)]
        elif suffix == ".json":
            counts["json"] += 1
            if a != b:
                found.append(f"{name}: one document is empty")
        else:
            counts["text"] += 1
            if a != b:
                before, after = a.decode(errors="replace"), b.decode(errors="replace")
                texts.append((name, before, after))
                if figures(before) != figures(after):
                    found.append(f"{name}: figures differ")
    for line in found:
        print("DIFFERS", line)
    for name, before, after in texts if show_texts else []:
        print(f"TEXT {name}\n  - {before}\n  + {after}")
    print(f"{counts['exact']} files byte for byte, {counts['json']} documents, {counts['text']} texts compared: "
          f"{len(found)} results differ, {len(texts)} texts differ")
    return 1 if found else 0


if __name__ == "__main__":
    words = [w for w in sys.argv[1:] if w != "--texts"]
    if len(words) == 3 and words[0] == "record":
        record(words[1], words[2])
    elif len(words) == 3 and words[0] == "compare":
        sys.exit(compare(words[1], words[2], "--texts" in sys.argv))
    else:
        sys.exit(__doc__)
