//! What holds a size back, and what each given measure would buy.

use super::{From, deeds, head, sizes};
use crate::explain::{Growth, Offer};
use crate::length::Ruler;
use crate::plan::Reason;
use crate::report::phrase::plainly;
use crate::report::words::{capital, headed, strong, wrapped};

/// What holds a size back, and what would help it.
pub fn grow(from: From<'_>, growth: &Growth) -> String {
    let mut text = head(from);
    let name = match from.leaves > 1 && !growth.leaf.is_empty() {
        true => format!("{}: {}", growth.leaf, growth.name),
        false => growth.name.clone(),
    };
    let (wanted, better) = match growth.larger {
        true => ("large", "larger"),
        false => ("small", "smaller"),
    };
    let said = format!(
        "{} is {}; {wanted} is wanted.",
        capital(&sizes::called(from.style, &name)),
        from.ruler.show_interval(growth.value)
    );
    text.push_str(&format!("{}\n", strong(wrapped(&said, "", "").trim_end())));
    let heading = format!("What would make it {better}, each worked out with the whole album");
    text.push_str(&headed(&heading));
    if let Some((pattern, by)) = &growth.pattern {
        let by = from.ruler.show(*by);
        let said = format!(
            "The pattern `{pattern}` holds it back: with holes at your own spacing it is {by} {better}."
        );
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    for said in places(from, growth) {
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    if growth.offers.is_empty() {
        let said = format!("No other amount of one given measure alone makes it {better}.");
        text.push_str(&wrapped(&said, "  ", "  "));
    }
    // What takes as much off the other side as it gives is mostly the same piece turned.
    let gains = |offer: &&Offer| offer.loses.is_none_or(|loses| loses < offer.buys);
    let (first, turned): (Vec<&Offer>, Vec<&Offer>) = growth.offers.iter().partition(gains);
    for offer in if first.is_empty() { turned } else { first } {
        text.push_str(&one(from, growth.larger, offer));
    }
    if !growth.proved {
        let said = "A limit was met: a smaller change may be enough, or one of another measure.";
        text.push_str(&wrapped(said, "  ", "  "));
    }
    text.push_str(&headed("What limits it"));
    for reason in &growth.held_by {
        text.push_str(&wrapped(&told(from.ruler, reason), "  ", "    "));
    }
    text
}

/// What other places for the thing buy: `Put photo mat into the back slot: 1 in larger, 7 1/4 in.`
pub fn places(from: From<'_>, growth: &Growth) -> Vec<String> {
    let said = growth.places.iter().map(|(deed, by)| {
        let (then, better) = match growth.larger {
            true => (growth.value.longer(*by), "larger"),
            false => (growth.value.shorter(*by), "smaller"),
        };
        let then = from.ruler.show_interval(then.unwrap_or(growth.value));
        let deed = capital(&deeds::deed(from, deed));
        format!("{deed}: {} {better}, {then}.", from.ruler.show(*by))
    });
    said.collect()
}

/// A reason as a sentence.
fn told(ruler: Ruler, reason: &Reason) -> String {
    match reason {
        Reason::Rule {
            because, source, ..
        } => format!("{}. [{source}]", capital(&plainly(ruler, because))),
        Reason::Preference(title) => format!("What comes first: {title}."),
        Reason::Limit(limit) => format!("Its own limit: {}.", ruler.show(*limit)),
        Reason::Given => "The album or its supplies say it.".to_owned(),
        Reason::Measured => "It was measured on what is already made.".to_owned(),
        Reason::Unknown => "A limit was met before it was found what limits it.".to_owned(),
    }
}

fn one(from: From<'_>, larger: bool, offer: &Offer) -> String {
    let ruler = from.ruler;
    let measure = match &offer.measure {
        size if size.contains('.') => sizes::called(from.style, size),
        words if words.contains(' ') => format!("the {words}"),
        quantity => format!("`{quantity}`"),
    };
    let leaf = from.in_leaf(&offer.leaf);
    let word = |more: bool| if more { "more" } else { "less" };
    let buys = if larger { "larger" } else { "smaller" };
    let loses = offer.loses.map_or(String::new(), |loses| {
        let worse = if larger { "smaller" } else { "larger" };
        format!(", and its other side {} {worse}", ruler.show(loses))
    });
    let mut said = format!(
        "{}{leaf}, now {}: {} {} makes it {} {buys}{loses}.",
        capital(&measure),
        ruler.show_interval(offer.from),
        ruler.show(offer.by),
        word(offer.more),
        ruler.show(offer.buys),
    );
    let Some((by, bought, held_by)) = &offer.until else {
        said.push_str(" More gains more; no end was found.");
        return wrapped(&said, "  ", "    ");
    };
    said.push_str(&match *by == offer.by {
        true if offer.half => String::new(),
        true => " More than that gains nothing.".to_owned(),
        false => format!(
            " It goes on up to {} {}, which makes it {} {buys}.",
            ruler.show(*by),
            word(offer.more),
            ruler.show(*bought)
        ),
    });
    if offer.half {
        said.push_str(" Less than half of it was not tried.");
    }
    let holders: Vec<String> = held_by.iter().map(|r| short(ruler, r)).collect();
    if !holders.is_empty() {
        said.push_str(&format!(" Against more: {}.", holders.join("; ")));
    }
    wrapped(&said, "  ", "    ")
}

/// A reason by its name.
fn short(ruler: Ruler, reason: &Reason) -> String {
    match reason {
        Reason::Rule { name, .. } => name.clone(),
        Reason::Preference(title) => format!("{title}, which comes first"),
        Reason::Limit(limit) => format!("its own limit, {}", ruler.show(*limit)),
        Reason::Given => "what the album gives".to_owned(),
        Reason::Measured => "what was measured".to_owned(),
        Reason::Unknown => "what was not found before a limit was met".to_owned(),
    }
}
