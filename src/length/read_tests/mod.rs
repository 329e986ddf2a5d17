//! What is read, and what is said of what is not: `lengths` one at a time, `sizes` whatever else is
//! read, `any` of texts that nobody thought of.

mod any;
mod lengths;
mod sizes;

use super::*;

const SIXTY_FOURTH: i64 = 396_875;

fn nm(text: &str) -> i64 {
    match parse_length(text) {
        Ok(length) => length.nm(),
        Err(error) => panic!("{text}: {error}; {}", error.help()),
    }
}

/// What is wrong, the part that is marked, and what to type instead.
fn refused<T: std::fmt::Debug>(
    read: impl Fn(&str) -> Result<T, LengthError>,
    text: &str,
) -> (String, String, String) {
    match read(text) {
        Ok(value) => panic!("{text} was read as {value:?}"),
        Err(error) => (
            error.to_string(),
            text[error.range()].to_string(),
            error.help(),
        ),
    }
}

fn check(text: &str, problem: &str, marked: &str, help: &str) {
    check_with(parse_length, text, problem, marked, help);
}

fn check_with<T: std::fmt::Debug>(
    read: impl Fn(&str) -> Result<T, LengthError>,
    text: &str,
    problem: &str,
    marked: &str,
    help: &str,
) {
    let expected = (problem.to_string(), marked.to_string(), help.to_string());
    assert_eq!(refused(read, text), expected, "{text}");
}
