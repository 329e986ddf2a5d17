//! The grammar of rules, read with `winnow`. One page in `DEVELOPERS.md` states it.
//!
//! A parser turns the text of one string into a tree; places are offset so that they point into
//! the file. May import `text` and `style::expr`.

use super::expr::*;
use crate::text::Place;
use winnow::combinator::{alt, cut_err, delimited, eof, not, opt, preceded, repeat, separated};
use winnow::error::{ContextError, ErrMode, StrContext, StrContextValue};
use winnow::prelude::*;
use winnow::stream::Location;
use winnow::token::{one_of, take_till, take_while};
use winnow::{LocatingSlice, Stateful};

/// Longest text of one rule (bytes).
pub const LONGEST: usize = 2000;
/// Deepest nesting of brackets.
pub const DEEPEST: usize = 24;

/// What is expected behind a whole rule.
const END: &str = "nothing more here, or a sign such as `+` before it";

/// What is to be typed instead of this, which stands behind a whole rule.
fn instead(rest: &str) -> Option<&'static str> {
    let begins = |words: &[&str]| {
        let mut words = words.iter();
        words.any(|it| rest.starts_with(it))
    };
    if begins(&["and ", "&&"]) {
        return Some("a list, of which all hold: `['...', '...']`");
    }
    if begins(&["or ", "||"]) {
        return Some("two rows or two rules, each with its `when`");
    }
    if begins(&["<", ">", "="]) {
        return Some("two comparisons in a list: `['a <= b', 'b <= c']`");
    }
    if matches!(rest.trim_end(), "min" | "minutes" | "h" | "hours") {
        return Some("a number of minutes without a unit: `minutes = '20'`");
    }
    let function =
        "`sum(leaf in leaves: ...)`, `given(...)` or `free(...)`: there is no other function";
    begins(&["("]).then_some(function)
}

/// What stands in a rule that is no rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxError {
    pub place: Place,
    /// What could have stood there.
    pub expected: Vec<String>,
}

/// Where the text stands, and the text.
#[derive(Clone, Debug)]
struct Source<'a> {
    at: Place,
    text: &'a str,
}

type Input<'a> = Stateful<LocatingSlice<&'a str>, Source<'a>>;
type Out<T> = Result<T, ErrMode<ContextError>>;

fn expect(words: &'static str) -> StrContext {
    StrContext::Expected(StrContextValue::Description(words))
}

/// The place of what was read, without the space behind it.
fn place(input: &Input<'_>, range: std::ops::Range<usize>) -> Place {
    let Source { at, text } = &input.state;
    let read = text.get(range.clone()).map_or(0, |t| t.trim_end().len());
    Place {
        file: at.file,
        start: at.start + range.start as u32,
        end: at.start + (range.start + read) as u32,
    }
}

fn space(input: &mut Input<'_>) -> Out<()> {
    take_while(0.., |c: char| c.is_whitespace())
        .void()
        .parse_next(input)
}

/// A token followed by space.
fn token<'a, T>(
    mut parser: impl Parser<Input<'a>, T, ErrMode<ContextError>>,
) -> impl Parser<Input<'a>, T, ErrMode<ContextError>> {
    move |input: &mut Input<'a>| {
        let value = parser.parse_next(input)?;
        space(input)?;
        Ok(value)
    }
}

fn sign<'a>(text: &'static str) -> impl Parser<Input<'a>, (), ErrMode<ContextError>> {
    token(text.void())
}

fn word(input: &mut Input<'_>) -> Out<String> {
    (
        one_of(|c: char| c.is_ascii_lowercase()),
        take_while(0.., |c: char| {
            c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_'
        }),
    )
        .take()
        .map(str::to_owned)
        .context(expect("a name"))
        .parse_next(input)
}

fn path(input: &mut Input<'_>) -> Out<Path> {
    token(separated(1.., word, '.')).map(Path).parse_next(input)
}

fn number(input: &mut Input<'_>) -> Out<Number> {
    let digits = |input: &mut Input<'_>| -> Out<String> {
        take_while(1..=9, |c: char| c.is_ascii_digit())
            .map(str::to_owned)
            .parse_next(input)
    };
    let (whole, part) = token((digits, opt(preceded('.', digits)))).parse_next(input)?;
    let part = part.unwrap_or_default();
    let scale = 10i128.pow(part.len() as u32);
    // At most nine digits on each side: the text always reads as a number.
    let value = format!("{whole}{part}").parse::<i128>().unwrap_or(0);
    Ok(Number::new(value, scale))
}

fn binding(input: &mut Input<'_>) -> Out<Binding> {
    let start = input.current_token_start();
    let (variable, _, list) = (
        token(word),
        token("in").context(expect("`in`")),
        cut_err(path),
    )
        .parse_next(input)?;
    let place = place(input, start..input.previous_token_end());
    Ok(Binding {
        variable,
        list,
        place,
    })
}

fn atom(input: &mut Input<'_>) -> Out<Expr> {
    let start = input.current_token_start();
    let node = alt((
        number.map(Node::Number),
        (
            token(("sum", space, '(')),
            cut_err(binding),
            cut_err(sign(":")).context(expect("`:` after the list of a sum")),
            cut_err(sum),
            cut_err(sign(")")).context(expect("`)`")),
        )
            .map(|(_, binding, _, body, _)| Node::Sum(binding, Box::new(body))),
        path.map(Node::Name),
        delimited(
            sign("("),
            cut_err(sum),
            cut_err(sign(")")).context(expect("`)`")),
        )
        .map(|e| e.node),
        preceded(sign("-"), cut_err(atom)).map(|e| Node::Negative(Box::new(e))),
    ))
    .context(expect("a name, a number or a bracket"))
    .parse_next(input)?;
    let place = place(input, start..last_end(input, start));
    Ok(Expr { node, place })
}

/// End of the last token, without the space behind it.
fn last_end(input: &Input<'_>, start: usize) -> usize {
    input.previous_token_end().max(start)
}

fn join(left: Expr, right: Expr, make: fn(Box<Expr>, Box<Expr>) -> Node) -> Expr {
    let place = Place {
        end: right.place.end,
        ..left.place
    };
    Expr {
        node: make(Box::new(left), Box::new(right)),
        place,
    }
}

fn product(input: &mut Input<'_>) -> Out<Expr> {
    let first = atom(input)?;
    let rest: Vec<(char, Expr)> =
        repeat(0.., (token(one_of(['*', '/'])), cut_err(atom))).parse_next(input)?;
    Ok(rest.into_iter().fold(first, |left, (op, right)| {
        join(
            left,
            right,
            if op == '*' {
                Node::Multiply
            } else {
                Node::Divide
            },
        )
    }))
}

fn sum(input: &mut Input<'_>) -> Out<Expr> {
    let first = product(input)?;
    let rest: Vec<(char, Expr)> =
        repeat(0.., (token(one_of(['+', '-'])), cut_err(product))).parse_next(input)?;
    Ok(rest.into_iter().fold(first, |left, (op, right)| {
        join(
            left,
            right,
            if op == '+' { Node::Add } else { Node::Subtract },
        )
    }))
}

/// Refuses signs of other languages for a comparison, and says which belongs there.
fn no_slip(input: &mut Input<'_>) -> Out<()> {
    let meant = |slips: [&'static str; 2], words: &'static str| {
        cut_err(not(alt(slips))).context(expect(words))
    };
    (
        meant(["=>", "≥"], "`>=`"),
        meant(["=<", "≤"], "`<=`"),
        meant(["==", "≡"], "`=`"),
    )
        .void()
        .parse_next(input)
}

fn comparison(input: &mut Input<'_>) -> Out<Comparison> {
    let left = sum(input)?;
    no_slip(input)?;
    let relation = alt((
        sign("<=").value(Relation::AtMost),
        sign(">=").value(Relation::AtLeast),
        sign("=").value(Relation::Equal),
    ))
    .context(expect("`<=`, `>=` or `=`"))
    .parse_next(input)?;
    let right = cut_err(sum).parse_next(input)?;
    let place = Place {
        end: right.place.end,
        ..left.place
    };
    Ok(Comparison {
        left,
        relation,
        right,
        place,
    })
}

fn test(input: &mut Input<'_>) -> Out<Test> {
    no_slip(input)?;
    alt((
        sign("<=").value(Test::AtMost),
        sign(">=").value(Test::AtLeast),
        sign("!=").value(Test::NotEqual),
        sign("<").value(Test::Less),
        sign(">").value(Test::More),
        sign("=").value(Test::Equal),
    ))
    .parse_next(input)
}

fn quoted(input: &mut Input<'_>) -> Out<String> {
    token(delimited(
        '"',
        take_till(0.., '"'),
        cut_err('"').context(expect("a closing `\"`")),
    ))
    .map(str::to_owned)
    .parse_next(input)
}

fn condition(input: &mut Input<'_>) -> Out<Condition> {
    let start = input.current_token_start();
    let called = |name: &'static str| {
        delimited(
            token((name, space, '(')),
            cut_err(path),
            cut_err(sign(")")).context(expect("`)`")),
        )
    };
    let node = alt((
        preceded(
            token(("not", one_of(|c: char| c.is_whitespace()))),
            cut_err(condition),
        )
        .map(|c| ConditionNode::Not(Box::new(c))),
        called("given").map(ConditionNode::Given),
        called("free").map(ConditionNode::Free),
        (path, test, quoted).map(|(path, test, text)| ConditionNode::Text(path, test, text)),
        (sum, test, cut_err(sum)).map(|(a, test, b)| ConditionNode::Compare(a, test, b)),
        path.map(ConditionNode::Flag),
    ))
    .context(expect(
        "a fact, such as `given(punch.reach)` or `insert.place = \"mouth\"`",
    ))
    .parse_next(input)?;
    let place = place(input, start..last_end(input, start));
    Ok(Condition { node, place })
}

/// Reads one string of a rule. `place` is where its text stands in the file.
fn whole<'a, T>(
    text: &'a str,
    at: Place,
    parser: impl Parser<Input<'a>, T, ErrMode<ContextError>>,
) -> Result<T, SyntaxError> {
    // One whole letter: in UTF-8 it may have several bytes.
    let point = |offset: usize| {
        let start = text.floor_char_boundary(offset);
        Place {
            file: at.file,
            start: at.start + start as u32,
            end: at.start + text.ceil_char_boundary(start + 1) as u32,
        }
    };
    let refuse = |offset, expected: String| SyntaxError {
        place: point(offset),
        expected: vec![expected],
    };
    if text.len() > LONGEST {
        return Err(refuse(
            LONGEST,
            format!("a rule of at most {LONGEST} bytes"),
        ));
    }
    // Brackets and signs are what nests; a bound on both keeps the reading within the stack.
    let mut depth = 0usize;
    let mut signs = 0usize;
    for (offset, c) in text.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        signs = match c {
            '-' => signs + 1,
            c if c.is_whitespace() => signs,
            _ => 0,
        };
        if depth > DEEPEST || signs > DEEPEST {
            return Err(refuse(
                offset,
                format!("at most {DEEPEST} brackets inside each other"),
            ));
        }
    }
    let input = Stateful {
        input: LocatingSlice::new(text),
        state: Source { at, text },
    };
    delimited(space, parser, eof.context(expect(END)))
        .parse(input)
        .map_err(|e| {
            let mut expected: Vec<String> = e
                .inner()
                .context()
                .filter_map(|c| match c {
                    StrContext::Expected(value) => Some(value.to_string()),
                    _ => None,
                })
                .map(|it| match instead(text.get(e.offset()..).unwrap_or("")) {
                    Some(other) if it == END => other.to_owned(),
                    _ => it,
                })
                .collect();
            // Where only one sign can stand, the rest is no help.
            if expected.first().is_some_and(|it| it.starts_with('`')) {
                expected.truncate(1);
            }
            SyntaxError {
                place: point(e.offset()),
                expected,
            }
        })
}

/// Reads `leaf in leaves`.
///
/// # Errors
/// The place where the text stops being a binding, and what was expected there. So for all readers here.
pub fn read_binding(text: &str, at: Place) -> Result<Binding, SyntaxError> {
    whole(text, at, binding)
}

/// Reads `left <= right`.
pub fn read_comparison(text: &str, at: Place) -> Result<Comparison, SyntaxError> {
    whole(text, at, comparison)
}

/// Reads an expression.
pub fn read_expr(text: &str, at: Place) -> Result<Expr, SyntaxError> {
    whole(text, at, sum)
}

/// Reads one line of a `when`.
pub fn read_condition(text: &str, at: Place) -> Result<Condition, SyntaxError> {
    whole(text, at, condition)
}

/// Reads a dotted name.
pub fn read_path(text: &str, at: Place) -> Result<Path, SyntaxError> {
    whole(text, at, path)
}

/// Reads a sentence that the program ends itself: a stop behind it is none of its words.
pub fn read_reason(text: &str, at: Place) -> Result<Vec<Words>, SyntaxError> {
    read_words(text.trim_end().trim_end_matches('.'), at)
}

/// Reads a sentence with `{values}` in it.
pub fn read_words(text: &str, at: Place) -> Result<Vec<Words>, SyntaxError> {
    let mut words = Vec::new();
    let mut offset = 0;
    while let Some(open) = text[offset..].find('{') {
        let open = offset + open;
        if open > offset {
            words.push(Words::Plain(text[offset..open].to_owned()));
        }
        let Some(close) = text[open..].find('}') else {
            return Err(SyntaxError {
                place: Place {
                    start: at.start + open as u32,
                    ..at
                },
                expected: vec!["a closing `}`".to_owned()],
            });
        };
        // The brace that closes the next value closes this one too late.
        let close = open + close;
        if let Some(next) = text[open + 1..close].find('{') {
            let place = Place {
                file: at.file,
                start: at.start + open as u32,
                end: at.start + (open + 1 + next) as u32,
            };
            let expected = vec!["a closing `}`".to_owned()];
            return Err(SyntaxError { place, expected });
        }
        let inner = &text[open + 1..close];
        words.push(match inner {
            "left" => Words::Left,
            "right" => Words::Right,
            "off" => Words::Off,
            _ => Words::Value(read_expr(
                inner,
                Place {
                    file: at.file,
                    start: at.start + open as u32 + 1,
                    end: at.start + close as u32,
                },
            )?),
        });
        offset = close + 1;
    }
    if offset < text.len() {
        words.push(Words::Plain(text[offset..].to_owned()));
    }
    Ok(words)
}
