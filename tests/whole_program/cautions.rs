//! Cautions: each stands at its step, and on no page twice.

use std::fs;

use gripwright::cautions::{Caution, CautionStep, PRECEDENCE, all_cautions};

use crate::{
    program::{WorkFolder, demo, root},
    shell_support::printed,
};

/// Text without line breaks, escapes and fonts, so that sentences can be found.
fn plain(page: &str) -> String {
    let page = ["\\fB", "\\fI", "\\fR", "\\"].iter().fold(page.to_owned(), |page, mark| page.replace(mark, ""));
    let page = page.replace("*(Aq", "'").replace("&gt;", ">");
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// First words of a caution, which no other text has.
fn opening(caution: &Caution) -> String {
    let words: Vec<&str> = caution.text.split_whitespace().take(7).collect();
    words.join(" ")
}

fn count(page: &str, caution: &Caution) -> usize {
    plain(page).matches(&opening(caution)).count()
}

/// Every page that a run leaves: the printed text and all files of text, with their names.
fn pages(work: &WorkFolder, name: &str, arguments: &[&str]) -> Vec<(String, String)> {
    let run = work.run(arguments);
    assert_eq!(run.code, 0, "{arguments:?}: {}", run.err);
    let mut pages = vec![(format!("{name}: {arguments:?}"), run.out)];
    for entry in fs::read_dir(work.path("")).unwrap().chain(fs::read_dir(work.path("o")).into_iter().flatten()) {
        let path = entry.unwrap().path();
        let is_text =
            ["html", "csv", "json", "toml", "svg"].iter().any(|end| path.extension().is_some_and(|e| e == *end));
        if is_text {
            pages.push((format!("{name}: {}", path.display()), fs::read_to_string(&path).unwrap()));
        }
    }
    pages
}

/// Steps whose cautions a page of a run has.
fn steps_of(page: &str) -> &'static [CautionStep] {
    if page.contains("coupons-card") || page.contains("\"coupons\"") {
        &CautionStep::OF_COUPONS
    } else if page.contains("\"make\"") {
        &CautionStep::ALL
    } else {
        &[]
    }
}

#[test]
fn each_caution_stands_at_its_step_and_on_no_page_twice() {
    for (name, is_cast) in [("dispensing-arm", true), ("seatpost-lamps", false)] {
        let work = WorkFolder::new();
        work.write("spec.toml", fs::read_to_string(demo(name)).unwrap());
        let mut all = pages(&work, name, &["check", "spec.toml"]);
        all.extend(pages(&work, name, &["coupons", "spec.toml", "--out", "o"]));
        all.extend(pages(&work, name, &["make", "spec.toml", "--out", "o"]));
        let of_mould = |page: &str| ["bench-sheet.html", "mould.json"].iter().any(|file| page.ends_with(file));
        assert_eq!(all.iter().filter(|(page, _)| of_mould(page)).count(), if is_cast { 2 } else { 0 }, "{name}");
        for (page, text) in &all {
            // A bench sheet has its cautions in the boxes of its steps, some of them in the words of other pages.
            if of_mould(page) {
                assert!(all_cautions().iter().all(|caution| count(text, caution) <= 1), "{page}");
                assert_eq!(plain(text).matches(PRECEDENCE).count(), 1, "{page}");
                continue;
            }
            // Its cautions are those of the run that wrote it last, and a mould's page has those of the mould.
            if page.ends_with("report.html") {
                assert!(all_cautions().iter().all(|caution| count(text, caution) <= 1), "{page}");
                assert_eq!(plain(text).matches(PRECEDENCE).count(), 1, "{page}");
                continue;
            }
            for caution in all_cautions() {
                // A filament print is no photopolymer, and a printed part is not cast.
                let applies = caution.subject != "Uncured resin" && (is_cast || caution.step != CautionStep::Cast);
                let expected = usize::from(applies && steps_of(page).contains(&caution.step));
                assert_eq!(count(text, &caution), expected, "{page}: {}", caution.text);
            }
            assert_eq!(plain(text).matches(PRECEDENCE).count(), usize::from(!steps_of(page).is_empty()), "{page}");
        }
    }
}

#[test]
fn the_readme_and_the_manual_have_every_caution_once() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    for caution in all_cautions() {
        assert_eq!(count(&readme, &caution), 1, "README.md: {}", caution.text);
        assert_eq!(count(&printed(&["manual"]), &caution), 1, "manual: {}", caution.text);
        for arguments in [&["--help"][..], &["materials"], &["materials", "pla"], &["schema"]] {
            assert_eq!(count(&printed(arguments), &caution), 0, "{arguments:?}: {}", caution.text);
        }
    }
}

#[test]
fn resins_and_the_service_temperature_are_those_of_the_spec() {
    let spec = fs::read_to_string(demo("dispensing-arm")).unwrap();
    let made = |spec: &str| {
        let work = WorkFolder::new();
        work.write("spec.toml", spec);
        let run = work.run(&["make", "spec.toml", "--out", "o"]);
        assert_eq!(run.code, 0, "{}", run.err);
        plain(&run.out)
    };
    let cast = made(&spec);
    assert!(cast.contains("is declared to serve up to 50 °C") && !cast.contains("photopolymer"), "{cast}");
    let resin = made(&spec.replace("\"petg\"", "\"photopolymer-tough\""));
    assert!(resin.contains("Uncured photopolymer irritates"), "{resin}");
}
