//! What a hand does otherwise that no measure says, as something to do and what to type for it.

use super::{From, hand};
use crate::album::Grip;
use crate::explain::deeds::{Deed, Place, Side, Supply};
use crate::length::{Interval, Length, Ruler};
use crate::report::words::{listed, plain, size};
use crate::style::Style;
use crate::style::parts::Slot;

/// One of them.
pub fn deed(from: From<'_>, deed: &Deed) -> String {
    let ruler = from.ruler;
    let of = |leaf: &str| from.in_leaf(leaf);
    let it = |insert: &str, leaf: &str| format!("{}{}", plain(insert), of(leaf));
    match deed {
        Deed::Place { leaf, insert, to } => put(from.style, &it(insert, leaf), to),
        Deed::Turn {
            leaf,
            insert,
            width,
            height,
        } => {
            let typed = turned(from, insert, *width, *height);
            let lies = size(ruler, *width, *height);
            let it = it(insert, leaf);
            format!("turn {it} on its side, {lies} ({typed})")
        }
        Deed::Show { leaf, insert, to } => {
            let to = ruler.show(*to);
            let it = it(insert, leaf);
            format!("let {it} show {to} (`show = \"{to}\"`)")
        }
        Deed::Grip { leaf, insert, grip } => {
            let (word, key) = match grip {
                Grip::Tab => ("a pull tab", "tab"),
                Grip::Notch => ("a thumb notch", "notch"),
                Grip::String => ("a string", "string"),
                Grip::Plain => ("nothing to pull it by", "plain"),
            };
            let it = it(insert, leaf);
            format!("give {it} {word} (`grip = \"{key}\"`)")
        }
        Deed::Use {
            supply,
            leaf,
            of: part,
            from: now,
            to,
        } => {
            let instead = match now.is_empty() {
                true => format!("`{to}`"),
                false => format!("`{to}` instead of `{now}`"),
            };
            match supply {
                Supply::Paper => format!("cut {} from {instead}", it(part, leaf)),
                Supply::Bag if !leaf.is_empty() => format!("use bag {instead} for `{leaf}`"),
                other => format!("use {} {instead}", other.word()),
            }
        }
        Deed::RingOf {
            from: name,
            inside,
            to,
        } => format!(
            "use rings of at least {} inside (`{name}`: {})",
            ruler.show(*to),
            ruler.show_interval(*inside)
        ),
        Deed::SheetOf {
            leaf,
            of: part,
            from: name,
            now,
            to,
        } => {
            let [to, now] = [to, now].map(|(width, height)| size(ruler, *width, *height));
            let it = it(part, leaf);
            format!("cut {it} from sheets of at least {to} (`{name}`: {now})")
        }
        Deed::BagOf {
            from: name,
            side,
            to,
            only,
        } => larger_bag(from, name, &[(*side, *to, *only)]),
        Deed::Pick {
            from: name,
            side,
            pack,
            to,
        } => {
            let side = side.word();
            format!(
                "pick out bags `{name}` at least {} {side} (the pack: {})",
                ruler.show(*to),
                ruler.show_interval(*pack)
            )
        }
        Deed::Pattern { from: now, to } => match to {
            Some(to) => {
                format!("punch the pattern `{to}` instead of `{now}` (`pattern = \"{to}\"`)")
            }
            None => format!("leave the pattern `{now}` out, and punch at your own spacing"),
        },
        Deed::Row { from: now, to } => row(ruler, *now, *to),
        Deed::Holes { from: now, to } => {
            let holes = from.style.hole().map_or("holes", |mark| match to {
                1 => &mark.titles[0],
                _ => &mark.titles[1],
            });
            format!("make {to} {holes} instead of {now} (`holes = {to}`)")
        }
        Deed::NoEyelets => "leave the eyelets out".to_owned(),
        Deed::Without { leaf, part } if leaf.is_empty() => format!(
            "leave the {} out (`{part} = \"none\"` in `papers`)",
            plain(part)
        ),
        Deed::With { part, paper } => {
            let leaf = from.style.leaf_frame();
            let leaf = leaf.map_or("leaf", |(_, frame)| &frame.titles[0]);
            let it = plain(part);
            format!("give every {leaf} a {it} of `{paper}` (`{part} = \"{paper}\"`)")
        }
        Deed::Without { leaf, part } => {
            format!("leave the {} out (`{part} = \"none\"`)", it(part, leaf))
        }
        Deed::Thinner {
            leaf,
            insert,
            from: now,
            to,
        } => {
            let (it, to) = (it(insert, leaf), ruler.show(*to));
            let now = ruler.show_interval(*now);
            format!(
                "use thinner card for {it}, {to} thick at most, not {now} (`caliper = \"{to}\"`)"
            )
        }
        Deed::FewerOf {
            leaf,
            insert,
            by,
            left,
        } => {
            let it = it(insert, leaf);
            format!("put {left} of {it} in, {by} fewer (`count = {left}`)")
        }
        Deed::Fewer { leaf, by, left } => {
            let word = if *by == 1 { "leaf" } else { "leaves" };
            let goes = if *left == 1 { "goes" } else { "go" };
            let of = of(leaf);
            // Of one kind of leaf all may be bound, in several albums.
            let all = by + left;
            let albums = match of.is_empty() && by > left {
                true => format!(" (all {all} make {} albums)", (all + left - 1) / left),
                false => String::new(),
            };
            format!("take {by} {word} out{of}: {left} {goes} on{albums}")
        }
    }
}

/// A thing in another place.
fn put(style: &Style, it: &str, to: &Place) -> String {
    let section = to.section.as_ref();
    let section = section.map(|section| format!(", `section = \"{section}\"`"));
    let section = section.unwrap_or_default();
    let glued = |(_, slot): (_, &Slot)| slot.place == to.place && slot.opens.is_none();
    let verb = match style.slots().any(glued) {
        true => "have",
        false => "put",
    };
    let into = hand::into(style, &to.name());
    format!("{verb} {it} {into} (`place = \"{}\"`{section})", to.place)
}

/// What is typed for the sides of what was turned.
fn turned(from: From<'_>, it: &str, width: Interval, height: Interval) -> String {
    let ruler = from.ruler;
    if !from.style.papers_of_leaf().contains(&it) {
        return format!("`size = \"{}\"`", ruler.type_size(width, height));
    }
    let [width, height] = [width, height].map(|side| ruler.show_interval(side));
    format!("`\"{it}.width\" = \"{width}\", \"{it}.height\" = \"{height}\"`")
}

/// The holes somewhat higher or lower.
fn row(ruler: Ruler, now: Interval, to: Interval) -> String {
    let higher = to.least() > now.least();
    let word = if higher { "higher" } else { "lower" };
    let by = difference(now, to).map_or(String::new(), |by| ruler.show(by));
    let to = ruler.show_interval(to);
    format!("punch the row {by} {word}, from {to} above the tail on (`first = \"{to}\"`)")
}

/// A larger bag in place of one, on one side or both.
pub fn larger_bag(from: From<'_>, name: &str, sides: &[(Side, Interval, bool)]) -> String {
    let only = sides.iter().any(|(.., only)| *only);
    let least = if only { "exactly" } else { "at least" };
    let side = |(side, to, _): &(Side, Interval, bool)| {
        let to = from.ruler.show_interval(*to);
        format!("{to} {}", side.word())
    };
    let sides = listed(&sides.iter().map(side).collect::<Vec<_>>());
    match from.bag {
        true => format!("take a bag {least} {sides}"),
        false => format!("take a bag {least} {sides} instead of `{name}`"),
    }
}

/// By how much a measure differs from what it was.
pub fn difference(from: Interval, to: Interval) -> Option<Length> {
    let (less, more) = (from.least().min(to.least()), from.least().max(to.least()));
    more.checked_sub(less)
}
