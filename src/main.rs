//! The exit code, nothing else.

use std::process::ExitCode;

/// An answer is made of many small rows, and comparing makes many answers: this allocator takes a
/// quarter of the time off them.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    ExitCode::from(tuckwright::cli::run(std::env::args_os()))
}
