//! The manual page: one page for all commands, in the language of `man`.
//!
//! Commands, options and exit codes come from the definition of the command line, cautions from the library.

use clap::{Arg, Command, CommandFactory};
use gripwright::cautions::{Caution, PRECEDENCE, all_cautions};
use roff::{Inline, Roff, bold, italic, roman};

use crate::arguments::{Arguments, EXIT_CODES};

/// Sentences on the purpose of the program.
const DESCRIPTION: &str = "Designs a plastic adapter that snaps on a device and grips tools with round or hexagonal \
    barrels. It reads a spec, a text file with measurements, and writes a sized holder with flexure clips and a set of \
    labelled coupons. A coupon is a short slice of a clip that is printed and tried before the whole part.";

/// Steps from a blank spec to the finished part.
const STEPS: [(&str, &str); 5] = [
    ("gripwright new my-arm.toml", "writes a commented spec. Put in your measurements."),
    ("gripwright check my-arm.toml", "prints the fit table, or what to change."),
    ("gripwright coupons my-arm.toml", "makes the coupons. Print them, try them and fill in `trials.csv`."),
    (
        "gripwright calibrate my-arm.toml out/my-arm/trials.csv",
        "corrects the bores for your printer, and tells which line to add to the spec.",
    ),
    ("gripwright make my-arm.toml", "makes everything."),
];

/// Files that a run writes, and their content.
const FILES: [(&str, &str); 10] = [
    ("holder.step, holder-a.step, ...", "one holder for each clip size: exact surfaces, millimetres."),
    ("holder.stl, holder-a.stl, ...", "the same as triangles, chord error at most 0.01 mm."),
    ("holders.png", "a picture of all parts."),
    ("sleeve-a1.step, sleeve-a1.stl, ...", "one for each sleeve, numbered by the size that grips it."),
    ("coupons-1.3mf, .step, .stl, .png, ...", "one for each plate of coupons, ready for the bed."),
    ("gauge.step, gauge.stl", "a fork to check the profile of the body before a mount is printed."),
    ("coupons-card.html, coupons.csv", "a page to print, on which results are noted; a list of the coupons."),
    ("trials.csv", "one row for each coupon and tool, to be filled in. Once somebody has, no run changes it."),
    ("design.json", "all results: sizes, fit table, parts with volume and centroid; every file with its digest."),
    ("calibration.toml, calibration-*.svg", "what the trials teach, written by `calibrate`, and its figures."),
];

/// Returns the manual page of the program as roff text.
pub(crate) fn manual_page() -> String {
    let mut program = Arguments::command();
    program.build();
    let version = program.render_version();
    let mut page = Roff::new();
    // No date: the same program prints the same page.
    page.control("TH", ["GRIPWRIGHT", "1", "\"\"", version.trim()]);
    page.control("SH", ["NAME"]);
    page.text([roman(format!("gripwright - {}", about(&program)))]);
    page.control("SH", ["SYNOPSIS"]);
    for (index, command) in commands(&program).enumerate() {
        if index > 0 {
            page.control("br", []);
        }
        page.text(usage(command));
    }
    paragraph(&mut page, "DESCRIPTION", DESCRIPTION);
    page.control("SH", ["COMMANDS"]);
    page.text([roman("Every command explains itself with "), bold("--help"), roman(".")]);
    for command in commands(&program) {
        command_section(&mut page, command);
    }
    page.control("SH", ["EXAMPLES"]);
    for (line, purpose) in STEPS {
        entry(&mut page, vec![bold(line)], purpose);
    }
    page.control("SH", ["FILES"]);
    page.text(prose(
        "The files of one run appear together or not at all. Their folder is `out/` and the name of the spec.",
    ));
    for (names, content) in FILES {
        entry(&mut page, vec![italic(names)], content);
    }
    page.control("SH", ["ENVIRONMENT"]);
    entry(
        &mut page,
        vec![bold("SOURCE_DATE_EPOCH")],
        "time that STEP files state, in seconds since 1970. Without it, they state a fixed date.",
    );
    page.control("SH", ["EXIT STATUS"]);
    for (code, meaning) in EXIT_CODES {
        entry(&mut page, vec![bold(code.to_string())], meaning);
    }
    page.control("SH", ["CAUTIONS"]);
    for Caution { step, subject, text } in all_cautions() {
        entry(&mut page, vec![bold(subject), roman(format!(", {}", step.word()))], &text);
    }
    page.control("PP", []);
    page.text(prose(PRECEDENCE));
    page.render()
}

/// Commands of the program without `help`, which explains the others.
fn commands(program: &Command) -> impl Iterator<Item = &Command> {
    program.get_subcommands().filter(|command| command.get_name() != "help")
}

fn about(command: &Command) -> String {
    command.get_about().map(ToString::to_string).unwrap_or_default()
}

/// Name of a command with its options in short and its arguments.
fn usage(command: &Command) -> Vec<Inline> {
    let mut line = vec![bold(format!("gripwright {}", command.get_name()))];
    if options(command).next().is_some() {
        line.extend([roman(" ["), italic("options"), roman("]")]);
    }
    for argument in command.get_positionals() {
        line.extend([roman(" "), italic(value_name(argument))]);
    }
    line
}

/// Options of a command without `--help`.
fn options(command: &Command) -> impl Iterator<Item = &Arg> {
    command.get_arguments().filter(|argument| !argument.is_positional() && argument.get_long() != Some("help"))
}

fn takes_value(argument: &Arg) -> bool {
    argument.get_action().takes_values()
}

fn value_name(argument: &Arg) -> String {
    let name = argument.get_value_names().map(|names| names.join(" ")).unwrap_or_default();
    let many = argument.get_num_args().is_some_and(|range| range.max_values() > 1);
    if many { format!("{name}...") } else { name }
}

fn command_section(page: &mut Roff, command: &Command) {
    page.control("SS", [command.get_name()]);
    page.text(prose(&format!("{}.", about(command))));
    for argument in command.get_positionals().chain(options(command)) {
        let mut head = Vec::new();
        if let Some(long) = argument.get_long() {
            head.push(bold(format!("--{long}")));
            if takes_value(argument) {
                head.push(roman(" "));
            }
        }
        if takes_value(argument) {
            head.push(italic(value_name(argument)));
        }
        entry(page, head, &argument_text(argument));
    }
}

/// Help of an argument with its possible and default values.
fn argument_text(argument: &Arg) -> String {
    let help = argument.get_help().map(ToString::to_string).unwrap_or_default();
    if !takes_value(argument) {
        return help + ".";
    }
    let possible: Vec<_> = argument.get_possible_values().iter().map(|v| format!("`{}`", v.get_name())).collect();
    let possible = if possible.is_empty() { String::new() } else { format!(": {}", possible.join(", ")) };
    let default = argument.get_default_values().first().map(|value| format!("; {} by default", value.display()));
    format!("{help}{possible}{}.", default.unwrap_or_default())
}

fn paragraph(page: &mut Roff, heading: &str, text: &str) {
    page.control("SH", [heading]);
    page.text(prose(text));
}

/// Appends a term with its explanation.
fn entry(page: &mut Roff, term: Vec<Inline>, text: &str) {
    page.control("TP", []);
    page.text(term);
    page.text(prose(text));
}

/// Text in which words between backticks are bold.
fn prose(text: &str) -> Vec<Inline> {
    let pieces = text.split('`').enumerate().filter(|(_, piece)| !piece.is_empty());
    pieces.map(|(index, piece)| if index % 2 == 1 { bold(piece) } else { roman(piece) }).collect()
}
