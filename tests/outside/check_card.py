"""Checks the coupon card with a strict XML reader: one self-contained page with a row for every coupon. The printed
volume and mass must agree with an independent mesh library."""

import re
import xml.etree.ElementTree as ElementTree

import trimesh

# Upper bound of the chord error of the meshes relative to the size of these parts.
SHARE = 0.01


def check_card(report, folder, document):
    """Compares the card of one run with the other files of that run."""
    text = (folder / "coupons-card.html").read_text(encoding="utf-8")
    page = ElementTree.fromstring(text.replace("<!DOCTYPE html>", ""))
    outside = re.findall(r"(?:src|href|url|@import)\s*[=(]", text)
    report.check("card needs no other file", not outside, f"{outside or 'nothing'}")
    written = {cell.text for cell in page.iter("td") if cell.get("class") == "id" and cell.text}
    coupons = [coupon["coupon"] for coupon in document["coupons"]]
    report.check("card has a row for every coupon", written >= set(coupons), f"{len(coupons)}")
    drawn = [path for path in page.iter("{http://www.w3.org/2000/svg}path") if path.get("class") == "label"]
    report.check("card draws every coupon", len(drawn) == len(coupons), f"{len(drawn)}")
    _check_plastic(report, folder, document, text)


def _check_plastic(report, folder, document, text):
    """Compares volume and mass on the card with the meshes of the plates."""
    plates = [entry["path"] for entry in document["files"] if entry["kind"] == "stl" and entry["path"].startswith("coupons-")]
    volume = sum(trimesh.load_mesh(str(folder / plate)).volume for plate in plates)
    stated = re.search(r"([\d.]+) cm³, (\d+) g in all, by the volume of the solids at ([\d.]+) g/cm³", text)
    cubic, grams, density = (float(number) for number in stated.groups())
    close = abs(1000.0 * cubic - volume) <= SHARE * volume + 50.0 and abs(grams - 1e-3 * volume * density) <= SHARE * grams + 0.5
    report.check("card weighs the plastic", close, f"{cubic} cm3 and {grams} g where the meshes hold {volume:.0f} mm3")
