//! Commands that print one text for other programs: completions, manual page and schema.

use std::collections::BTreeSet;
#[cfg(unix)]
use std::{fs, process::Command};

use crate::program::{WorkFolder, demo};

const SHELLS: [&str; 5] = ["bash", "elvish", "fish", "powershell", "zsh"];
/// Commands that print one text.
#[cfg(target_os = "linux")]
const PRINTING: [&[&str]; 4] = [&["completions", "bash"], &["manual"], &["materials"], &["schema"]];

/// Output of a command that must succeed and print the same text twice.
pub(crate) fn printed(arguments: &[&str]) -> String {
    let work = WorkFolder::new();
    let run = work.run(arguments);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{arguments:?}");
    assert_eq!(work.run(arguments).out, run.out, "{arguments:?} prints another text the second time");
    assert_eq!(work.all_paths(), Vec::<String>::new(), "{arguments:?} writes files");
    run.out
}

/// Commands that `--help` lists.
fn commands() -> Vec<String> {
    let help = printed(&["--help"]);
    let list = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let names = list.map(|line| line.split_whitespace().next().expect("each line names a command").to_owned());
    let names: Vec<String> = names.filter(|name| name != "help").collect();
    assert!(names.len() >= 8, "{names:?}");
    names
}

/// Long options that the help of a command lists.
fn options(command: &str) -> BTreeSet<String> {
    let help = printed(&[command, "--help"]);
    let words = help.split_whitespace().filter(|word| word.starts_with("--"));
    words.map(|word| word.trim_end_matches([',', '.', ';']).to_owned()).collect()
}

#[test]
fn completions_of_every_shell_name_all_commands_and_options() {
    let commands = commands();
    for shell in SHELLS {
        let script = printed(&["completions", shell]);
        for command in &commands {
            assert!(script.contains(command), "{shell} does not complete {command}");
            for option in options(command) {
                // Fish writes options without their dashes.
                let written = if shell == "fish" { format!("-l {}", &option[2..]) } else { option.clone() };
                assert!(script.contains(&written), "{shell} does not complete {command} {option}");
            }
        }
    }
    assert_eq!(WorkFolder::new().run(&["completions", "abacus"]).code, 2);
}

/// Lines that bash prints after it has read the completions and run a line of its own.
#[cfg(unix)]
fn bash_lines(line: &str) -> BTreeSet<String> {
    let work = WorkFolder::new();
    work.write("completions", printed(&["completions", "bash"]));
    let script = format!("source ./completions; {line}");
    let output = Command::new("bash").args(["-c", &script]).current_dir(work.path(".")).output().expect("bash starts");
    let text = String::from_utf8(output.stdout).expect("bash speaks UTF-8");
    text.lines().filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

#[cfg(unix)]
#[test]
fn bash_completes_commands_options_and_files() {
    let check = |words: &[&str], candidates: &[&str]| {
        let call = "_gripwright gripwright \"${COMP_WORDS[COMP_CWORD]}\" \"${COMP_WORDS[COMP_CWORD - 1]}\"";
        let words_of_bash = format!("COMP_WORDS=({}); COMP_CWORD={}", words.join(" "), words.len() - 1);
        let offered = bash_lines(&format!("{words_of_bash}; {call}; printf '%s\\n' \"${{COMPREPLY[@]}}\""));
        assert_eq!(offered, candidates.iter().map(|word| (*word).to_owned()).collect(), "{words:?}");
    };
    check(&["gripwright", "c"], &["calibrate", "check", "completions", "coupons"]);
    check(&["gripwright", "coupons", "--n"], &["--next"]);
    check(&["gripwright", "completions", "f"], &["fish"]);
    // Where the function offers nothing, bash offers file names by itself.
    check(&["gripwright", "make", "my-a"], &[]);
    let registered = bash_lines("complete -p gripwright");
    assert!(
        registered.iter().any(|line| line.contains("-o default") && line.contains("_gripwright")),
        "{registered:?}"
    );
}

/// Text of a manual page without fonts and escapes.
fn plain(roff: &str) -> String {
    roff.replace("\\fB", "").replace("\\fI", "").replace("\\fR", "").replace("\\-", "-").replace("\\*(Aq", "'")
}

#[test]
fn the_manual_names_commands_options_exit_codes_files_and_cautions() {
    let page = plain(&printed(&["manual"]));
    for command in commands() {
        let section = page.split(&format!(".SS {command}\n")).nth(1).unwrap_or_else(|| panic!("{command} is missing"));
        let section = section.split("\n.S").next().unwrap_or_default();
        for option in options(&command) {
            assert!(option == "--help" || section.contains(&option), "{command} {option} is missing");
        }
    }
    let section = |name: &str| {
        let section = page.split(&format!(".SH {name}\n")).nth(1).unwrap_or_else(|| panic!("{name} is missing"));
        section.split("\n.SH").next().unwrap_or_default()
    };
    let status = section("\"EXIT STATUS\"");
    for code in 0..=5 {
        assert!(status.contains(&format!(".TP\n{code}\n")), "exit code {code} is missing");
    }
    assert!(section("FILES").contains("trials.csv"));
    assert!(section("CAUTIONS").contains("eye protection"));
}

/// A full disk behind the standard output is a failure.
#[cfg(target_os = "linux")]
#[test]
fn data_that_cannot_be_printed_are_a_failure() {
    let (demo, work) = (demo("wire-cutter"), WorkFolder::new());
    let out = work.path("o").display().to_string();
    let runs: [&[&str]; 3] =
        [&["check", &demo], &["check", &demo, "--json"], &["make", &demo, "--json", "--out", &out]];
    for arguments in PRINTING.into_iter().chain(runs) {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = Command::new(env!("CARGO_BIN_EXE_gripwright")).args(arguments).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(4), "{arguments:?}");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(said.contains("cannot write to the standard output"), "{arguments:?}: {said}");
    }
}
