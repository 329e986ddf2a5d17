//! What is wrong with a command line, told as sentences: what does not belong, what was probably meant,
//! and what to type.

use super::output::look;
use crate::text::{capital, either, seen, told};
use clap::error::{ContextKind, ContextValue, Error, ErrorKind};
use std::error::Error as _;
use std::ops::RangeInclusive;

/// Sentences about what was typed behind a verb, and where its options are listed.
pub(super) fn sentences(verb: Option<&str>, message: &str) -> String {
    let help = match verb {
        Some(verb) => format!("`tuckwright {verb} --help` lists what you can type."),
        None => "`tuckwright --help` lists what you can type.".to_owned(),
    };
    let message = told(&capital(message), look());
    message + &told(&help, look())
}

/// What the reader of options found wrong, in plain words.
pub(super) fn message(error: &Error) -> String {
    let Some(known) = known(error) else {
        return "this command line cannot be read".to_owned();
    };
    match known.split_once('\n') {
        Some((what, help)) => format!("{what}. {}", capital(help)),
        None => known,
    }
}

/// What is wrong; what to type follows in a line of its own.
fn known(error: &Error) -> Option<String> {
    let text = |kind| text_of(error, kind);
    let option = || text(ContextKind::InvalidArg).map(|typed| name_of(&typed));
    Some(match error.kind() {
        ErrorKind::UnknownArgument => {
            let typed = text(ContextKind::InvalidArg)?;
            match (typed.starts_with('-'), text(ContextKind::SuggestedArg)) {
                (true, Some(near)) => {
                    format!(
                        "there is no option `{typed}`\ndid you mean `{}`?",
                        name_of(&near)
                    )
                }
                (true, None) if typed == "--gusset" => {
                    "there is no option `--gusset`\ntype it between the bag's width and height: `--bag \"130 x 80 x 240 mm\"`".to_owned()
                }
                (true, None) => format!("there is no option `{typed}`\nleave it out"),
                (false, _) => format!(
                    "`{typed}` is one word too many\nleave it out, or put quotes around what belongs together"
                ),
            }
        }
        ErrorKind::InvalidSubcommand => {
            let typed = text(ContextKind::InvalidSubcommand)?;
            let near = all_of(error, ContextKind::SuggestedSubcommand);
            match near.first() {
                Some(near) => format!("there is no verb `{typed}`\ndid you mean `{near}`?"),
                None => format!(
                    "there is no verb `{typed}`\ntype a verb first, such as `tuckwright fit album.toml`"
                ),
            }
        }
        ErrorKind::MissingRequiredArgument => {
            let all = all_of(error, ContextKind::InvalidArg);
            let all: Vec<String> = all.iter().map(|typed| plain(typed)).collect();
            format!("something is missing\ntype {} too", quoted(&all))
        }
        ErrorKind::ArgumentConflict => {
            let one = option()?;
            let other = all_of(error, ContextKind::PriorArg);
            match other.first().map(|typed| name_of(typed)) {
                Some(other) if other != one => {
                    format!("`{one}` and `{other}` do not go together\nleave one of them out")
                }
                _ => format!("`{one}` is typed twice\nleave one of them out"),
            }
        }
        ErrorKind::InvalidValue => {
            let (option, typed) = (option()?, text(ContextKind::InvalidValue)?);
            let valid = all_of(error, ContextKind::ValidValue);
            let near = text(ContextKind::SuggestedValue);
            match (typed.is_empty(), valid.is_empty()) {
                (true, true) => {
                    let whole = plain(&text(ContextKind::InvalidArg)?);
                    format!("`{option}` needs something behind it\ntype `{whole}`")
                }
                (true, false) => {
                    format!(
                        "`{option}` needs something behind it\ntype {}",
                        either(&valid)
                    )
                }
                (false, _) => {
                    let near =
                        near.map_or("it".to_owned(), |near| format!("did you mean `{near}`? It"));
                    format!(
                        "`{option}` cannot be `{typed}`\n{near} may be {}",
                        either(&valid)
                    )
                }
            }
        }
        ErrorKind::ValueValidation => {
            let (option, typed) = (option()?, text(ContextKind::InvalidValue)?);
            let help = error.source()?.to_string();
            format!("`{option}` cannot be `{typed}`\n{help}")
        }
        ErrorKind::TooManyValues => {
            let (option, typed) = (option()?, text(ContextKind::InvalidValue)?);
            format!("`{option}` takes nothing behind it\nleave `{typed}` out")
        }
        ErrorKind::TooFewValues | ErrorKind::WrongNumberOfValues | ErrorKind::NoEquals => {
            let whole = plain(&text(ContextKind::InvalidArg)?);
            format!("`{}` needs something behind it\ntype `{whole}`", option()?)
        }
        ErrorKind::InvalidUtf8 => "a letter that you typed is not plain text (UTF-8)".to_owned(),
        _ => return None,
    })
}

/// A reader of whole numbers that says what to type instead of any other text.
pub(super) fn whole<T: TryFrom<u64>>(
    range: RangeInclusive<u64>,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync + 'static {
    move |text| {
        let number = text.parse().ok().filter(|n| range.contains(n));
        let (least, most) = (range.start(), range.end());
        number
            .and_then(|n| T::try_from(n).ok())
            .ok_or_else(|| format!("type a whole number from {least} to {most}"))
    }
}

fn text_of(error: &Error, kind: ContextKind) -> Option<String> {
    all_of(error, kind).into_iter().next()
}

fn all_of(error: &Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(text)) => vec![seen(text)],
        Some(ContextValue::Strings(texts)) => texts.iter().map(|text| seen(text)).collect(),
        _ => Vec::new(),
    }
}

/// `--time` of `--time <SECONDS>`, `ALBUM` of `[ALBUM]`.
fn name_of(typed: &str) -> String {
    let plain = plain(typed);
    match plain.starts_with('-') {
        true => plain.split([' ', '=']).next().unwrap_or("").to_owned(),
        false => plain,
    }
}

/// `--time SECONDS` of `--time <SECONDS>`.
fn plain(typed: &str) -> String {
    typed.replace(['<', '>', '[', ']'], "").replace("...", "")
}

fn quoted(words: &[String]) -> String {
    let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    words.join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::Line;
    use clap::Parser;

    #[track_caller]
    fn check(typed: &str, wants: &str) {
        let error = Line::try_parse_from(typed.split(' ')).expect_err(typed);
        assert_eq!(message(&error), wants);
    }

    #[test]
    fn what_is_typed_wrong_is_told_in_sentences() {
        check(
            "tuckwright fit --bagg x",
            "there is no option `--bagg`. Did you mean `--bag`?",
        );
        check(
            "tuckwright fits a",
            "there is no verb `fits`. Did you mean `fit`?",
        );
        check(
            "tuckwright fit a b",
            "`b` is one word too many. Leave it out, or put quotes around what belongs together",
        );
        check("tuckwright new", "something is missing. Type `DIR` too");
        check(
            "tuckwright fit --time 0 a",
            "`--time` cannot be `0`. Type a whole number from 1 to 86400",
        );
        check(
            "tuckwright fit --time",
            "`--time` needs something behind it. Type `--time SECONDS`",
        );
        check(
            "tuckwright rules --json --names a",
            "`--json` and `--names` do not go together. Leave one of them out",
        );
        check(
            "tuckwright fit --time 5 --time 6 a",
            "`--time` is typed twice. Leave one of them out",
        );
        check(
            "tuckwright print --paper a9 a",
            "`--paper` cannot be `a9`. It may be `a4` or `letter`",
        );
        check(
            "tuckwright fit --all=yes a",
            "`--all` takes nothing behind it. Leave `yes` out",
        );
        check(
            "tuckwright fit -x a",
            "there is no option `-x`. Leave it out",
        );
        check(
            "tuckwright fit --gusset 3in a",
            "there is no option `--gusset`. Type it between the bag's width and height: `--bag \"130 x 80 x 240 mm\"`",
        );
        check(
            "tuckwright compare --widths 3 a",
            "something is missing. Type `--heights FROM .. TO` too",
        );
    }
}
