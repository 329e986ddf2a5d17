//! A thing in the hand: whether it goes in, what must come off, and which rules keep it out.

use super::{From, bottoms, clashes, head};
use crate::explain::{Hand, Trim};
use crate::length::{Interval, Length, Ruler};
use crate::report::phrase::plainly;
use crate::report::stopped;
use crate::report::words::{capital, headed, numbered, size, strong, wrapped};
use crate::style::Style;

/// Whether a thing goes in, as a heading and the answer.
pub fn hand(from: From<'_>, hand: &Hand) -> String {
    let mut text = head(from);
    let it = size(from.ruler, hand.width, hand.height);
    let leaf = match from.leaves > 1 {
        true => format!(" of {}", hand.leaf),
        false => String::new(),
    };
    let into = |place: &str| into(from.style, place);
    let verdict = goes(from.style, hand);
    let said = match &hand.elsewhere[..] {
        [] => format!("{it}, {}{leaf}: {verdict}", into(&hand.place)),
        [first, rest @ ..] => {
            let others: Vec<String> = rest.iter().map(|it| into(&it.name())).collect();
            let others = match others.is_empty() {
                true => String::new(),
                false => format!(" (or {})", others.join(", or ")),
            };
            format!(
                "{it}{leaf}: {} it goes {} as it is{others}. {}: {verdict}",
                into(&first.name()),
                way(from.style, &first.place),
                capital(&into(&hand.place))
            )
        }
    };
    let said = wrapped(&said, "", "");
    text.push_str(&format!("{}\n", strong(said.trim_end())));
    for said in &hand.watch {
        let said = capital(&plainly(from.ruler, said));
        text.push_str(&wrapped(&format!("To watch: {said}."), "", "  "));
    }
    // With what is enough at hand, the limit is a word about how much must come off.
    if let (Some(why), true) = (hand.stopped, hand.trims.is_empty()) {
        let said = format!("{}.", capital(stopped(why)));
        text.push_str(&wrapped(&said, "", ""));
    }
    if !hand.as_it_is && !hand.trims.is_empty() {
        let heading = match hand.stopped {
            None => "What must come off, least first",
            Some(_) => "What may come off; less may be enough (a limit was met)",
        };
        text.push_str(&headed(heading));
        text.push_str(&numbered(
            hand.trims.iter().map(|trim| trimmed(from.ruler, trim)),
        ));
    }
    if let Some(why) = &hand.why {
        let heading = match hand.trims.is_empty() && !hand.turned {
            true => "Why it does not go in",
            false => "Why it does not go in as it is",
        };
        text.push_str(&headed(heading));
        // Its own heading stands above.
        let said = clashes(from, why);
        text.push_str(said.strip_prefix('\n').unwrap_or(&said));
        text.push_str(&bottoms(from, &why.bottoms));
    }
    text
}

/// The answer in a few words.
pub fn verdict(hand: &Hand) -> &'static str {
    if hand.as_it_is {
        "it goes in as it is."
    } else if hand.turned {
        "it goes in turned on its side, not as it is."
    } else if !hand.trims.is_empty() {
        "it goes in only when it is trimmed."
    } else if hand.stopped.is_some() {
        "undecided."
    } else {
        "it does not go in, however it is trimmed."
    }
}

/// Whether things are put in or glued on there.
fn way(style: &Style, place: &str) -> &'static str {
    let mut slots = style.slots();
    match slots.any(|(_, slot)| slot.place == place && slot.opens.is_none()) {
        true => "on",
        false => "in",
    }
}

/// The same of a thing that is put in or glued on.
pub fn goes(style: &Style, hand: &Hand) -> String {
    let way = way(style, &hand.place);
    let said = verdict(hand).replacen("goes in", &format!("goes {way}"), 1);
    said.replacen("go in", &format!("go {way}"), 1)
}

/// Where it goes, with the word before it.
pub fn into(style: &Style, place: &str) -> String {
    let mut slots = style.slots();
    let said = slots.find_map(|(_, slot)| slot.into.clone().filter(|_| slot.place == place));
    said.unwrap_or_else(|| format!("into the {place}"))
}

/// What comes off, and what is left.
pub fn trimmed(ruler: Ruler, trim: &Trim) -> String {
    let mut off = Vec::new();
    for (length, side) in [(trim.off_width, "width"), (trim.off_height, "height")] {
        if length > Length::ZERO {
            off.push(format!("{} off the {side}", ruler.show(length)));
        }
    }
    let off = match off.is_empty() {
        true => "nothing".to_owned(),
        false => off.join(" and "),
    };
    let left = size(ruler, trim.width, trim.height);
    match trim.turned {
        true => format!(
            "Turned on its side{}: {off}; {left} is left.",
            lies(ruler, trim)
        ),
        false => format!("{}; {left} is left.", capital(&off)),
    }
}

/// What it measures as it lies when it is turned.
fn lies(ruler: Ruler, trim: &Trim) -> String {
    let whole = |left: Interval, off: Length| {
        let end = |end: Length| Length::from_nm(end.nm() + off.nm());
        Interval::between(end(left.least()), end(left.most()))
    };
    let width = whole(trim.width, trim.off_width);
    let height = whole(trim.height, trim.off_height);
    match width.zip(height) {
        Some((width, height)) => format!(" ({})", size(ruler, width, height)),
        None => String::new(),
    }
}
