"""Opens reports of runs in a real browser: nothing is asked from outside, nothing fails, the part turns, the slider works, and
the rules of accessibility hold in light and dark.

    python check_report.py --program target/release/gripwright --specs demo-specs --work target/outside/reports
"""

import argparse
import hashlib
import shutil
import subprocess
import sys
from pathlib import Path

from report import Report

# Demos with a mould and several holders; with an aimed point, two clips and a stop. The others are for longer runs.
DEMOS = ["dispensing-arm", "inspection-arm"]
WIDTHS = [360, 1280]
# Drawing in software, and no connection that the browser makes for itself.
FLAGS = [
    "--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
# Longest overlap of two texts of a figure that counts as none, px: boxes of letters are higher than the letters.
TOUCH_PX = 3

OVERLAPS = """touch => {
  const found = [];
  for (const figure of document.querySelectorAll('svg.sketch')) {
    const boxes = [...figure.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect()]).filter(b => b[1].width > 0);
    boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
      const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
      const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
      if (across > touch && down > touch) found.push(`${figure.getAttribute('aria-label')}: "${a}" and "${b}"`);
    }));
  }
  return found;
}"""

OUTSIDE = """() => {
  const found = [];
  for (const figure of document.querySelectorAll('svg.sketch')) {
    const frame = figure.getBoundingClientRect();
    for (const text of figure.querySelectorAll('text')) {
      const box = text.getBoundingClientRect();
      if (box.width > 0 && (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1))
        found.push(`${figure.getAttribute('aria-label')}: "${text.textContent}"`);
    }
  }
  return found;
}"""


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--specs", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--demos", nargs="*", default=DEMOS)
    options = parser.parse_args()
    report = Report()
    browser_path = next(filter(None, map(shutil.which, ["chromium", "chromium-browser"])), None)
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        sync_playwright = None
    if browser_path is None or sync_playwright is None:
        report.skip("reports in a browser", "no Chromium, or no driver for it")
        sys.exit(report.finish())
    shutil.rmtree(options.work, ignore_errors=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_path, args=FLAGS)
        for demo in options.demos:
            folder = options.work / demo
            command = [options.program.resolve(), "make", options.specs / f"{demo}.toml", "--quiet", "--out", folder]
            if subprocess.run(command, check=False).returncode != 0:
                report.skip(f"report of {demo}", "`make` did not end well")
                continue
            check_page(report, browser, demo, folder)
        check_hostile(report, browser, options)
        browser.close()
        check_without_webgl(report, playwright, browser_path, options.work / options.demos[0])
    sys.exit(report.finish())


def opened(browser, page_path, problems, **view):
    """Opens a page; what it logs, throws or asks for goes into `problems`."""
    page = browser.new_page(**view)
    address = page_path.resolve().as_uri()
    page.on("console", lambda message: problems.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: problems.append(str(error)))
    inside = lambda url: url.startswith("data:") or url.split("#")[0] == address
    page.on("request", lambda request: None if inside(request.url) else problems.append(f"asks for {request.url}"))
    page.goto(address)
    page.wait_for_timeout(150)
    return page


def check_page(report, browser, demo, folder):
    """Checks one report in widths and colour schemes."""
    problems = []
    for scheme in ("light", "dark"):
        for width in WIDTHS:
            page = opened(browser, folder / "report.html", problems, viewport={"width": width, "height": 800}, color_scheme=scheme)
            wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            report.check(f"{demo} fits into {width} px, {scheme}", wider <= 0, f"{wider} px wider")
            if width == WIDTHS[0]:
                check_accessibility(report, page, f"{demo}, {width} px, {scheme}")
            if width == WIDTHS[-1] and scheme == "light":
                check_view(report, page, demo)
                check_slider(report, page, demo)
                check_texts(report, page, demo)
                check_links(report, page, demo, folder)
                check_paper(report, page, demo)
            page.close()
    report.check(f"{demo} logs no error and asks for nothing", not problems, problems[:3] or "nothing")


def check_accessibility(report, page, name):
    """Runs axe-core."""
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        report.skip(f"axe-core on {name}", "its package is missing")
        return
    found = Axe().run(page).response["violations"]
    figure = [(rule["id"], rule["nodes"][0]["html"][:120]) for rule in found[:3]] or "none"
    report.check(f"axe-core finds nothing on {name}", not found, figure)


def check_view(report, page, demo):
    """The part is drawn, turns by key and button, and can be cut."""
    canvas = page.locator("canvas")
    canvas.scroll_into_view_if_needed()
    page.wait_for_timeout(150)
    empty = page.evaluate("() => getComputedStyle(document.querySelector('.stage')).backgroundColor")
    pictures = [canvas.screenshot()]

    def changed(name, act):
        act()
        page.wait_for_timeout(150)
        pictures.append(canvas.screenshot())
        report.check(f"{demo}: {name} changes the view", pictures[-1] != pictures[-2], f"{len(pictures[-1])} bytes")

    report.check(f"{demo}: the part is drawn", len(pictures[0]) > 8000, f"{len(pictures[0])} bytes on {empty}")
    changed("an arrow key", lambda: canvas.press("ArrowLeft"))
    changed("a drag", lambda: drag(page, canvas))
    changed("a button", lambda: page.get_by_role("button", name="from the side").click())
    changed("the section plane", lambda: page.locator("select[data-plane]").select_option("x"))
    changed("its slider", lambda: page.locator("input[data-share]").press("ArrowRight"))
    changed("the switch of the tool", lambda: page.locator("input[data-kind=tool]").click())
    shown = page.locator(".letters span:visible").all_inner_texts()
    holders = page.evaluate("() => JSON.parse(document.getElementById('design').textContent).holders.map(h => h.size)")
    report.check(f"{demo}: every holder has its letter", set(holders) <= set(shown), f"{shown} for {holders}")


def drag(page, canvas):
    """Drags across the view."""
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.6 * box["width"], box["y"] + 0.4 * box["height"])
    page.mouse.up()


def check_slider(report, page, demo):
    """The slider goes through the family by keyboard."""
    slider, words = page.locator("#seat"), page.locator("#seat-words")
    seen = {words.inner_text()}
    for _ in range(int(slider.get_attribute("max"))):
        slider.press("ArrowRight")
        seen.add(words.inner_text())
    frames = page.locator("#seats .frame").count()
    shown = page.locator("#seats .frame:visible").count()
    report.check(f"{demo}: the slider shows each of its pictures", len(seen) == frames and shown == 1, f"{len(seen)} of {frames}")


def check_texts(report, page, demo):
    """No text of a figure covers another or leaves its figure."""
    found = page.evaluate(OVERLAPS, TOUCH_PX)
    report.check(f"{demo}: no text covers another", not found, found[:4] or "none")
    found = page.evaluate(OUTSIDE)
    report.check(f"{demo}: no text leaves its figure", not found, found[:4] or "none")


def check_links(report, page, demo, folder):
    """Every file that the page links has the digest that the page states."""
    rows = page.evaluate("() => [...document.querySelectorAll('#files tbody tr')].map(r => [r.querySelector('a').getAttribute('href'), r.querySelector('code').textContent])")
    wrong = [name for name, digest in rows if hashlib.sha256((folder / name).read_bytes()).hexdigest() != digest]
    report.check(f"{demo}: linked files are those on the disk", rows and not wrong, wrong or f"{len(rows)} files")


def check_paper(report, page, demo):
    """The page prints on both papers."""
    for paper in ("A4", "Letter"):
        pdf = page.pdf(format=paper)
        pages = pdf.count(b"/Type /Page\n") or pdf.count(b"/Type /Page")
        report.check(f"{demo} prints on {paper}", pages > 1, f"{pages} pages, {len(pdf)} bytes")


def check_hostile(report, browser, options):
    """Scripts in names do not run."""
    spec = (options.specs / "inspection-arm.toml").read_text(encoding="utf-8")
    hostile = "</script><svg onload=document.title='broken'>"
    spec = "\n".join(f'name = "{hostile} {k}"' if line.startswith("name = ") else line for k, line in enumerate(spec.splitlines()))
    folder = options.work / "hostile"
    folder.mkdir(parents=True)
    (folder / "spec.toml").write_text(spec, encoding="utf-8")
    command = [options.program.resolve(), "make", folder / "spec.toml", "--quiet", "--out", folder / "o"]
    if subprocess.run(command, check=False).returncode != 0:
        report.skip("hostile names", "`make` did not end well")
        return
    problems = []
    page = opened(browser, folder / "o" / "report.html", problems)
    report.check("scripts in names do not run", "broken" != page.title() and not problems, problems[:2] or page.title()[:60])
    injected = page.evaluate("() => document.querySelectorAll('[onerror], [onload]').length + document.scripts.length")
    report.check("names add no element", injected == 3, f"{injected} scripts and handlers")
    page.close()


def check_without_webgl(report, playwright, browser_path, folder):
    """Where WebGL is missing, the still picture is shown."""
    browser = playwright.chromium.launch(executable_path=browser_path, args=[*FLAGS, "--disable-3d-apis"])
    page = browser.new_page()
    page.goto((folder / "report.html").resolve().as_uri())
    page.wait_for_timeout(150)
    seen = [page.locator(selector).is_visible() for selector in ("img.still", "canvas")]
    report.check("without WebGL there is a still picture", seen == [True, False], f"picture, view: {seen}")
    browser.close()


if __name__ == "__main__":
    main()
