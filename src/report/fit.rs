//! The cut list: the verdict, every size with what holds it, and what else a maker needs at the
//! table. Or what clashes.

use super::notes::Notes;
use super::words::{about, capital, listed, plain, size, spaced, strong, wrapped};
use super::{Answer, From, cautions, facts, holes, leaf, place, why};
use crate::plan::{Assumed, Certainty, Plan};
use crate::scene::BagMeasure;

/// How much is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// What is needed first.
    First,
    All,
}

/// What became of an album, as text for a screen of 80 letters.
pub fn text(from: From<'_>, answer: Answer<'_>, detail: Detail) -> String {
    let mut text = format!(
        "{}\n",
        strong(&format!("{} (ruler {})", capital(from.title), from.ruler))
    );
    match answer {
        Answer::Fits(plan) => text.push_str(&fits(from, plan, detail)),
        Answer::Clash(explanation) => text.push_str(&why::explanation(from, explanation)),
        Answer::Undecided(why) => {
            text.push_str(&wrapped(
                &format!("Undecided: {}.", super::stopped(why)),
                "",
                "",
            ));
        }
    }
    text
}

/// The verdict in one sentence.
pub fn verdict(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Best => "It fits, and every size is proved best.",
        Certainty::Found { same_again: true } => {
            "It fits. These are the best sizes found; a limit was met before all were proved best."
        }
        Certainty::Found { same_again: false } => {
            "It fits. These are the best sizes found; the time was up before all were proved best, and another run may find others."
        }
    }
}

fn fits(from: From<'_>, plan: &Plan, detail: Detail) -> String {
    let mut text = strong(wrapped(verdict(plan.certainty), "", "").trim_end());
    text.push('\n');
    for name in &plan.unlimited {
        let said = format!(
            "Nothing limits {name}: what is shown of it is no size to cut. Give it in the album."
        );
        text.push_str(&wrapped(&said, "! ", "  "));
    }
    for name in &plan.unread {
        let said = format!("Nothing in this album reads `{name}`: setting it changes nothing.");
        text.push_str(&wrapped(&said, "! ", "  "));
    }
    // Before the first size: what a maker has to weigh up before anything is cut.
    text.push_str(&wishes(plan));
    let mut notes = Notes::new(plan.ruler, detail);
    for leaf in &plan.leaves {
        text.push('\n');
        text.push_str(&leaf::text(from, plan, leaf, &mut notes, detail));
    }
    let holes = holes::text(plan, &mut notes);
    if !holes.is_empty() {
        text.push_str(&format!("\n{holes}"));
    }
    if !plan.others.is_empty() {
        text.push_str(&format!("\n{}\n", strong("Other sizes")));
        for size in &plan.others {
            let of = match plan.leaves.len() > 1 && !size.leaf.is_empty() {
                true => format!("{}: ", size.leaf),
                false => String::new(),
            };
            let value = plan.ruler.show_interval(size.value);
            let said = format!(
                "{of}{} {value}. Limited by: {}.",
                plain(&size.name),
                notes.cell(size)
            );
            text.push_str(&wrapped(&capital(&said), "  ", "    "));
        }
    }
    text.push('\n');
    text.push_str(&together(plan));
    let held = notes.text();
    if !held.is_empty() {
        text.push_str(&format!("\n{}\n{held}", strong("Limited by")));
    }
    text.push_str(&assumed(from, &plan.assumed));
    text.push_str(&format!("\n{}\n", strong("Take care")));
    match detail {
        Detail::First => {
            let all: Vec<&str> = cautions::of(plan).map(|c| c.short).collect();
            text.push_str(&wrapped(&all.join(" "), "  ", "  "));
            let more = "More: `--all`; every rule with its numbers: `tuckwright rules`.";
            text.push_str(&format!("\n{more}\n"));
        }
        Detail::All => {
            for caution in cautions::of(plan) {
                text.push_str(&wrapped(caution.full, "  ", "    "));
            }
        }
    }
    text
}

/// The album as a whole: photos, stack, ring, closed size.
fn together(plan: &Plan) -> String {
    let ruler = plan.ruler;
    let mut text = format!("{}\n", strong("The whole album"));
    let mut line = |said: String| text.push_str(&wrapped(&said, "  ", "    "));
    let photos: Vec<String> = facts::photos(plan)
        .iter()
        .map(|p| format!("{} of {}", p.count, size(ruler, p.width, p.height)))
        .collect();
    if !photos.is_empty() {
        line(format!("Photos: {}.", listed(&photos)));
    }
    let leaves: i64 = plan.leaves.iter().map(|l| l.count).sum();
    let at_holes = match plan.holes.heights.is_empty() {
        true => String::new(),
        false => format!("{} at the holes, ", about(ruler, plan.stack_at_holes)),
    };
    let stack = format!(
        "Stack of {}: {at_holes}{} in the middle",
        place::count(plan, leaves),
        about(ruler, plan.stack_in_middle),
    );
    match &plan.ring {
        Some(ring) => line(format!(
            "{stack}. Ring: {}, {} inside, may hold {}.",
            ring.name,
            ruler.show_interval(ring.inside),
            ruler.about(ring.takes),
        )),
        None if plan.takes_rings => line(format!("{stack}. No ring is named.")),
        None => line(format!("{stack}.")),
    }
    if let Some(takes) = plan.leaves.first().and_then(|leaf| leaf.punch_takes) {
        line(format!(
            "Punch: takes {} at a time.",
            ruler.show_interval(takes)
        ));
    }
    if let Some(closed) = plan.closed {
        let bare = |text: String| text.trim_start_matches("about ").to_owned();
        let with = if plan.ring.is_some() {
            " with its rings"
        } else {
            ""
        };
        line(format!(
            "Closed{with}: about {} wide, {} high, {} thick.",
            bare(ruler.about(closed.width)),
            bare(ruler.about(closed.height)),
            bare(ruler.about(closed.thickness)),
        ));
    }
    text
}

fn wishes(plan: &Plan) -> String {
    let unkept = unkept(plan);
    if unkept.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{}\n", strong(UNKEPT));
    for line in unkept {
        text.push_str(&wrapped(&line, "  ", "    "));
    }
    text
}

/// The heading of [`unkept`].
pub(super) const UNKEPT: &str = "Wishes that could not be kept";

/// A sentence for each wish that is not kept; leaves that share one share the sentence.
pub(super) fn unkept(plan: &Plan) -> Vec<String> {
    let mut said: Vec<(&str, Vec<String>)> = Vec::new();
    for rule in plan.rules.iter().filter(|r| r.wish && !r.kept) {
        let leaf = rule.of.split(": ").next().unwrap_or("").to_owned();
        match said
            .iter_mut()
            .find(|(because, _)| *because == rule.because)
        {
            Some((_, of)) if of.contains(&leaf) => {}
            Some((_, of)) => of.push(leaf),
            None => said.push((&rule.because, vec![leaf])),
        }
    }
    let sentence = |(because, leaves): (&str, Vec<String>)| {
        let named = plan.leaves.len() > 1 && !leaves.iter().all(String::is_empty);
        let text = match named {
            true => format!("{}: {because}.", capital(&listed(&leaves))),
            false => format!("{}.", capital(because)),
        };
        spaced(&text)
    };
    said.into_iter().map(sentence).collect()
}

/// How an assumed value is said.
pub fn how(assumed: &Assumed, bag: bool) -> String {
    if let (Some(option), true) = (assumed.of_bag.and_then(option), bag) {
        return option.to_owned();
    }
    match (assumed.name.as_str(), bag) {
        ("bag.bottom", true) => "--bottom pinch".to_owned(),
        (name, _) if name.ends_with("bag.bottom") => "bottom = \"pinch\"".to_owned(),
        (name, _) if name.contains('.') => {
            let size = name.rsplit(": ").next().unwrap_or(name);
            format!("measured = {{ \"{size}\" = \"...\" }}")
        }
        (name, _) => format!("--set {name}=\"...\""),
    }
}

/// What is typed beside `--bag` for another of its measures.
pub fn option(measure: BagMeasure) -> Option<&'static str> {
    match measure {
        BagMeasure::PocketEdge => Some("--pocket"),
        BagMeasure::PocketDepth => Some("--pocket-depth"),
        _ => None,
    }
}

fn assumed(from: From<'_>, all: &[Assumed]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{}\n", strong("Assumed: measure these"));
    for said in assumed_lines(all, true) {
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    let said = match from.bag {
        true => {
            "Say what you measured with `--set NAME=\"...\"`, `--pocket`, `--pocket-depth` or `--bottom`; in an album file with `measured` in its leaf."
        }
        false => {
            "Say what you measured: a name without a point in `[set]` or with `--set NAME=\"...\"`, one with a point in `measured` of its leaf, a bag's bottom in its `[[bag]]`."
        }
    };
    text.push_str(&wrapped(said, "  ", "  "));
    text
}

/// What stands in for a measure, in words, a sentence each; the same of several leaves stands there once.
/// With `typed` the name by which it can be changed stands beside it.
pub(super) fn assumed_lines(all: &[Assumed], typed: bool) -> Vec<String> {
    let mut lines: Vec<(Vec<String>, &str, &Assumed)> = Vec::new();
    for one in all {
        let (leaf, size) = match one.name.split_once(": ") {
            Some((leaf, size)) => (vec![leaf.to_owned()], size),
            None => (Vec::new(), one.name.as_str()),
        };
        let same = lines.iter_mut().find(|(_, name, other)| {
            *name == size && (&other.value, &other.why) == (&one.value, &one.why)
        });
        match same {
            Some((leaves, _, _)) => leaves.extend(leaf),
            None => lines.push((leaf, size, one)),
        }
    }
    let said = |(leaves, name, one): &(Vec<String>, &str, &Assumed)| {
        let of = if leaves.is_empty() {
            String::new()
        } else {
            format!(" ({})", listed(leaves))
        };
        let name_typed = match typed {
            true => format!(" (`{name}`)"),
            false => String::new(),
        };
        // A quantity's reason says what it is; a size's says why it is so large.
        let said = match name.split_once('.') {
            None => format!("{}{of}: {}", one.why, one.value),
            Some((thing, side)) => {
                let plainly = || format!("{} of the {}", plain(side), plain(thing));
                let size = one.title.clone().unwrap_or_else(plainly);
                format!("{size}{of}: {}, since {}", one.value, one.why)
            }
        };
        format!("{}{name_typed}.", capital(&said))
    };
    lines.iter().map(said).collect()
}
