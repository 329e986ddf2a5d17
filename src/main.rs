//! The exit code, nothing else.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(tuckwright::cli::run(std::env::args_os()))
}
