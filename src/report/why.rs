//! Why something does not fit, what makes it fit, and what holds a size back, in a maker's words.
//!
//! This file tells what clashes; `fixes` what may be changed, each of which `changes` and `deeds` say, `hand` a thing that was tried,
//! `grow` what would make a size larger, `need` the smallest leaves that take given things.

mod changes;
mod deeds;
mod fixes;
mod grow;
mod hand;
mod need;
mod sizes;

pub use changes::change;
pub(super) use deeds::deed;
pub use deeds::difference;
pub use fixes::written;
pub use grow::{grow, places};
pub use hand::hand;
pub use hand::{goes, trimmed, verdict};
pub use need::need;

use super::phrase::{plainly, screen};
use super::words::{capital, headed, lines, listed, spaced, strong, titled, wrapped};
use super::{Answer, From};
use crate::explain::{Explanation, Meant};
use crate::length::{Interval, Length, Ruler};
use crate::plan::clash::{Clash, Sense};
use crate::plan::phrase::Phrase;
use crate::plan::sentence;
use crate::plan::{Assumed, Plan, Reason, SizePlan};
use crate::text::Place;
use itertools::Itertools;

/// Why an album does not fit, or that it does.
pub fn text(from: From<'_>, answer: Answer<'_>) -> String {
    let fits = |plan: &Plan| {
        let grow = one_size(plan).map_or(String::new(), |size| {
                let of = match plan.leaves.len() > 1 && !size.leaf.is_empty() {
                    true => format!(" --leaf \"{}\"", size.leaf),
                    false => String::new(),
                };
                format!(
                    " What holds a size back, and what would make it larger: `tuckwright why ... --grow {}{of}`, or any other size by its name.",
                    size.name
                )
            });
        let more = match from.style.usual_place() {
            "" => String::new(),
            place => {
                format!(" Whether something more goes in: `--insert \"4 x 6 in\" --into {place}`.")
            }
        };
        let said = format!("Nothing clashes.{grow}{more}");
        let verdict = strong(super::verdict(plan.certainty));
        format!("{verdict}\n{}", wrapped(&said, "", ""))
    };
    head(from) + &super::became(from, answer, fits)
}

/// A size that was found, to be named as an example: a photo's where there is one.
fn one_size(plan: &Plan) -> Option<&SizePlan> {
    let inserts = || plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let photos = inserts().filter_map(|insert| Some(&insert.photo.as_ref()?.width));
    let parts = plan.leaves.iter().flat_map(|leaf| &leaf.parts);
    let parts = parts.chain(&plan.parts);
    let mut sizes = photos
        .chain(inserts().map(|insert| &insert.width))
        .chain(parts.map(|part| &part.width))
        .chain(&plan.template)
        .chain(&plan.others);
    sizes.find(|size| !matches!(size.held_by[..], [] | [Reason::Given] | [Reason::Measured]))
}

/// The title of what was asked about, with its ruler.
fn head(from: From<'_>) -> String {
    titled(&capital(from.title), from.ruler)
}

/// What clashes, and what makes it fit.
pub fn explanation(from: From<'_>, explained: &Explanation) -> String {
    let mut text = String::new();
    let verdict = match &explained.meant {
        Some(it) => {
            let said = wrapped(&meant(from.ruler, it), "", "");
            text.push_str(&format!("{}\n", strong(said.trim_end())));
            "As typed it does not fit."
        }
        None => "It does not fit.",
    };
    text.push_str(&format!("{}\n", strong(verdict)));
    text.push_str(&lines(fixes::easiest(from, explained)));
    if explained.meant.is_none() {
        let lying = explained.lying.iter();
        text.push_str(&lines(lying.map(|(bag, width, height)| {
            super::assumed::lies(from.ruler, bag, (*width, *height))
        })));
    }
    text.push_str(&clashes(from, explained));
    text.push_str(&fixes::text(from, explained));
    text.push_str(&bottoms(from, &explained.bottoms));
    text
}

/// What was probably meant, as a question.
fn meant(ruler: Ruler, meant: &Meant) -> String {
    match meant {
        Meant::Unit { width, bag } => {
            let width = ruler.show_interval(*width);
            format!("A bag {width} wide? Did you mean {bag} (`--bag \"{bag}\"`)? That fits.")
        }
        Meant::Fractions(all) => {
            let are = if all.len() == 1 { "is" } else { "are" };
            let typed = all.iter().map(|(_, typed, _)| ruler.show(*typed));
            let typed = listed(&typed.collect::<Vec<_>>());
            let meant = all.iter();
            let meant = meant.map(|(name, _, it)| format!("`{name} = \"{}\"`", ruler.show(*it)));
            let meant = listed(&meant.collect::<Vec<_>>());
            let ruler = ruler.show(ruler.step());
            format!("{typed} {are} on no mark of a {ruler} ruler. Did you mean {meant}? That fits.")
        }
        Meant::Turned { name, size } => {
            format!("`{name}` wider than high? Did you mean `size = \"{size}\"`? That fits.")
        }
    }
}

/// What is counted as the worse of two, and how it is said.
fn bottoms(from: From<'_>, all: &[Assumed]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut text = headed("Not given");
    text.push_str(&lines(super::assumed::lines(
        all,
        super::assumed::Told::Whole,
        |it| screen(from.ruler, it),
    )));
    let said = match from.bag {
        true => "Say it with `--bottom`: `pinch`, or `block` and its gusset in `--bag`.",
        false => "Say it in its `[[bag]]`: `bottom = \"pinch\"`, or its `gusset`.",
    };
    text.push_str(&wrapped(said, "  ", "    "));
    text
}

/// All clashes that are told, each under its own heading.
fn clashes(from: From<'_>, explained: &Explanation) -> String {
    let mut text = String::new();
    let several = explained.clashes.len();
    for (n, clash) in explained.clashes.iter().enumerate() {
        let heading = match several {
            1 => "What clashes".to_owned(),
            _ => format!("What clashes, {} of {several}", n + 1),
        };
        text.push_str(&headed(&heading));
        text.push_str(&one(from, clash));
    }
    let rest = match (explained.all_clashes, explained.more_clashes) {
        (true, _) => return text,
        (false, 0) => "There may be other rules that clash: a limit was met before all were found.",
        (false, more) => {
            let others = match more {
                1 => "another set of rules clashes".to_owned(),
                _ => format!("{more} other sets of rules clash"),
            };
            let said = format!("These are the fewest; at least {others} beside them.");
            text.push_str(&wrapped(&said, "  ", "  "));
            return text;
        }
    };
    text.push_str(&wrapped(rest, "  ", "  "));
    text
}

fn one(from: From<'_>, clash: &Clash) -> String {
    let mut text = String::new();
    if clash.members.len() > 1 {
        let said = "Sizes that you did not give are shown as they would be to keep all of these rules but one.";
        text.push_str(&wrapped(said, "  ", "  "));
    }
    for (n, member) in clash.members.iter().enumerate() {
        let head = rule(&member.name, &member.of);
        text.push_str(&wrapped(&head, &format!("  {:>2}  ", n + 1), "      "));
        let mut line = |said: &str| text.push_str(&wrapped(said, "      ", "        "));
        if let Some(because) = &member.because {
            let mut tell = |because, missing: Option<Length>, sense| {
                let missing = missing.filter(|short| *short > Length::ZERO);
                let missing = missing.map_or(String::new(), |short| {
                    self::missing(from.ruler, because, short, sense)
                });
                let said = capital(&plainly(from.ruler, because));
                line(&format!("{said}.{missing}"));
            };
            // Sizes that keep it lack nothing.
            tell(because, member.short.filter(|_| !member.kept), member.sense);
            for (because, short, sense) in &member.and {
                tell(because, Some(*short), *sense);
            }
        }
        let zero = Interval::exact(Length::ZERO);
        let givens = member.givens.iter().filter(|(_, v, _)| *v != zero);
        let givens = givens.map(|(name, value, place)| {
            let at = place.and_then(|p| at(from, p));
            let at = at.map_or(String::new(), |at| format!(": {at}"));
            format!("{name} {}{at}", from.ruler.show_interval(*value))
        });
        // Kinds of leaf in the same bag have the same of it.
        givens.unique().for_each(|given| line(&given));
        let at = at(from, member.place).map_or(String::new(), |at| format!("; {at}"));
        line(&format!("[{}{at}]", member.source));
    }
    for (name, least) in &clash.least {
        let least = from.ruler.show(*least);
        let said = format!(
            "Whatever the rules say, {} is never less than {least}.",
            sizes::called(from.style, name)
        );
        text.push_str(&wrapped(&said, "      ", "      "));
    }
    let minimal = match (clash.proved_minimal, clash.members.len()) {
        (true, 1) => "No sizes keep this rule; that is proved.",
        (true, _) => {
            "No sizes keep all of them; without any one of them the others can all hold; both are proved."
        }
        (false, _) => {
            "No sizes keep all of them. It may not be minimal: a limit was met before it was proved that each of them is needed."
        }
    };
    text.push_str(&wrapped(minimal, "  ", "  "));
    if !clash.also.is_empty() {
        let also: Vec<String> = clash.also.iter().map(|of| spaced(of)).collect();
        let said = format!(
            "The same rules clash with the same numbers for {}.",
            also.join("; ")
        );
        text.push_str(&wrapped(&said, "  ", "  "));
    }
    text
}

/// A rule with the thing that it speaks of.
pub(super) fn rule(name: &str, of: &str) -> String {
    match of.is_empty() {
        true => capital(name),
        false => format!("{} ({of})", capital(name)),
    }
}

/// ` That is 1/4 in too much.`, in the unit of the sentence before it.
fn missing(ruler: Ruler, because: &Phrase, short: Length, off: Sense) -> String {
    let own = sentence::gives_own(ruler, because);
    let short = match own && !ruler.shows_in_own(short) {
        true => ruler.amount(short),
        false => screen(ruler, &sentence::readable(ruler, short)),
    };
    format!(" That is {short} {}.", sense(off))
}

/// How a broken rule is off: `too much`, `too little`, or just `off`.
pub(super) fn sense(sense: Sense) -> &'static str {
    match sense {
        Sense::TooMuch => "too much",
        Sense::TooLittle => "too little",
        Sense::Off => "off",
    }
}

/// A line of a file, or the option; `None` if it is not known.
pub(super) fn at(from: From<'_>, place: Place) -> Option<String> {
    match from.files.name(place.file) {
        _ if place.is_empty() => None,
        "" => None,
        option if option.starts_with("--") => Some(option.to_owned()),
        name => Some(format!("{name}:{}", from.files.line(place))),
    }
}

#[cfg(test)]
mod tests;
