//! Trials files and calibration files: reading of spreadsheets, and reading back of written files.

use gripwright_input::{
    CalibratedSize, Calibration, CalibrationOrigin, Drag, HoldProbability, ORIGIN_PARTS, RecordedEstimate,
    RecordedUpdate, TrialOutcome, TrialRound, TrialRow, TrialTarget, read_calibration, read_trials, sort_trials,
    write_calibration,
};
use proptest::prelude::*;

fn targets() -> Vec<TrialTarget> {
    let size = |letter, seat_mm, tools: &[&str]| TrialTarget {
        letter,
        seat_mm,
        tools: tools.iter().map(|t| (*t).to_owned()).collect(),
    };
    vec![size('A', Some(9.32), &["slim", "the \"odd\" one"]), size('B', Some(9.4), &["long"]), size('M', None, &[])]
}

fn row(letter: char, step_mm: f64, tool: Option<&str>, outcome: TrialOutcome) -> TrialRow {
    TrialRow {
        letter,
        step_mm,
        tool: tool.map(str::to_owned),
        outcome,
        pull_n: None,
        slide_n: None,
        drag: None,
        bore_mm: None,
        note: String::new(),
        line: 0,
    }
}

#[test]
fn a_spreadsheet_is_read() {
    let text = "\u{feff}sep=;\r\nNote;Bore [mm];OUTCOME;Tool;Coupon;Pull [kgf]\r\n\
                \"held; just\";\"9,25\";Loose;SLIM;a-0,1;\r\n;;;;;\r\n;9,310;Would_Not_Go;;b+0,2;\r\n;;good;;\"B\u{2212}0,1\";1,25\r\n";
    let found = read_trials(text.as_bytes(), "t.csv", &targets()).expect("it is sound");
    let expected = [
        TrialRow {
            bore_mm: Some(9.25),
            note: "held; just".to_owned(),
            line: 3,
            ..row('A', -0.1, Some("slim"), TrialOutcome::Loose)
        },
        TrialRow { bore_mm: Some(9.31), line: 5, ..row('B', 0.2, Some("long"), TrialOutcome::WouldNotGo) },
        // 1.25 kilograms-force; 1 kgf is 9.80665 N (3rd General Conference on Weights and Measures).
        TrialRow { pull_n: Some(1.25 * 9.806_65), line: 6, ..row('B', -0.1, Some("long"), TrialOutcome::Good) },
    ];
    assert_eq!(found.rows, expected);
    assert_eq!((found.untried, found.warnings.len()), (0, 0));
}

#[test]
fn toml_and_csv_give_equal_trials() {
    let csv = "coupon,tool,outcome,slide\nA+0.1,\"the \"\"odd\"\" one\",tight,2 N\nM+0.0,body,good,\nB0,,,\n";
    let toml = "[[trials]]\ncoupon = \"A+0.1\"\ntool = 'the \"odd\" one'\noutcome = \"tight\"\nslide = 2\n\
                [[trials]]\ncoupon = \"M+0.0\"\noutcome = \"good\"\n[[trials]]\ncoupon = \"B0\"\n";
    let of = |text: &str, name| {
        let mut found = read_trials(text.as_bytes(), name, &targets()).expect("it is sound");
        found.rows.iter_mut().for_each(|row| row.line = 0);
        found
    };
    assert_eq!(of(csv, "t.csv"), of(toml, "t.TOML"));
    assert_eq!(of(csv, "t.csv").untried, 1);
}

#[test]
fn rows_and_columns_beyond_their_limits_are_refused() {
    let refused = |text: &str| {
        let problems = read_trials(text.as_bytes(), "t.csv", &targets()).err().unwrap_or_default();
        problems.iter().any(|problem| problem.code == "too-much")
    };
    let rows = |count| format!("coupon,tool,outcome\n{}", "A-0.1,slim,\n".repeat(count));
    assert!(!refused(&rows(20_000)) && refused(&rows(20_001)));
    let columns = |count: usize| format!("coupon,tool,outcome{}\n", ",".repeat(count - 3));
    assert!(!refused(&columns(200)) && refused(&columns(201)));
}

fn calibration(mut rows: Vec<TrialRow>) -> Calibration {
    sort_trials(&mut rows);
    let known = |median: f64| RecordedEstimate { median, interval90: [median - 0.125, median + 0.125], sd: 0.0625 };
    let change = RecordedUpdate { before: known(0.0), after: known(0.25) };
    let size = |letter, round, hold_probabilities: Vec<HoldProbability>| CalibratedSize {
        letter,
        seat_mm: 9.32,
        round,
        error: change,
        draw_mm: -0.25,
        draw_interval90: [-0.5, 0.125],
        target_mm: 0.0,
        hold_probabilities,
        rows: rows.iter().filter(|row| row.letter == letter).count(),
    };
    let held = |tool: Option<&str>, probability| HoldProbability { tool: tool.map(str::to_owned), probability };
    let tool = |name| held(Some(name), Some(0.5));
    Calibration {
        made_for: ORIGIN_PARTS
            .map(|part| CalibrationOrigin {
                part,
                description: "a \"thing\" with \\ in it".to_owned(),
                digest: "00ff".to_owned(),
            })
            .to_vec(),
        bore_error: change,
        stiffness: change,
        friction: change,
        scatter: change,
        sizes: vec![
            size('A', true, vec![tool("slim"), held(Some("the \"odd\" one"), None)]),
            size('B', true, vec![tool("long")]),
            size('M', false, vec![held(None, Some(0.25))]),
        ],
        contradictions: vec!["these two do not go together".to_owned()],
        rounds: vec![TrialRound { file: "trials \u{e9}.csv".to_owned(), rows }],
    }
}

fn any_row() -> impl Strategy<Value = TrialRow> {
    let of = prop_oneof![
        Just(('A', Some("slim"))),
        Just(('A', Some("the \"odd\" one"))),
        Just(('B', Some("long"))),
        Just(('M', None))
    ];
    (
        of,
        -1000..1000_i32,
        prop_oneof![Just(TrialOutcome::Good), Just(TrialOutcome::Tight)],
        any::<bool>(),
        0.0..400.0,
        "[ -~é]{0,12}",
    )
        .prop_map(|((letter, tool), step, outcome, pulled, force, note)| TrialRow {
            pull_n: pulled.then_some(force),
            slide_n: (!pulled).then_some(0.5 * force),
            drag: pulled.then_some(Drag { force_n: 0.02 * force, load_n: 9.81 }),
            bore_mm: (letter != 'M' && pulled).then(|| 9.35 + f64::from(step) / 1000.0),
            note: note.trim().to_owned(),
            ..row(letter, f64::from(step) * 0.001, tool, outcome)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, rng_seed: proptest::test_runner::RngSeed::Fixed(5), failure_persistence: None, ..ProptestConfig::default() })]

    /// A written calibration reads back bit for bit and writes again byte for byte, in any order of rows.
    #[test]
    fn calibrations_survive_the_file(rows in prop::collection::vec(any_row(), 0..12)) {
        let text = write_calibration(&calibration(rows.clone()));
        let mut found = read_calibration(text.as_bytes(), "c.toml").map_err(|p| TestCaseError::fail(format!("{p:#?}\n{text}")))?.calibration;
        prop_assert_eq!(&write_calibration(&found), &text);
        found.rounds[0].rows.iter_mut().for_each(|row| row.line = 0);
        prop_assert_eq!(found, calibration(rows.clone()));
        let reversed = rows.into_iter().rev().collect();
        prop_assert_eq!(write_calibration(&calibration(reversed)), text);
    }

    /// The readers never panic, and give a reason for every refusal.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(prop_oneof![any::<u8>(), Just(b','), Just(b'\n'), Just(b'"'), Just(b'A'), Just(b'=')], 0..200)) {
        for name in ["t.csv", "t.toml"] {
            if let Err(problems) = read_trials(&bytes, name, &targets()) {
                prop_assert!(!problems.is_empty());
            }
        }
        prop_assert!(read_calibration(&bytes, "c.toml").is_err_and(|problems| !problems.is_empty()));
    }

    /// A valid file with one arbitrary cell is read, or refused at a position inside it.
    #[test]
    fn any_cell_is_read_or_refused(cell in "[^\r\n\"]{0,20}", column in 0..7_usize) {
        let mut cells = ["A+0.1", "slim", "good", "3 N", "", "9.4", ""].map(str::to_owned);
        cells[column] = format!("\"{cell}\"");
        let text = format!("coupon,tool,outcome,pull,slide,bore,note\n{}\n", cells.join(","));
        if let Err(problems) = read_trials(text.as_bytes(), "t.csv", &targets()) {
            prop_assert!(problems.iter().all(|p| p.span.end <= text.len() && text.is_char_boundary(p.span.start) && text.is_char_boundary(p.span.end)));
            prop_assert!(problems.iter().all(|p| p.line == 2));
        }
    }
}
