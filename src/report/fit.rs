//! The cut list: the verdict, every size with what holds it, and what else a maker needs at the
//! table. Or what clashes.

use super::notes::Notes;
use super::words::{about, count, listed, size, strong, wrapped};
use super::{Answer, From, cautions, facts, holes, leaf, undecided};
use crate::plan::clash::Clash;
use crate::plan::{Assumed, Certainty, Plan};

/// How much is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// What is needed first.
    First,
    All,
}

/// What became of an album, as text for a screen of 80 letters.
pub fn text(from: From<'_>, answer: Answer<'_>, detail: Detail) -> String {
    let mut text = format!("{}\n", strong(&format!("{}, ruler {}", from.title, from.ruler)));
    match answer {
        Answer::Fits(plan) => text.push_str(&fits(from, plan, detail)),
        Answer::Clash(clash) => text.push_str(&clashes(clash)),
        Answer::Undecided(why) => {
            text.push_str(&wrapped(&format!("Undecided: {}.", undecided(why)), "", ""));
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
        let said = format!("Nothing limits {name}: what is told of it is no size to cut. Give it in the album.");
        text.push_str(&wrapped(&said, "! ", "  "));
    }
    let mut notes = Notes::default();
    for leaf in &plan.leaves {
        text.push('\n');
        text.push_str(&leaf::text(plan, leaf, &mut notes, detail));
    }
    text.push('\n');
    text.push_str(&holes::text(plan, &mut notes));
    text.push('\n');
    text.push_str(&together(plan));
    let held = notes.text(plan.ruler, detail == Detail::All);
    if !held.is_empty() {
        text.push_str(&format!("\n{}\n{held}", strong("What holds each width and height")));
    }
    text.push_str(&wishes(plan));
    text.push_str(&assumed(from, &plan.assumed));
    text.push_str(&format!("\n{}\n", strong("Take care")));
    match detail {
        Detail::First => {
            let all: Vec<&str> = cautions::ALL.iter().map(|c| c.short).collect();
            text.push_str(&wrapped(&all.join(" "), "  ", "  "));
            let more = "More: `--all`; every rule with its numbers: `tuckwright rules`.";
            text.push_str(&format!("\n{more}\n"));
        }
        Detail::All => {
            for caution in cautions::ALL {
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
    let stack = format!(
        "Stack of {}: {} at the holes, {} in the middle",
        count(leaves, "leaf", "leaves"),
        about(ruler, plan.stack_at_holes),
        about(ruler, plan.stack_in_middle),
    );
    match &plan.ring {
        Some(ring) => line(format!(
            "{stack}. Ring: {}, {} inside, may hold {}.",
            ring.name,
            ruler.show_interval(ring.inside),
            ruler.about(ring.takes),
        )),
        None => line(format!("{stack}. No ring is named.")),
    }
    for leaf in &plan.leaves {
        if let Some(takes) = leaf.punch_takes {
            line(format!(
                "Punch: takes {}; a leaf of {} is {}.",
                ruler.show_interval(takes),
                leaf.name,
                about(ruler, leaf.thickness_at_holes)
            ));
        }
    }
    if let Some(closed) = facts::closed(plan) {
        let bare = |text: String| text.trim_start_matches("about ").to_owned();
        let with = if plan.ring.is_some() { " with its rings" } else { "" };
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
    let mut said: Vec<(String, Vec<String>)> = Vec::new();
    for rule in plan.rules.iter().filter(|r| r.wish && !r.kept) {
        match said.iter_mut().find(|(because, _)| *because == rule.because) {
            Some((_, of)) => of.push(rule.of.clone()),
            None => said.push((rule.because.clone(), vec![rule.of.clone()])),
        }
    }
    if said.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{}\n", strong("Wishes that could not be kept"));
    for (because, of) in said {
        let of: Vec<String> = of.into_iter().filter(|o| !o.is_empty()).collect();
        let of = if of.is_empty() { String::new() } else { format!(" ({})", of.join("; ")) };
        text.push_str(&wrapped(&format!("{}{of}.", super::words::capital(&because)), "  ", "    "));
    }
    text
}

/// How an assumed value is said.
pub fn how(name: &str, bag: bool) -> String {
    match (name, bag) {
        ("leaf: pocket.edge" | "pocket.edge", true) => "--pocket".to_owned(),
        ("leaf: pocket.depth" | "pocket.depth", true) => "--pocket-depth".to_owned(),
        (name, _) if name.contains('.') => {
            let size = name.rsplit(": ").next().unwrap_or(name);
            format!("measured = {{ \"{size}\" = \"...\" }}")
        }
        (name, _) => format!("--set {name}=\"...\""),
    }
}

fn assumed(from: From<'_>, all: &[Assumed]) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut text = format!("\n{}\n", strong("Assumed: measure these"));
    for one in all {
        let said = format!("{} {}: {}.", one.name, one.value, one.why);
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    let said = match from.bag {
        true => "Say what you measured with `--set NAME=\"...\"`, `--pocket` or `--pocket-depth`; in an album file with `measured` in its leaf.",
        false => "Say what you measured: a name without a point in [set] or with `--set NAME=\"...\"`, one with a point in `measured` of its leaf.",
    };
    text.push_str(&wrapped(said, "  ", "  "));
    text
}

fn clashes(clash: &Clash) -> String {
    let mut text = format!("{}\n\n", strong("It does not fit. These rules clash:"));
    for (n, member) in clash.members.iter().enumerate() {
        let of = if member.of.is_empty() { String::new() } else { format!(" ({})", member.of) };
        let head = format!("{}{of}", super::words::capital(&member.name));
        text.push_str(&wrapped(&head, &format!("  {:>2}  ", n + 1), "      "));
        if let Some(because) = &member.because {
            text.push_str(&wrapped(&format!("{because}."), "      ", "      "));
        }
        text.push_str(&wrapped(&format!("[{}]", member.source), "      ", "      "));
    }
    let minimal = match (clash.proved_minimal, clash.members.len()) {
        (true, 1) => "No sizes keep it.",
        (true, _) => "Without any one of them the others can all hold; this is proved. The numbers of each are those where all the others hold.",
        (false, _) => "No sizes keep all of them; perhaps not all of them are needed to show it: it may not be minimal.",
    };
    text.push('\n');
    text.push_str(&wrapped(minimal, "", ""));
    text
}
