//! Remedies of refused specs: every line that a refusal prints is pasted into the spec and sized.
//!
//! `GRIPWRIGHT_REMEDIES=200` sets the number of refusals; by default a sample is made.

use gripwright::{Project, SizingError};
use gripwright_tests::random_spec;

/// Default number of refusals.
const SAMPLE: usize = 10;
/// Seeds that may be tried for each refusal: some specs have no design from the start, or keep one.
const TRIED: u64 = 12;
/// Least share of refusals that carry a remedy.
const LEAST_SHARE: f64 = 0.9;

/// Changes that tighten a spec: a line's beginning, and the new line for a strength from 0 to 2.
type Tightening = (&'static str, fn(usize) -> String);
const TIGHTENINGS: [Tightening; 5] = [
    ("snap_on = ", |k| format!("snap_on = {{ at_most = \"{} N\" }}", [24, 14, 8][k])),
    ("hold = ", |k| format!("hold = {{ safety = {} }}", [2.5, 4.0, 6.0][k])),
    ("working_load = ", |k| {
        format!("working_load = {{ along = \"{} N\", across = \"{} N\" }}", [6, 12, 20][k], [5, 9, 14][k])
    }),
    ("mount_length = ", |k| format!("mount_length = {}", [11.0, 9.0, 8.0][k])),
    ("load_path = ", |_| "load_path = \"limit\"".to_owned()),
];

/// Messages of a refusal, each with its hints.
type Refusal = Vec<(String, Vec<String>)>;

/// Sizes a spec; the refusal where no design meets it. A contradiction in the spec is another matter: it names what is
/// allowed.
fn sized(text: &str) -> Result<(), Refusal> {
    let project: Project = text.parse().unwrap_or_else(|problems| panic!("no valid spec: {problems}\n{text}"));
    match project.design() {
        Ok(_) | Err(SizingError::BadSpec(_)) => Ok(()),
        Err(SizingError::NoDesign(problems)) => {
            Err(problems.diagnostics.into_iter().map(|found| (found.message, found.hints)).collect())
        }
    }
}

/// The text with the first line of a beginning replaced, from a given line of the text on.
fn with_line(text: &str, from: &str, begins: &str, line: &str) -> Option<String> {
    let start = if from.is_empty() { 0 } else { text.find(from)? };
    let at =
        start + if text[start..].starts_with(begins) { 0 } else { text[start..].find(&format!("\n{begins}"))? + 1 };
    let end = at + text[at..].find('\n')?;
    Some(format!("{}{line}{}", &text[..at], &text[end..]))
}

/// Pastes one line into a spec, as its words say.
fn pasted(text: &str, remedy: &str) -> String {
    let mut quoted = remedy.split('`').skip(1).step_by(2);
    let line = quoted.next().unwrap_or_else(|| panic!("nothing to paste in {remedy}"));
    let (key, value) = line.split_once(" = ").unwrap_or_else(|| panic!("no key in {line}"));
    let place = remedy.rsplit('`').next().unwrap_or_default();
    let found = if let Some(tool) = quoted.next() {
        let named = format!("name = \"{tool}\"");
        if remedy.contains("working_load") {
            let start = text.find(&named).unwrap_or_else(|| panic!("no tool {tool}"));
            let load =
                text[start..].find("working_load = ").map(|k| &text[start + k..]).and_then(|rest| rest.lines().next());
            let load = load.unwrap_or_else(|| panic!("no load of {tool}"));
            let other = if key == "along" { "across" } else { "along" };
            let kept = load.split(&format!("{other} = ")).nth(1).and_then(|rest| rest.split('"').nth(1));
            let kept = kept.unwrap_or_else(|| panic!("no {other} in {load}"));
            with_line(
                text,
                &named,
                "working_load = ",
                &format!("working_load = {{ {key} = {value}, {other} = \"{kept}\" }}"),
            )
        } else {
            with_line(text, &named, &format!("{key} = "), line)
        }
    } else {
        let table = place.split(['[', ']']).nth(1).unwrap_or_else(|| panic!("no table in {remedy}"));
        let header = format!("\n[{table}]\n");
        let start = text.find(&header).unwrap_or_else(|| panic!("no table {table}")) + header.len();
        let end = text[start..].find("\n[").map_or(text.len(), |k| start + k + 1);
        let section = with_line(&text[start..end], "", &format!("{key} = "), line);
        let section = section.unwrap_or_else(|| format!("{line}\n{}", &text[start..end]));
        Some(format!("{}{section}{}", &text[..start], &text[end..]))
    };
    found.unwrap_or_else(|| panic!("no place for {remedy} in\n{text}"))
}

/// Remedies of a hint: each a line to paste, or several together.
fn remedies(hint: &str) -> Vec<Vec<&str>> {
    let listed = hint.split_once("would free it: ").map(|(_, listed)| listed);
    listed.into_iter().flat_map(|listed| listed.split("; ")).map(|one| one.split(" together with ").collect()).collect()
}

/// A spec that has a design, tightened until it has none, with the problems of its refusal; `None` if it keeps one.
fn refused(seed: u64) -> Option<(String, Refusal)> {
    let text = random_spec(seed);
    text.parse::<Project>().ok()?.design().ok()?;
    let kind = |shift: u64| usize::try_from(seed / shift).ok().map(|k| TIGHTENINGS[k % TIGHTENINGS.len()]);
    let kinds: Vec<Tightening> = [1, 5].into_iter().filter_map(kind).collect();
    for strength in 0..3 {
        let mut tight = text.clone();
        for (begins, line) in kinds.iter().take(if seed.is_multiple_of(2) { 1 } else { 2 }) {
            tight = with_line(&tight, "", begins, &line(strength)).unwrap_or(tight);
        }
        if let Err(refusal) = sized(&tight) {
            return Some((tight, refusal));
        }
    }
    None
}

#[test]
fn every_remedy_frees_its_spec() {
    let wanted = std::env::var("GRIPWRIGHT_REMEDIES").map_or(SAMPLE, |n| n.parse().expect("a number of refusals"));
    let (mut count, mut helped, mut tried, mut without) = (0, 0, 0, Vec::new());
    for (text, refusal) in (0..TRIED * wanted as u64).filter_map(refused).take(wanted) {
        count += 1;
        let hints: Vec<&str> = refusal.iter().flat_map(|(_, hints)| hints).map(String::as_str).collect();
        let listed: Vec<Vec<&str>> = hints.iter().flat_map(|hint| remedies(hint)).collect();
        let listed_none = listed.is_empty();
        helped += usize::from(!listed_none);
        for remedy in listed {
            let mended = remedy.iter().fold(text.clone(), |text, line| pasted(&text, line));
            if let Err(left) = sized(&mended) {
                panic!("{remedy:?} does not free it: {left:?}\n{text}");
            }
            tried += 1;
        }
        if listed_none {
            without.push(format!("{refusal:?}"));
        }
    }
    assert_eq!(count, wanted, "too few refusals");
    assert!(
        helped as f64 >= LEAST_SHARE * count as f64,
        "{helped} of {count} refusals carry a remedy, {tried} in all: {without:#?}"
    );
}
