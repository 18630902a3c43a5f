//! Reading never panics, and every problem has a position in the text.

use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec_bytes, render_diagnostic, requested_library};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, RngAlgorithm, TestError, TestRng, TestRunner};

/// Returns a runner with the same cases on every run.
fn runner(cases: u32) -> TestRunner {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha))
}

fn assert_passes<T: std::fmt::Debug>(result: &Result<(), TestError<T>>) {
    assert!(result.is_ok(), "{result:?}");
}

/// Reads the bytes in every way, and checks the positions of reported problems.
fn read_all(bytes: &[u8], materials: &MaterialLibrary) -> Result<(), TestCaseError> {
    let text = String::from_utf8_lossy(bytes);
    requested_library(&text);
    let problems = match read_spec_bytes(bytes, "spec.toml", materials) {
        Ok(loaded) => loaded.warnings,
        Err(problems) => {
            prop_assert!(problems.iter().any(gripwright_input::Diagnostic::is_error), "refused without an error");
            problems
        }
    };
    prop_assert!(problems.is_sorted_by_key(|problem| problem.span.start));
    for problem in &problems {
        prop_assert!(problem.line >= 1 && problem.line <= text.lines().count().max(1) + 1, "{problem}");
        prop_assert!(problem.column >= 1);
        let inside = problem.code == "not-utf8" || text.get(problem.span.clone()).is_some();
        prop_assert!(inside, "{problem}: {:?}", problem.span);
        prop_assert!(render_diagnostic(problem, &text).lines().all(|line| line.chars().count() < 1000));
    }
    // A material library is read by the same code.
    let _ = materials.extended(bytes, "own.toml");
    Ok(())
}

#[test]
fn arbitrary_bytes() {
    let materials = MaterialLibrary::built_in();
    let bytes = proptest::collection::vec(any::<u8>(), 0..200);
    assert_passes(&runner(2000).run(&bytes, |bytes| read_all(&bytes, &materials)));
}

/// Tokens of TOML in any order.
#[test]
fn arbitrary_tokens() {
    let tokens = [
        "[",
        "]",
        "[[",
        "]]",
        "{",
        "}",
        "=",
        ",",
        ".",
        "\n",
        "\"",
        "'''",
        "\"\"\"",
        "#",
        " ",
        "holder",
        "tools",
        "body",
        "profile",
        "diameter",
        "name",
        "readings",
        "nan",
        "-inf",
        "1e999",
        "0x10",
        "9.6",
        "-0.0",
        "\"12 h9\"",
        "true",
        "1979-05-27",
        "\u{feff}",
        "\r",
        "µ",
        "\u{0}",
        "\"9 g\"",
        "shape",
        "\"circle\"",
        "finish",
        "0.1",
        "steps",
    ];
    let materials = MaterialLibrary::built_in();
    let texts = proptest::collection::vec(proptest::sample::select(tokens.to_vec()), 0..60);
    assert_passes(&runner(3000).run(&texts, |tokens| read_all(tokens.concat().as_bytes(), &materials)));
}

/// One mutation of a text.
#[derive(Clone, Debug)]
enum Mutation {
    Byte(Index, u8),
    DropLine(Index),
    RepeatLine(Index, Index),
    CutOff(Index),
    Word(Index, &'static str),
}

fn mutations() -> impl Strategy<Value = Vec<Mutation>> {
    let words = ["nan", "-1", "0", "1e308", "\"5 deg\"", "[]", "{}", "true", "\"\"", "\"ß\"", "[[1]]", "1,5", "12 mm"];
    let mutation = prop_oneof![
        (any::<Index>(), any::<u8>()).prop_map(|(at, byte)| Mutation::Byte(at, byte)),
        any::<Index>().prop_map(Mutation::DropLine),
        (any::<Index>(), any::<Index>()).prop_map(|(from, to)| Mutation::RepeatLine(from, to)),
        any::<Index>().prop_map(Mutation::CutOff),
        (any::<Index>(), proptest::sample::select(words.to_vec())).prop_map(|(at, word)| Mutation::Word(at, word)),
    ];
    proptest::collection::vec(mutation, 1..6)
}

fn mutate(bytes: &mut Vec<u8>, mutation: &Mutation) {
    let mut lines: Vec<Vec<u8>> = bytes.split(|&byte| byte == b'\n').map(<[u8]>::to_vec).collect();
    match mutation {
        Mutation::Byte(at, byte) => {
            let at = at.index(bytes.len().max(1));
            if let Some(old) = bytes.get_mut(at) {
                *old = *byte;
            }
            return;
        }
        Mutation::CutOff(at) => return bytes.truncate(at.index(bytes.len() + 1)),
        Mutation::DropLine(at) => drop(lines.remove(at.index(lines.len()))),
        Mutation::RepeatLine(from, to) => {
            let line = lines[from.index(lines.len())].clone();
            lines.insert(to.index(lines.len()), line);
        }
        Mutation::Word(at, word) => {
            let at = at.index(lines.len());
            if let Some(equals) = lines[at].iter().position(|&byte| byte == b'=') {
                lines[at].truncate(equals + 1);
                lines[at].extend_from_slice(word.as_bytes());
            }
        }
    }
    *bytes = lines.join(&b'\n');
}

#[test]
fn a_mutated_starter() {
    let materials = MaterialLibrary::built_in();
    assert_passes(&runner(3000).run(&mutations(), |mutations| {
        let mut bytes = STARTER_SPEC.as_bytes().to_vec();
        for mutation in &mutations {
            mutate(&mut bytes, mutation);
        }
        read_all(&bytes, &materials)
    }));
}

/// The parser limits nesting, and long lists of errors are cut off.
#[test]
fn pathological_files_end_soon() {
    let materials = MaterialLibrary::built_in();
    let shapes = ["a=[", "[a.", "a={b=", "[[a]]\n", "a.", "x = \n", "[", "\"", "a=1\n", "[tools]\n", "\u{feff}"];
    for shape in shapes {
        let text = shape.repeat(100_000 / shape.len());
        assert!(read_all(text.as_bytes(), &materials).is_ok(), "{shape:?}");
    }
}
