//! The smallest leaves that take given things, and which bags of the supplies would do.

use super::hand::into;
use super::{From, head};
use crate::explain::Need;
use crate::length::{Interval, Ruler};
use crate::report::words::{listed, size, strong, wrapped};

/// What must go in, as it was asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// `mouth`, `front slot`, `back slot`, `pocket`, `band` or `back`.
    pub place: String,
    pub count: i64,
    pub width: Interval,
    pub height: Interval,
}

/// One wish as it is read: `2 of 4 x 6 in into the mouth`.
pub fn asked(ruler: Ruler, one: &Asked) -> String {
    let it = size(ruler, one.width, one.height);
    let count = match one.count {
        1 => String::new(),
        n => format!("{n} of "),
    };
    format!("{count}{it} {}", into(&one.place))
}

/// The smallest leaves, least area first, and the bags that would do.
pub fn need(from: From<'_>, wants: &[Asked], need: &Need) -> String {
    let ruler = from.ruler;
    let mut text = head(from);
    let all: Vec<String> = wants.iter().map(|w| asked(ruler, w)).collect();
    let said = format!("What takes, uncut: {}.", listed(&all));
    text.push_str(&wrapped(&said, "", "  "));
    text.push_str(&format!(
        "\n{}\n",
        strong("The smallest leaves, least area first")
    ));
    for (n, (width, height)) in need.leaves.iter().enumerate() {
        let line = format!("  {:>2}  {}\n", n + 1, ruler.show_size(*width, *height));
        text.push_str(&line);
    }
    let said = match (need.leaves.is_empty(), need.all) {
        (true, true) => "No leaf takes them, however large.",
        (true, false) => "None was found before a limit was met.",
        (false, true) => {
            "A leaf that is narrower or lower than one of these and no larger otherwise does not do; that is proved."
        }
        (false, false) => "There may be others: a limit was met.",
    };
    text.push_str(&wrapped(said, "  ", "  "));
    if !need.bags.is_empty() {
        text.push_str(&format!(
            "\n{}\n",
            strong("Your bags, each tried by solving")
        ));
        for (bag, does) in &need.bags {
            let said = if *does { "does" } else { "does not do" };
            text.push_str(&wrapped(&format!("{bag}: {said}."), "  ", "    "));
        }
    }
    text
}
