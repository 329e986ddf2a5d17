//! A change as something to do, in words, and changes that are one thing to do.

use super::deeds::{self, difference};
use super::{From, sizes};
use crate::album::Value;
use crate::explain::deeds::Side;
use crate::explain::{Deed, FixChange, Kind};
use crate::length::{Interval, Ruler};
use crate::report::assumed;
use crate::report::words::{self, plain, worth};
use crate::scene::BagMeasure;
use crate::style::{Style, Tells};

/// Changes that go together; what is done to both sides of a bag or a piece is said at once.
pub(super) fn changes(from: From<'_>, all: &[FixChange]) -> Vec<String> {
    let larger = |change: &FixChange| match change {
        FixChange::Do(Deed::BagOf {
            from,
            side,
            to,
            only,
        }) => Some((from.clone(), (*side, *to, *only))),
        _ => None,
    };
    let cut = |change: &FixChange| match change {
        FixChange::Measure {
            kind: Kind::Size | Kind::Made,
            name,
            of,
            from: now,
            to,
            ..
        } if to.least() < now.least() && from.style.tells(name).less.is_none() => {
            let (piece, side) = name.rsplit_once('.')?;
            let piece = format!("{}{}", sizes::thing(piece), from.in_leaf(of));
            matches!(side, "width" | "height").then_some((piece, side == "height", *to))
        }
        _ => None,
    };
    let same = |a: &FixChange, b: &FixChange| {
        let bag = |it: &FixChange| larger(it).map(|(bag, ..)| bag);
        let piece = |it: &FixChange| cut(it).map(|(piece, ..)| piece);
        bag(a).is_some() && bag(a) == bag(b) || piece(a).is_some() && piece(a) == piece(b)
    };
    let said = all.chunk_by(same).flat_map(|group| {
        let cuts: Vec<_> = group.iter().filter_map(cut).collect();
        match (larger(&group[0]), &cuts[..]) {
            (Some((bag, ..)), _) => {
                let sides = group.iter().filter_map(larger);
                let sides: Vec<(Side, Interval, bool)> = sides.map(|(_, side)| side).collect();
                vec![deeds::larger_bag(from, &bag, &sides)]
            }
            (None, [(piece, false, width), (_, true, height)])
            | (None, [(piece, true, height), (_, false, width)]) => {
                vec![format!(
                    "cut {piece} down to {}",
                    words::size(from.ruler, *width, *height)
                )]
            }
            _ => group.iter().map(|it| change(from, it)).collect(),
        }
    });
    said.collect()
}

/// One change, as something to do.
pub fn change(from: From<'_>, change: &FixChange) -> String {
    let ruler = from.ruler;
    match change {
        FixChange::Accept { rule, of, by } => {
            let of = if of.is_empty() {
                String::new()
            } else {
                format!(" ({of})")
            };
            format!("accept {} less at: {rule}{of}", ruler.show(*by))
        }
        FixChange::Measure {
            kind,
            name,
            of,
            why,
            from: now,
            to,
        } => {
            let moved = Moved {
                by: difference(*now, *to).map_or(String::new(), |by| ruler.amount(by)),
                left: ruler.show_interval(*to),
                more: to.least() > now.least(),
            };
            match kind {
                Kind::Quantity => quantity(name, why, &moved),
                Kind::Size => size(from.style, name, &from.in_leaf(of), &moved),
                Kind::Made => made(from.style, name, &from.in_leaf(of), &moved),
                Kind::Template(key) => hole(from, (name, key), &moved),
                Kind::Pocket(measure) => pocket(from, (name, *measure), of, &moved),
            }
        }
        FixChange::Usual {
            quantity,
            why,
            from: now,
            to,
        } => {
            let (now, to) = (value(ruler, *now), value(ruler, *to));
            format!(
                "leave `{quantity}` at {to}, as usual, not {now} ({why}; `--set {quantity}=\"{to}\"`)"
            )
        }
        FixChange::Do(deed) => deeds::deed(from, deed),
        FixChange::LeaveOut { name, leaf } => {
            format!("leave out {}{}", plain(name), from.in_leaf(leaf))
        }
    }
}

/// A measure that is moved, in words.
struct Moved {
    by: String,
    /// What it then is.
    left: String,
    more: bool,
}

impl Moved {
    /// In the style's own words, if it has any for this.
    fn told(&self, tells: &Tells, of: &str) -> Option<String> {
        let words = if self.more { &tells.more } else { &tells.less };
        let said = words.as_ref()?.replace("{by}", &self.by);
        Some(said.replace("{it}", &self.left).replace("{of}", of))
    }

    fn or<'a>(&self, more: &'a str, less: &'a str) -> &'a str {
        if self.more { more } else { less }
    }
}

fn value(ruler: Ruler, value: Value) -> String {
    match value {
        Value::Length(length) => ruler.show_interval(length),
        ratio => worth(ratio),
    }
}

fn quantity(name: &str, why: &str, moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let sense = moved.or("larger", "smaller");
    format!("make `{name}` {by} {sense}: {left} ({why}; `--set {name}=\"{left}\"`)")
}

fn size(style: &Style, name: &str, in_leaf: &str, moved: &Moved) -> String {
    if let Some(told) = moved.told(style.tells(name), in_leaf) {
        return told;
    }
    let Moved { by, left, .. } = moved;
    let (of, side) = name.rsplit_once('.').unwrap_or((name, ""));
    let of = sizes::thing(of);
    let (adverb, comparative) = match side {
        "width" => (" wide", "wider"),
        "height" => (" high", "higher"),
        "show" => {
            let sense = moved.or("more", "less");
            return format!("let {of}{in_leaf} show {by} {sense}: {left} (`show = \"{left}\"`)");
        }
        "depth" => return deep(&of, in_leaf, moved),
        _ => ("", "larger"),
    };
    match moved.more {
        true => format!("make {of}{in_leaf} {by} {comparative}: {left}{adverb}"),
        false => format!("cut {of}{in_leaf} down by {by} to {left}{adverb}"),
    }
}

/// What is cut already is cut down, or cut anew: paper does not grow. What was measured on a leaf and is no
/// piece of paper, as a pocket, is made anew.
fn made(style: &Style, name: &str, in_leaf: &str, moved: &Moved) -> String {
    let (of, side) = name.rsplit_once('.').unwrap_or((name, ""));
    let adverb = match side {
        "width" => "wide",
        "height" => "high",
        "show" => return size(style, name, in_leaf, moved),
        _ => return format!("{} (made anew)", size(style, name, in_leaf, moved)),
    };
    let (of, left) = (sizes::thing(of), &moved.left);
    match moved.more && style.tells(name).more.is_none() {
        true => format!("cut {of}{in_leaf} anew, {left} {adverb}"),
        false => size(style, name, in_leaf, moved),
    }
}

/// How far things slide into a slot.
fn deep(slot: &str, of: &str, moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let sense = moved.or("deeper", "less deep");
    format!("make the {slot}{of} {by} {sense}: {left}")
}

fn hole(from: From<'_>, (name, key): (&str, &str), moved: &Moved) -> String {
    let Moved { by, left, .. } = moved;
    let said = moved.told(from.style.tells(name), "").unwrap_or_else(|| {
        let sense = moved.or("larger", "smaller");
        let called = sizes::called(from.style, name);
        format!("make {called} {by} {sense}: {left}")
    });
    let typed = match (from.bag, key) {
        (true, "edge") => format!("`--edge \"{left}\"`"),
        (true, _) => format!("`--hole \"{left}\"`"),
        (false, key) => format!("`{key} = \"{left}\"`"),
    };
    format!("{said} ({typed})")
}

fn pocket(from: From<'_>, (name, measure): (&str, BagMeasure), bag: &str, moved: &Moved) -> String {
    let left = &moved.left;
    let key = match measure {
        BagMeasure::PocketEdge => "edge",
        _ => "depth",
    };
    let (of, typed) = match assumed::option(measure).filter(|_| from.bag) {
        Some(option) => (String::new(), format!("`{option} \"{left}\"`")),
        None => (
            format!(" of `{bag}`"),
            format!("`pocket = {{ {key} = \"{left}\" ... }}`"),
        ),
    };
    let thing = name.split('.').next().unwrap_or(name);
    let told = moved.told(from.style.tells(name), &of);
    let said = told.unwrap_or_else(|| deep(&plain(thing), &of, moved));
    format!("{said} ({typed})")
}
