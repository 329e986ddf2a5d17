//! What is wrong with a style beside its shape as TOML.

use crate::text::{Fault, Place, meant};
use crate::vocabulary;
use itertools::Itertools;

/// What is wrong with a style beside its shape as TOML.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StyleError {
    #[error("this is no rule")]
    Syntax { place: Place, expected: Vec<String> },
    #[error("a rule's text has escapes in it")]
    Escapes { place: Place },
    #[error("the {kind} `{name}` is there twice")]
    Twice {
        kind: &'static str,
        name: String,
        place: Place,
        first: Place,
    },
    #[error("a rule needs either `require` or `either`")]
    Demand { place: Place },
    #[error("`{text}` says no preference")]
    Prefer { text: String, place: Place },
    #[error("nothing is called `{name}` here")]
    Unknown {
        name: String,
        known: Vec<String>,
        place: Place,
    },
    #[error("`{name}` belongs to {}, and nothing here says which", a(kind))]
    Unbound {
        name: String,
        kind: &'static str,
        place: Place,
    },
    #[error("`{name}` may be that of {}", .leaves.iter().map(|l| format!("`{l}`")).join(" or of "))]
    WhichLeaf {
        name: String,
        /// Variables that stand for leaves.
        leaves: Vec<String>,
        place: Place,
    },
    #[error("`{name}` is a size of nothing that an album has")]
    SizeOfNothing { name: String, place: Place },
    #[error("nothing reads the quantity `{name}`")]
    Unread { name: String, place: Place },
    #[error("there is no list `{list}`")]
    List {
        list: String,
        known: Vec<String>,
        place: Place,
    },
    #[error("{what} stands where {wanted} is needed")]
    Dimension {
        what: &'static str,
        wanted: &'static str,
        place: Place,
        /// What it is compared or added with.
        other: Option<(Place, &'static str)>,
    },
    #[error("two sizes that are to be found are multiplied")]
    Product {
        place: Place,
        left: Place,
        right: Place,
    },
    #[error("something is divided by a size that is to be found")]
    Quotient { place: Place },
    #[error("a `when` reads `{name}`, which is still to be found")]
    WhenUnknown { name: String, place: Place },
    #[error("a number without a unit is compared with a length")]
    BareNumber { place: Place },
    #[error("`{name}` may be missing, and nothing asks for it")]
    Optional { name: String, place: Place },
    #[error("what a size leans on here is no quantity")]
    LeastQuantity { place: Place },
    #[error("something else stands in braces than what is filled in")]
    Filled {
        filled: &'static [&'static str],
        place: Place,
    },
    #[error("a sum stands within a sum")]
    SumInSum { place: Place },
    #[error("there is no style `{name}`")]
    NoInclude {
        name: String,
        known: Vec<&'static str>,
        place: Place,
    },
    #[error("`{path}` cannot be read: {reason}")]
    IncludeFile {
        path: String,
        reason: String,
        place: Place,
    },
    #[error("`{name}` includes itself")]
    IncludeCircle { name: String, place: Place },
    #[error("nothing that is included is called `{name}`")]
    WithoutNothing { name: String, place: Place },
    #[error("nothing here is called `{name}`")]
    BeforeNothing { name: String, place: Place },
    #[error("here several may stand, and the largest or the smallest counts")]
    MostOrLeast { place: Place },
    #[error("this is no outline")]
    Outline { place: Place },
    #[error("the program has no block `{text}` for a step")]
    Uses { text: String, place: Place },
    #[error("`{name}` is no name of a thing and its value")]
    NameShape { name: String, place: Place },
    #[error("{} leans on itself", .names.iter().map(|name| format!("`{name}`")).join(", through "))]
    Circle { names: Vec<String>, place: Place },
    #[error("two ends say where a part lies on an axis, and this is a third")]
    ThirdEnd { place: Place },
    #[error("`{name}` is no part of the same frame")]
    Joined {
        name: String,
        known: Vec<String>,
        place: Place,
    },
    #[error("`{name}` has a diameter or a height, and not both")]
    HalfAHole { name: String, place: Place },
    #[error("a second slot is for the place `{said}`")]
    SlotTwice {
        said: String,
        place: Place,
        first: Place,
    },
    #[error("a rule reads `{name}`, which is the tightest of several sizes to be found")]
    MostInRule { name: String, place: Place },
}

impl Fault for StyleError {
    fn place(&self) -> Place {
        match self {
            StyleError::Syntax { place, .. }
            | StyleError::Escapes { place }
            | StyleError::Twice { place, .. }
            | StyleError::Demand { place }
            | StyleError::Prefer { place, .. }
            | StyleError::Unknown { place, .. }
            | StyleError::List { place, .. }
            | StyleError::Dimension { place, .. }
            | StyleError::Product { place, .. }
            | StyleError::Quotient { place }
            | StyleError::WhenUnknown { place, .. }
            | StyleError::BareNumber { place }
            | StyleError::Optional { place, .. }
            | StyleError::LeastQuantity { place }
            | StyleError::Filled { place, .. }
            | StyleError::Unbound { place, .. }
            | StyleError::WhichLeaf { place, .. }
            | StyleError::SizeOfNothing { place, .. }
            | StyleError::Unread { place, .. }
            | StyleError::MostOrLeast { place }
            | StyleError::Outline { place }
            | StyleError::NoInclude { place, .. }
            | StyleError::IncludeFile { place, .. }
            | StyleError::IncludeCircle { place, .. }
            | StyleError::WithoutNothing { place, .. }
            | StyleError::BeforeNothing { place, .. }
            | StyleError::Uses { place, .. }
            | StyleError::NameShape { place, .. }
            | StyleError::Circle { place, .. }
            | StyleError::ThirdEnd { place }
            | StyleError::Joined { place, .. }
            | StyleError::HalfAHole { place, .. }
            | StyleError::SlotTwice { place, .. }
            | StyleError::MostInRule { place, .. }
            | StyleError::SumInSum { place } => *place,
        }
    }

    fn label(&self) -> String {
        match self {
            StyleError::Syntax { .. } => "it stops making sense here".into(),
            StyleError::Twice { .. } => "again".into(),
            StyleError::Unknown { .. } | StyleError::List { .. } => "not known here".into(),
            StyleError::Dimension { what, .. } => (*what).into(),
            StyleError::Product { .. } => "this product".into(),
            StyleError::Optional { .. } => "perhaps missing".into(),
            StyleError::WhichLeaf { .. } => "which of them?".into(),
            _ => "here".into(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            StyleError::Syntax { expected, .. } => format!("expected {}", expected.join(", or ")),
            StyleError::Escapes { .. } => "write the rule in single quotes: 'leaf.width >= ...'".into(),
            StyleError::Twice { kind, .. } => format!("give one {kind} another name"),
            StyleError::Demand { .. } => "say `require = 'a <= b'`, or `either = ['a <= b', 'c <= d']`, and only one of the two".into(),
            StyleError::Prefer { .. } => "say `large`, `small` or `largest with insert.height`; of a choice `first`, `small inside` or `large inside`".into(),
            StyleError::Unknown { name, known, .. } => meant(name, known.iter().map(String::as_str)),
            StyleError::Unbound { kind, .. } => format!("add `for = [{}]`", bindings(kind)),
            StyleError::WhichLeaf { name, leaves, .. } => {
                let full = leaves.iter().map(|leaf| format!("`{leaf}.{name}`"));
                format!("say {}", full.collect::<Vec<_>>().join(" or "))
            }
            StyleError::SizeOfNothing { .. } => {
                "a part belongs to one leaf: give it `for = [\"leaf in leaves\"]` alone; any other size is named after a variable of its `for`".into()
            }
            StyleError::Unread { .. } => "name it in a rule, or take it out".into(),
            StyleError::List { list, known, .. } => meant(list, known.iter().map(String::as_str)),
            StyleError::Dimension { wanted, .. } => format!("put {wanted} here"),
            StyleError::Product { .. } => "multiply a size by a named quantity or a number: a rule is a sum".into(),
            StyleError::Quotient { .. } => "multiply the other side instead, or divide by a number".into(),
            StyleError::WhenUnknown { .. } => "a `when` reads facts only; ask `free(...)`, or put it into the rule".into(),
            StyleError::BareNumber { .. } => "name the length in [quantity], with its unit and a `why`".into(),
            StyleError::Optional { name, .. } => format!("add `when = 'given({name})'` to the rule"),
            StyleError::LeastQuantity { .. } => {
                "name a length of [quantity], such as `least_piece`".into()
            }
            StyleError::Filled { filled: [], .. } => "take the braces out".into(),
            StyleError::Filled { filled, .. } => {
                let all: Vec<String> = filled.iter().map(|it| format!("{{{it}}}")).collect();
                format!("this may be {}", crate::text::either(&all))
            }
            StyleError::MostOrLeast { .. } => {
                "say one of `most = ['a', 'b']` and `least = ['a', 'b']`".into()
            }
            StyleError::NoInclude { name, known, .. } => meant(name, known.iter().copied()),
            StyleError::IncludeFile { .. } => {
                "name a file beside the style, or a style that comes with the program".into()
            }
            StyleError::IncludeCircle { .. } => "take it out of one of the two files".into(),
            StyleError::WithoutNothing { .. } => {
                "name a rule, part, step, size or quantity of an included style as it is written there"
                    .into()
            }
            StyleError::BeforeNothing { .. } => {
                "name a row of the same list, or leave `before` out: the row comes last".into()
            }
            StyleError::Outline { .. } => {
                "list three to twelve corners, each as `['across', 'up']`".into()
            }
            StyleError::Uses { .. } => {
                "say `measure`, `cut`, `photos`, `tuck`, `order`, or `mark hole` with the name of a mark".into()
            }
            StyleError::NameShape { .. } => {
                "type a thing and its value: `\"leaf.clear\" = '...'`".into()
            }
            StyleError::Circle { .. } => "let one of them follow from something else".into(),
            StyleError::ThirdEnd { .. } => {
                "take one out of `left`, `right` and `width`, or of `low`, `high` and `height`".into()
            }
            StyleError::Joined { name, known, .. } => {
                meant(name, known.iter().map(String::as_str))
            }
            StyleError::HalfAHole { .. } => {
                "a hole has both, `up = '...'` and `diameter = '...'`; a fold has neither".into()
            }
            StyleError::SlotTwice { .. } => {
                "give each its `section`, or a `when` that rules the other out".into()
            }
            StyleError::MostInRule { .. } => {
                "write one comparison for each of the several instead".into()
            }
            StyleError::SumInSum { .. } => "name the inner sum in the vocabulary, or write two rules".into(),
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            StyleError::Twice { first, .. } => vec![(*first, "first here".into())],
            StyleError::SlotTwice { first, .. } => vec![(*first, "the first".into())],
            StyleError::Product { left, right, .. } => {
                vec![
                    (*left, "to be found".into()),
                    (*right, "to be found".into()),
                ]
            }
            StyleError::Dimension {
                other: Some((place, what)),
                ..
            } => vec![(*place, (*what).into())],
            _ => Vec::new(),
        }
    }
}

/// A thing of a kind, in words.
fn a(kind: &str) -> String {
    let article = if kind.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {kind}")
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
