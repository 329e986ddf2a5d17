//! What is wrong with a style beside its shape as TOML.

use super::shipped::sharing;
use crate::text::{self, Place, Problem, meant, nearest};
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;

/// What is wrong with a style beside its shape as TOML.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StyleError {
    #[error("this cannot be read from here on")]
    Syntax { expected: Vec<String> },
    #[error("this length has no name")]
    Literal { written: String },
    #[error("one of `value` and `metric` has a unit, and the other has none")]
    Units,
    #[error("`{name}` has no unit, and is used as a length")]
    NoUnit {
        name: String,
        written: String,
        /// Where a length is needed.
        used: Place,
    },
    #[error("the text of a rule has a `\\` in it")]
    Escapes,
    #[error("two {kind}s are named `{name}`")]
    Twice {
        kind: &'static str,
        name: String,
        first: Place,
    },
    #[error("a rule needs either `require` or `either`")]
    Demand,
    #[error("`{text}` is not a preference")]
    Prefer { text: String },
    #[error("there is no `{name}` here")]
    Unknown { name: String, known: Vec<String> },
    #[error("`{name}` belongs to {}, and this does not name one", text::a(kind))]
    Unbound { name: String, kind: &'static str },
    #[error("`{name}` can be that of {}", .leaves.iter().map(|l| format!("`{l}`")).join(" or of "))]
    WhichLeaf {
        name: String,
        /// Variables that stand for leaves.
        leaves: Vec<String>,
    },
    #[error("no thing of an album has the size `{name}`")]
    SizeOfNothing { name: String },
    #[error("`{name}` has a {side} to be found, and no other side")]
    OneSide {
        name: String,
        side: String,
        other: String,
    },
    #[error("no rule uses the quantity `{name}`")]
    Unread { name: String },
    #[error("nothing reads the name `{name}`")]
    NameUnread { name: String, asked: Vec<String> },
    #[error("there is no list `{list}`")]
    List { list: String, known: Vec<String> },
    #[error("this is {what}; {wanted} is needed")]
    Dimension {
        what: &'static str,
        wanted: &'static str,
        /// What it is compared or added with.
        other: Option<(Place, &'static str)>,
    },
    #[error("a rule cannot multiply two sizes that tuckwright works out")]
    Product,
    #[error("a rule cannot divide by a size that tuckwright works out")]
    Quotient,
    #[error("`{name}` cannot be read here: tuckwright works it out later")]
    WhenUnknown { name: String },
    #[error("this number has no unit, and is compared with a length")]
    BareNumber,
    #[error("`{name}` may be missing in an album")]
    Optional {
        name: String,
        /// The rule has other conditions.
        more: bool,
    },
    #[error("an album may be without `{name}`, and this sentence would then be left out")]
    Unsaid {
        name: String,
        /// The condition that asks for it.
        ask: String,
    },
    #[error("`{name}` opens, and has no words for its edge, of which the steps speak")]
    NoEdge { name: String },
    #[error("this is not the name of a quantity")]
    LeastQuantity,
    #[error("this sentence has braces that cannot be filled in")]
    Filled { filled: &'static [&'static str] },
    #[error("a sum cannot hold another sum")]
    SumInSum,
    #[error("there is no style `{name}`")]
    NoInclude {
        name: String,
        known: Vec<&'static str>,
    },
    #[error("`{path}` cannot be read: {reason}")]
    IncludeFile { path: String, reason: String },
    #[error(
        "this style takes over more than {} files, counted as often as they are named",
        super::include::MOST_FILES
    )]
    ManyFiles,
    #[error("`{name}` includes itself")]
    IncludeCircle { name: String },
    #[error(
        "`{file}` reads {}, which this style does not have",
        text::listed(names)
    )]
    Lacks {
        file: String,
        names: Vec<String>,
        /// The rule that reads what the style itself leaves out.
        rule: Option<String>,
        /// It reads of leaves, and this kind of album has none.
        leafless: bool,
        first: Place,
    },
    #[error("{}", anew(name, what))]
    Anew {
        /// What an included file reads, and the style says anew.
        name: String,
        what: Box<StyleError>,
        first: Place,
    },
    #[error("no included style has `{name}`")]
    WithoutNothing { name: String },
    #[error("this says no file that is taken over if it is asked for")]
    Also,
    #[error("this list has no `{name}`")]
    BeforeNothing { name: String },
    #[error("no leaf has a piece of paper `{name}`")]
    MendsNothing { name: String },
    #[error("this needs one of `most` and `least`")]
    MostOrLeast,
    #[error("this is not an outline")]
    Outline,
    #[error("a step cannot use `{text}`")]
    Uses { text: String },
    #[error("`{name}` is not a thing with its value")]
    NameShape { name: String },
    #[error("{}", circle(names))]
    Circle { names: Vec<String> },
    #[error(
        "`{name}` follows from more than {} other names, each from the next",
        super::names::DEEPEST
    )]
    Deep { name: String },
    #[error(
        "`{name}` comes from more than {} others, each counted as often as it is read",
        super::names::WIDEST
    )]
    Wide { name: String },
    #[error("two ends are enough to place a part; this is a third")]
    ThirdEnd,
    #[error("the same frame has no part `{name}`")]
    Joined { name: String, known: Vec<String> },
    #[error("no frame has a mark `{name}`")]
    NoMark { name: String, known: Vec<String> },
    #[error("`{name}` is neither a hole nor a fold")]
    HalfAHole { name: String },
    #[error("this is a second slot for the place `{said}`")]
    SlotTwice { said: String, first: Place },
    #[error("`{name}` may be missing in an album, and `{part}` would have no shape")]
    Cornerless { name: String, part: String },
    #[error("`{name}` lies on itself")]
    OnItself { name: String },
    #[error("`{name}` lies on `{on}`, and `{key}` is only for a `[[part]]` of its own")]
    NotOn {
        name: String,
        on: String,
        key: &'static str,
    },
    #[error("all places of `{name}` are the same one")]
    OnePlace { name: String },
    #[error("`{name}` is a part of a leaf and of the album")]
    PartOfBoth { name: String, first: Place },
    #[error("a rule cannot read `{name}`, which is known only when all sizes are")]
    MostInRule { name: String },
}

impl StyleError {
    pub(super) fn dimension(
        is: Dimension,
        wanted: Dimension,
        other: Option<(Place, &'static str)>,
    ) -> StyleError {
        let (what, wanted) = (is.word(), wanted.word());
        StyleError::Dimension {
            what,
            wanted,
            other,
        }
    }

    /// The name that stands for nothing here.
    pub(super) fn lost(&self) -> Option<&str> {
        match self {
            StyleError::Unknown { name, .. }
            | StyleError::Unbound { name, .. }
            | StyleError::SizeOfNothing { name }
            | StyleError::Optional { name, .. }
            | StyleError::List { list: name, .. } => Some(name),
            _ => None,
        }
    }
}

impl Problem for StyleError {
    fn help(&self) -> Option<String> {
        Some(match self {
            StyleError::Syntax { expected, .. } => format!("type {}", expected.join(", or ")),
            StyleError::Literal { written } => format!(
                "add `gap = {{ value = \"{written}\", why = \"...\" }}` under `[quantity]`, and type `gap` here"
            ),
            StyleError::Units => "type both with a unit, or both without".into(),
            StyleError::NoUnit { written, .. } => {
                format!("type `value = \"{written} mm\"` or `value = \"{written} in\"`")
            }
            StyleError::Escapes => "type the rule in single quotes: `'leaf.width >= ...'`".into(),
            StyleError::Twice { kind, .. } => format!("give one {kind} another name"),
            StyleError::Demand => "type `require = 'a <= b'` or `either = ['a <= b', 'c <= d']`, but not both".into(),
            StyleError::Prefer { .. } => "type `large`, `small` or `largest with insert.height`, or for a choice `first`, `small inside` or `large inside`".into(),
            StyleError::Unknown { name, known, .. } => meant(name, known.iter().map(String::as_str)),
            StyleError::Unbound { kind, .. } => format!("add `for = [{}]`", bindings(kind)),
            StyleError::WhichLeaf { name, leaves, .. } => {
                let full = leaves.iter().map(|leaf| format!("`{leaf}.{name}`"));
                format!("type {}", full.collect::<Vec<_>>().join(" or "))
            }
            StyleError::SizeOfNothing { .. } => {
                "for a piece of the album, type no `for`, and add a `[[part]]` of that name with `on = []`; for a part of a leaf, type `for = [\"leaf in leaves\"]`; name any other size after a variable of its `for`".into()
            }
            StyleError::Unread { .. } => "name it in a rule, or delete it".into(),
            StyleError::NameUnread { name, asked } => {
                match nearest(name, asked.iter().map(String::as_str)) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "read it in a rule, a place or a sentence, or delete it".into(),
                }
            }
            StyleError::List { list, known, .. } => meant(list, known.iter().map(String::as_str)),
            StyleError::Dimension { wanted, .. } => format!("put {wanted} here"),
            StyleError::Product => "multiply a size by a named quantity or a number: a rule is a sum".into(),
            StyleError::Quotient => "multiply the other side instead, or divide by a number".into(),
            StyleError::WhenUnknown { .. } => "name a quantity or what the album says; in a `when`, type `free(...)` around it".into(),
            StyleError::BareNumber => "name the length under `[quantity]`, with its unit and a `why`".into(),
            StyleError::Optional { name, more } => text::ask(name, *more),
            StyleError::OneSide { other, .. } => format!(
                "add an `[[unknown]]` with `name = \"{other}\"`, or say `\"{other}\" = '...'` under `[name]`"
            ),
            StyleError::Unsaid { ask, .. } => format!(
                "type `{{ when = '{ask}', say = \"...\" }}`, and another sentence for albums without it"
            ),
            StyleError::NoEdge { .. } => "type them, such as `edge = \"the mouth\"`".into(),
            StyleError::LeastQuantity => {
                "name a length under `[quantity]`, such as `least_piece`".into()
            }
            StyleError::Filled { filled: [], .. } => "delete the braces".into(),
            StyleError::Filled { filled, .. } => {
                let all: Vec<String> = filled.iter().map(|it| format!("{{{it}}}")).collect();
                format!("between braces you can type {}", crate::text::either(&all))
            }
            StyleError::MostOrLeast => {
                "type `most = ['a', 'b']` or `least = ['a', 'b']`".into()
            }
            StyleError::NoInclude { name, known } => {
                let stem = name.split('.').next().unwrap_or(name);
                let said = meant(stem, known.iter().copied());
                match nearest(stem, known.iter().copied()) {
                    Some(_) => said,
                    None => format!("{said}, or a file whose name ends with `.toml`"),
                }
            }
            StyleError::Lacks { rule: Some(rule), .. } => {
                format!("do not leave it out, or leave out `{rule}` too")
            }
            StyleError::Lacks { leafless: true, .. } => "delete it: it is for kinds of album with leaves".into(),
            StyleError::Lacks { names, .. } => lacking(names),
            StyleError::Anew { name, what, .. } => match &**what {
                StyleError::Optional { .. } => {
                    format!("give `{name}` a second row that every album can read")
                }
                what => return what.help(),
            },
            StyleError::IncludeFile { .. } => {
                "name a file beside the style, or a style that comes with the program".into()
            }
            StyleError::ManyFiles => "name each file once".into(),
            StyleError::IncludeCircle { .. } => "delete it in one of the two files".into(),
            StyleError::WithoutNothing { .. } => {
                "name a rule, part, step, size or quantity of an included style as it is written there"
                    .into()
            }
            StyleError::BeforeNothing { .. } => {
                "name a row of the same list, or delete `before`: then the row comes last".into()
            }
            StyleError::Also => {
                "type a table for each file, such as `[also.closures]`".into()
            }
            StyleError::MendsNothing { .. } => {
                "name a part of a leaf that is cut from paper, or delete `mend`".into()
            }
            StyleError::Outline => {
                "type three to twelve corners, each like `['across', 'up']`".into()
            }
            StyleError::Uses { .. } => {
                "type `measure`, `cut`, `photos`, `tuck`, `order`, or `mark hole` with the name of a mark".into()
            }
            StyleError::NameShape { .. } => {
                "type a thing and its value, such as `\"leaf.clear\" = '...'`, and read it by that name".into()
            }
            StyleError::Circle { .. } => "let one of them follow from something else".into(),
            StyleError::Deep { .. } => "name fewer steps on the way".into(),
            StyleError::Wide { .. } => "read fewer names in it, or in those that it reads".into(),
            StyleError::ThirdEnd => {
                "delete one of `left`, `right` and `width`, or of `low`, `high` and `height`".into()
            }
            StyleError::Joined { name, known, .. } | StyleError::NoMark { name, known, .. } => {
                meant(name, known.iter().map(String::as_str))
            }
            StyleError::HalfAHole { .. } => {
                "type `across`, `up` and `diameter` for a hole; for a fold only `across`, or only `up` if it runs from side to side".into()
            }
            StyleError::SlotTwice { .. } => {
                "give each its `section`, or a `when` that rules the other out".into()
            }
            StyleError::Cornerless { name, .. } => format!(
                "give `{name}` a second row without a `when`, or type `when = 'given({name})'` beside this outline"
            ),
            StyleError::OnItself { name } => {
                format!("type `on = []`, or give what lies on it another name than `{name}`")
            }
            StyleError::NotOn { name, .. } => format!(
                "cut `{name}` from a `[[part]]` of that name with `on = []`, and type it there"
            ),
            StyleError::OnePlace { name } => format!(
                "count them: `across = 'margin + {name}.place * spacing'`, where `{name}.place` is 0, 1, 2 ..."
            ),
            StyleError::PartOfBoth { name, .. } => {
                format!("give one of them another name, such as `album_{name}`")
            }
            StyleError::MostInRule { .. } => {
                "compare each of the sizes that it comes from instead".into()
            }
            StyleError::SumInSum => "write two rules, or name the inner sum under `[name]`".into(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            StyleError::Twice { first, .. } => vec![(*first, "the first one is named".into())],
            StyleError::SlotTwice { first, .. } => vec![(*first, "the first one stands".into())],
            StyleError::Lacks { first, .. } | StyleError::Anew { first, .. } => {
                vec![(*first, "it is read".into())]
            }
            StyleError::PartOfBoth { first, .. } => vec![(*first, "the leaf's part stands".into())],
            StyleError::NoUnit { used, .. } => vec![(*used, "it is used".into())],
            StyleError::Dimension {
                other: Some((place, what)),
                ..
            } => vec![(*place, format!("it goes with {what}"))],
            _ => Vec::new(),
        }
    }
}

/// What is wrong with a name that is said anew, at a line that reads it.
fn anew(name: &str, what: &StyleError) -> String {
    match what {
        StyleError::Dimension { what, wanted, .. } => {
            format!("`{name}` is {what}; {wanted} is needed")
        }
        StyleError::Optional { .. } | StyleError::Circle { .. } => what.to_string(),
        what => format!("`{name}` cannot be this: {what}"),
    }
}

fn circle(names: &[String]) -> String {
    let mut names = names.iter().map(|name| format!("`{name}`"));
    let first = names.next().unwrap_or_default();
    let through: String = names.map(|name| format!(", through {name}")).collect();
    format!("{first} follows from itself{through}")
}

/// What a style must have so that what it takes over can read these names: other files that come with the
/// program, names, parts.
fn lacking(names: &[String]) -> String {
    let (dotted, words): (Vec<&String>, Vec<&String>) =
        names.iter().partition(|name| name.contains('.'));
    let (mut say, mut files) = (Vec::new(), Vec::new());
    let mut other = Vec::new();
    for word in words {
        match sharing(&format!("\n{word} ")) {
            Some(file) => files.push(file),
            None => other.push(word),
        }
    }
    files.dedup();
    if !files.is_empty() {
        say.push(format!("include {} too", text::listed(&files)));
    }
    if !dotted.is_empty() {
        say.push(format!("add {} under `[name]`", text::listed(&dotted)));
    }
    if !other.is_empty() {
        say.push(format!("add {}", text::listed(&other)));
    }
    say.join(", and ")
}

/// What binds a variable to each thing of a kind, as it is typed.
fn bindings(kind: &str) -> String {
    let mut lists = vocabulary::LISTS.iter();
    match lists.find(|(_, _, of)| *of == kind) {
        Some(("", list, of)) => format!("\"{of} in {list}\""),
        Some((owner, list, of)) => format!("{}, \"{of} in {owner}.{list}\"", bindings(owner)),
        None => String::new(),
    }
}
