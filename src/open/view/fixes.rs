//! What mends a trouble, as buttons: one thing to do first, then other ways.

use super::form::{button, capital, first_button, plain};
use crate::album::PhotosIn;
use crate::explain::watch::Remedy;
use crate::explain::{Explanation, Fix, FixChange, Kind};
use crate::length::{Interval, Length};
use crate::open::sight::{Now, Sight};
use crate::plan::clash::Clash;
use crate::plan::openings::photo_spots;
use crate::report::assumed::lies;
use crate::report::fit::{Unkept, unkept};
use crate::report::phrase::plainly;
use crate::report::{From, why};
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// Ways beside the first that are shown.
const MOST_WAYS: usize = 6;

/// One independent part of why it does not fit.
pub struct Trouble<'a> {
    /// What is wrong: `the tag (shore) is 3 1/2 in too high`.
    pub said: String,
    /// The leaf that it is about; empty if it is about several, or about none.
    pub leaf: String,
    /// What mends it, each with the number by which it is asked for; the easiest first.
    pub ways: Vec<(usize, &'a Fix)>,
}

/// Everything that does not fit, each part with what mends it. The strip, the drawing and the list all
/// read it here, so that they say the same.
pub fn troubles<'a>(sight: &Sight<'a>) -> Vec<Trouble<'a>> {
    let Now::Clash { clash, why } = sight.now else {
        return Vec::new();
    };
    let Some(from) = sight.from() else {
        return Vec::new();
    };
    let Some(why) = why.filter(|why| !why.fixes.is_empty()) else {
        return vec![Trouble {
            said: of_clash(from, clash),
            leaf: leaf_of(clash),
            ways: Vec::new(),
        }];
    };
    let all = numbered(why);
    let lists = (0..why.fixes.len()).map(|list| {
        // What mends all of it mends a single trouble.
        let of_all = all
            .iter()
            .filter(|(of, ..)| of.is_none() && why.fixes.len() == 1);
        let own = all.iter().filter(|(of, ..)| *of == Some(list));
        // What was not solved again is not offered: a button is proved.
        let own = own.filter(|(.., fix)| fix.sizes.is_some());
        let said = own.clone().find_map(|(.., fix)| of_fix(from, fix));
        let ways = of_all.filter(|(.., fix)| fix.sizes.is_some()).chain(own);
        let ways = ways.map(|(_, number, fix)| (*number, *fix));
        let ways: Vec<(usize, &Fix)> = ways.unique_by(|(_, fix)| label(from, fix)).collect();
        let its = why.fixes[list].clashes.first().copied().unwrap_or(list);
        let clash = why.clashes.get(its).unwrap_or(clash);
        Trouble {
            said: said.unwrap_or_else(|| of_clash(from, clash)),
            leaf: leaf_of(clash),
            ways,
        }
    });
    lists.collect()
}

/// What to ask of bags that may have been measured the other way round.
pub fn lying(from: From<'_>, sight: &Sight<'_>) -> Vec<String> {
    let Now::Clash { why: Some(why), .. } = sight.now else {
        return Vec::new();
    };
    let bags = why.lying.iter();
    bags.map(|(bag, width, height)| lies(from.ruler, bag, (*width, *height)))
        .collect()
}

/// Single deeds that mend all of it, where it has several parts.
pub fn whole<'a>(sight: &Sight<'a>) -> Vec<(usize, &'a Fix)> {
    let Now::Clash { why: Some(why), .. } = sight.now else {
        return Vec::new();
    };
    let of_none = |(of, number, fix): (Option<usize>, usize, &'a Fix)| {
        (of.is_none() && fix.sizes.is_some()).then_some((number, fix))
    };
    match why.fixes.len() {
        0 | 1 => Vec::new(),
        _ => numbered(why).into_iter().filter_map(of_none).collect(),
    }
}

fn numbered(why: &Explanation) -> Vec<(Option<usize>, usize, &Fix)> {
    let all = why.numbered().into_iter();
    all.enumerate()
        .map(|(n, (list, fix))| (list, n + 1, fix))
        .collect()
}

/// The button of a way.
pub fn way(from: From<'_>, (number, fix): (usize, &Fix), is_first: bool) -> Markup {
    let (label, body) = (label(from, fix), json!({ "fix": number }));
    match is_first {
        true => first_button(&label, "/do", &body),
        false => button(&label, "/do", &body),
    }
}

/// All ways of a trouble but the first, behind a line that opens.
pub fn other_ways(from: From<'_>, trouble: &Trouble<'_>, key: &str) -> Markup {
    let others = trouble.ways.iter().skip(1);
    let count = others.len();
    html! {
        @if count > 0 {
            details data-key=(key) {
                summary { (count) @if count == 1 { " other way" } @else { " other ways" } }
                ul class="ways" {
                    @for one in others.take(MOST_WAYS) {
                        li { (way(from, *one, false)) }
                    }
                }
            }
        }
    }
}

/// What a fix does, as the label of its button.
pub fn label(from: From<'_>, fix: &Fix) -> String {
    let all = fix.changes.iter().map(|it| change(from, it));
    capital(&all.collect::<Vec<_>>().join(", and "))
}

/// One change as something to do: the value that it comes to, and no name as it stands in a file.
pub fn change(from: From<'_>, change: &FixChange) -> String {
    match change {
        FixChange::Measure {
            kind: Kind::Size,
            name,
            of,
            from: now,
            to,
            ..
        } => {
            let parted = name.rsplit_once('.');
            let told = |thing: &str, verb: &str, joint: &str, adverb: &str| {
                let gap = if joint.is_empty() { "" } else { " " };
                let (of, to) = (from.in_leaf(of), from.ruler.show_interval(*to));
                format!("{verb} the {}{of} {joint}{gap}{to} {adverb}", plain(thing))
            };
            match (parted, to.least() < now.least()) {
                (Some((it, "width")), true) => told(it, "cut", "to", "wide"),
                (Some((it, "height")), true) => told(it, "cut", "to", "high"),
                (Some((it, "width")), false) => told(it, "make", "", "wide"),
                (Some((it, "height")), false) => told(it, "make", "", "high"),
                _ => untyped(&why::change(from, change)),
            }
        }
        FixChange::Accept { rule, of, by } => {
            let of = match of.is_empty() {
                true => String::new(),
                false => format!(" ({})", of.replace('_', " ")),
            };
            format!(
                "accept {} less than this asks for: {rule}{of}",
                from.ruler.show(*by)
            )
        }
        FixChange::Measure {
            kind: Kind::Quantity,
            name,
            ..
        } => {
            // By what it is for; its name stands in files.
            let said = untyped(&why::change(from, change));
            match from.style.quantity(name) {
                Some(it) => said
                    .replace(&format!("“{name}”"), &format!("“{}”", it.why))
                    .replace(&format!(" ({})", it.why), ""),
                None => said,
            }
        }
        _ => untyped(&why::change(from, change)),
    }
}

/// What is wrong by what mends it: a thing that must be smaller is so much too large.
fn of_fix(from: From<'_>, fix: &Fix) -> Option<String> {
    let sides = fix.changes.iter().map(|it| match it {
        FixChange::Measure {
            kind: Kind::Size,
            name,
            of,
            from: now,
            to,
            ..
        } => {
            let (thing, side) = name.rsplit_once('.')?;
            let adjective = match (side, to.least() < now.least()) {
                ("width", true) => "too wide",
                ("width", false) => "too narrow",
                ("height", true) => "too high",
                ("height", false) => "too low",
                _ => return None,
            };
            let by = from.ruler.show(why::difference(*now, *to)?);
            Some(((thing, of), format!("{by} {adjective}")))
        }
        _ => None,
    });
    let sides: Vec<_> = sides.collect::<Option<_>>()?;
    let (thing, of) = sides.iter().map(|(of, _)| *of).all_equal_value().ok()?;
    let sides = sides.iter().map(|(_, said)| said).join(" and ");
    Some(format!(
        "the {}{} is {sides}",
        plain(thing),
        from.in_leaf(of)
    ))
}

/// The leaf that all of a clash is about.
fn leaf_of(clash: &Clash) -> String {
    let all = clash.members.iter().filter(|it| !it.of.is_empty());
    let mut all = all.map(|it| it.of.split(": ").next().unwrap_or("")).dedup();
    match (all.next(), all.next()) {
        (Some(leaf), None) => leaf.to_owned(),
        _ => String::new(),
    }
}

/// What is wrong by the first rule that is broken.
fn of_clash(from: From<'_>, clash: &Clash) -> String {
    let broken = |it: &&crate::plan::clash::Member| {
        !it.kept && it.short.is_some_and(|short| short > Length::ZERO)
    };
    let mut members = clash.members.iter();
    let member = members.clone().find(broken).or(members.next());
    let Some(member) = member else {
        return "its rules clash".to_owned();
    };
    let because = member.because.as_ref();
    let said = because.map_or_else(|| plain(&member.name), |it| plainly(from.ruler, it));
    let of = match member.of.is_empty() || from.leaves < 2 {
        true => String::new(),
        false => format!("{}: ", member.of.split(": ").next().unwrap_or("")),
    };
    format!("{of}{said}")
}

/// A size that is given and must be smaller: its name, its leaf, what it is and what it may be at most.
pub struct TooLarge<'a> {
    pub name: &'a str,
    pub leaf: &'a str,
    pub now: Interval,
    pub most: Interval,
}

/// The sizes that the first way of each trouble makes smaller.
pub fn too_large<'a>(sight: &Sight<'a>) -> Vec<TooLarge<'a>> {
    let all = troubles(sight).into_iter();
    let firsts = all.filter_map(|trouble| trouble.ways.first().map(|(_, fix)| *fix));
    let sizes = firsts
        .flat_map(|fix| &fix.changes)
        .filter_map(|it| match it {
            FixChange::Measure {
                kind: Kind::Size,
                name,
                of,
                from,
                to,
                ..
            } if to.least() < from.least() => Some(TooLarge {
                name,
                leaf: of,
                now: *from,
                most: *to,
            }),
            _ => None,
        });
    sizes.collect()
}

/// A wish that is not kept, and the number of what would keep it.
pub struct Watched<'a> {
    pub wish: Unkept,
    pub remedy: Option<(usize, &'a Remedy)>,
}

/// What to watch: what is said of a thing that is handled comes first.
pub fn watched<'a>(sight: &Sight<'a>) -> Vec<Watched<'a>> {
    let Now::Fits { plan, remedies } = sight.now else {
        return Vec::new();
    };
    let all = unkept(plan).into_iter();
    let with = |wish: Unkept| {
        let its = |it: &(usize, &Remedy)| it.1.rule == wish.rule && wish.of.contains(&it.1.of);
        let remedy = remedies.iter().enumerate().find(its);
        Watched { wish, remedy }
    };
    // Of those alike first what can be done something about.
    let all = all.map(with);
    all.sorted_by_key(|it| (!it.wish.of_thing, it.remedy.is_none()))
        .collect()
}

/// Photos that the album names, and places for them, where these are fewer.
pub fn unplaced(sight: &Sight<'_>) -> Option<(usize, usize)> {
    let Now::Fits { plan, .. } = sight.now else {
        return None;
    };
    let PhotosIn::Here(photos) = &sight.read?.album.photos.as_ref()?.from else {
        return None;
    };
    let places = photo_spots(plan).len();
    (places < photos.len()).then_some((photos.len(), places))
}

/// What a remedy does, as the label of its button.
pub fn remedy(from: From<'_>, remedy: &Remedy) -> String {
    capital(&untyped(&why::change(
        from,
        &FixChange::Do(remedy.deed.clone()),
    )))
}

/// A sentence without what is typed into files: brackets lose what stands in backticks there, and names
/// in backticks stand in quotes.
pub fn untyped(said: &str) -> String {
    let mut out = String::new();
    let mut rest = said;
    while let Some(at) = rest.find('(') {
        let end = closing(&rest[at..]).map_or(rest.len(), |end| at + end);
        let inner = &rest[at + 1..end];
        let kept = inner.split("; ").filter(|part| !part.contains('`'));
        let kept = kept.collect::<Vec<_>>().join("; ");
        out.push_str(&rest[..at]);
        match kept.is_empty() {
            true => out.truncate(out.trim_end().len()),
            false => out.push_str(&format!("({kept})")),
        }
        rest = rest.get(end + 1..).unwrap_or("");
    }
    out.push_str(rest);
    quoted(&out)
}

/// What stands in backticks stands in quotes.
pub fn quoted(said: &str) -> String {
    let quotes = said.split('`').enumerate().map(|(n, part)| match n {
        0 => part.to_owned(),
        n if n % 2 == 1 => format!("“{part}"),
        _ => format!("”{part}"),
    });
    quotes.collect()
}

/// Where the bracket at the head of a text is closed.
fn closing(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    text.char_indices().find_map(|(at, letter)| {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => return None,
        }
        (depth == 0).then_some(at)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_into_files_is_left_out() {
        for (said, plain) in [
            (
                "let sketch show 1/2 in (`show = \"1/2 in\"`)",
                "let sketch show 1/2 in",
            ),
            (
                "make `ease` 1/8 in smaller: 0 in (room to slide; `--set ease=\"0 in\"`)",
                "make “ease” 1/8 in smaller: 0 in (room to slide)",
            ),
            (
                "use bag `small (brown)` instead of `lunch`",
                "use bag “small” instead of “lunch”",
            ),
            (
                "put it into the pocket (shore)",
                "put it into the pocket (shore)",
            ),
            ("half (open", "half (open)"),
        ] {
            // A name with brackets of its own is no case for a button's words, but never a panic.
            if !said.contains("(brown)") {
                assert_eq!(untyped(said), plain);
            } else {
                untyped(said);
            }
        }
    }
}
