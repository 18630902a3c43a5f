//! Entry point of the program `gripwright`.

use std::process::ExitCode;

fn main() -> ExitCode {
    gripwright_cli::run()
}
