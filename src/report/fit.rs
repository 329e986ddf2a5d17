//! The cut list: the verdict, every size with what holds it, and what else a maker needs at the
//! table. Or what clashes.

use super::assumed::{self, Told};
pub use super::notes::Detail;
use super::notes::Notes;
use super::phrase::{plainly, screen};
use super::words::{
    about, capital, count, headed, lines, listed, plain, size, spaced, strong, titled, wrapped,
};
use super::{Answer, From, cautions, facts, holes, leaf, place, verdict, watch, why};
use crate::album::Grip;
use crate::explain::watch::Remedy;
use crate::length::{Interval, Length, Ruler};
use crate::plan::closed::Closed;
use crate::plan::frames::What;
use crate::plan::phrase::Phrase;
use crate::plan::{Assumed, Plan, Reason, RuleLine, SizePlan};
use crate::shop::short::Short;
use crate::supplies::Kind;
use crate::text::grouped;
use itertools::Itertools;

/// What became of an album, as text for a screen of 80 letters.
pub fn text(from: From<'_>, answer: Answer<'_>, detail: Detail) -> String {
    with_remedies(from, answer, detail, (&[], &[]))
}

/// What there is to do beside the sizes: what would keep each wish that is not kept, and supplies of which
/// more are needed than are at hand.
type Watch<'a> = (&'a [Remedy], &'a [Short]);

/// As [`text`], with what there is to do.
pub fn with_remedies(
    from: From<'_>,
    answer: Answer<'_>,
    detail: Detail,
    watch: Watch<'_>,
) -> String {
    let told = super::became(from, answer, |plan| fits(from, plan, detail, watch));
    titled(&capital(from.title), from.ruler) + &told
}

fn fits(from: From<'_>, plan: &Plan, detail: Detail, watch: Watch<'_>) -> String {
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
    for said in place::astray(plan) {
        text.push_str(&wrapped(&said, "! ", "  "));
    }
    text.push_str(&pulled(from, plan));
    // Before the first size: what a maker has to weigh up before anything is cut.
    text.push_str(&wishes(from, plan, detail, watch));
    let mut notes = Notes::new(plan.ruler, detail);
    text.push_str(&leaf::all(from, plan, &mut notes, detail));
    let own = leaf::of_album(plan, &mut notes, detail);
    if !own.is_empty() {
        let apart = if detail == Detail::All { "\n" } else { "" };
        text.push_str(&format!("{apart}{own}"));
    }
    let holes = holes::text(plan, &mut notes, detail);
    if !holes.is_empty() {
        text.push_str(&format!("\n{holes}"));
    }
    let apart = if detail == Detail::All { "\n" } else { "" };
    if !plan.others.is_empty() {
        text.push_str(&headed("Other sizes"));
        for size in &plan.others {
            let of = match plan.leaves.len() > 1 && !size.leaf.is_empty() {
                true => format!("{}: ", size.leaf),
                false => String::new(),
            };
            let value = plan.ruler.show_interval(size.value);
            let by = match detail {
                Detail::First => String::new(),
                Detail::All => format!(" Limited by: {}.", notes.cell(size)),
            };
            let said = format!("{of}{} {value}.{by}", plain(&size.name));
            text.push_str(&wrapped(&capital(&said), "  ", "    "));
        }
    }
    text.push_str(apart);
    text.push_str(&together(plan, detail));
    match detail {
        Detail::First => text.push_str(&decided(plan)),
        Detail::All => {
            let held = notes.text();
            if !held.is_empty() {
                text.push_str(&format!("\n{}\n{held}", strong("Limited by")));
            }
        }
    }
    text.push_str(&to_measure(from, &plan.assumed, detail));
    if from.without_pocket {
        let height = match plan.ruler.is_metric() {
            true => "80 mm",
            false => "3 in",
        };
        let said = format!(
            "No pocket was typed: `--pocket \"{height}\"` says how high its edge stands, `--folded` how high the leaf is once the bag is folded up."
        );
        text.push_str(&wrapped(&said, "", "  "));
    }
    match detail {
        Detail::First => {
            let all: Vec<&str> = cautions::of(plan).map(|c| c.short).collect();
            let care = format!("{} {}", strong("Take care."), all.join(" "));
            let more = "What limits each size: `--all`. Every rule: `tuckwright rules`.";
            text.push_str(&wrapped(&format!("{care} {more}"), "", "  "));
        }
        Detail::All => {
            text.push_str(&headed("Take care"));
            for caution in cautions::of(plan) {
                text.push_str(&wrapped(caution.full, "  ", "    "));
            }
        }
    }
    text
}

/// The album as a whole: photos, stack, ring, closed size.
fn together(plan: &Plan, detail: Detail) -> String {
    let ruler = plan.ruler;
    let head = "The whole album";
    let mut lines: Vec<String> = Vec::new();
    let mut line = |said: String| lines.push(said);
    let photos: Vec<String> = facts::photos(plan)
        .iter()
        .map(|(sides, n)| {
            format!(
                "{n} of {}{}",
                size(ruler, sides.0, sides.1),
                uncut(plan, *sides)
            )
        })
        .collect();
    if !photos.is_empty() {
        line(format!("Photos: {}.", listed(&photos)));
    }
    let leaves: i64 = plan.leaves.iter().map(|l| l.count).sum();
    let at_holes = match plan.holes.heights.is_empty() {
        true => String::new(),
        false => format!("{} at the holes, ", about(ruler, plan.stack_at_holes)),
    };
    let in_middle = format!("{} in the middle", about(ruler, plan.stack_in_middle));
    let thick = match (detail, at_holes.strip_suffix(", ")) {
        (Detail::First, Some(at_holes)) => at_holes.to_owned(),
        _ => format!("{at_holes}{in_middle}"),
    };
    let stack = match leaves {
        0 => String::new(),
        _ => {
            let covers = if plan.with_covers { " with covers" } else { "" };
            format!("Stack of {}{covers}: {thick}. ", place::count(plan, leaves))
        }
    };
    let ring = match &plan.ring {
        Some(ring) => format!(
            "Ring: {}, {} inside, may hold {}.",
            ring.name,
            ruler.show_interval(ring.inside),
            ruler.about(ring.takes),
        ),
        None if plan.takes_rings => "No ring is named.".to_owned(),
        None => String::new(),
    };
    let said = format!("{stack}{ring}");
    if !said.is_empty() {
        line(said.trim_end().to_owned());
    }
    let punch = plan.leaves.first().filter(|_| detail == Detail::All);
    if let Some(takes) = punch.and_then(|leaf| leaf.punch_takes) {
        line(format!(
            "Punch: takes {} at a time.",
            ruler.show_interval(takes)
        ));
    }
    if let Some(closed) = plan.closed {
        let with = if plan.ring.is_some() {
            " with rings"
        } else {
            ""
        };
        line(format!("Closed{with}: {}.", outer(plan, closed, detail)));
    }
    match detail {
        _ if lines.is_empty() => String::new(),
        Detail::First => {
            let head = strong(&format!("{head}."));
            wrapped(&format!("{head} {}", lines.join(" ")), "", "  ")
        }
        Detail::All => {
            let lines = lines.iter().map(|said| wrapped(said, "  ", "    "));
            format!("{}\n{}", strong(head), lines.collect::<String>())
        }
    }
}

/// The print that goes uncut where a photo of this size would.
fn uncut(plan: &Plan, sides: (Interval, Interval)) -> String {
    let inserts = plan.leaves.iter().flat_map(|leaf| &leaf.inserts);
    let mut photos = inserts.filter_map(|insert| insert.photo.as_ref());
    let photo = photos.find(|it| (it.width.value, it.height.value) == sides);
    let sold = photo.and_then(|photo| facts::uncut(plan.ruler, photo));
    sold.map_or(String::new(), |(width, height)| {
        let sold = plan.ruler.show_size(width, height);
        format!(" (largest print sold that fits: {sold})")
    })
}

/// The size of the closed album: up to the next ruler steps, or to the thousandth with everything.
fn outer(plan: &Plan, closed: Closed, detail: Detail) -> String {
    let ruler = plan.ruler;
    let sides = [closed.width, closed.height, closed.thickness];
    let steps = sides.map(|side| ruler.length_of(ruler.ticks_up(side)));
    if let (Detail::First, [Some(width), Some(height), Some(thick)]) = (detail, steps) {
        let face = ruler.show_size(width, height);
        return format!("{face}, {} thick", ruler.show(thick));
    }
    let [width, height, thick] = sides.map(|side| ruler.about(side));
    let bare = |text: String| text.trim_start_matches("about ").to_owned();
    format!("{width} wide, {} high, {} thick", bare(height), bare(thick))
}

/// What decides the largest photo, in words.
fn decided(plan: &Plan) -> String {
    let inserts = plan.leaves.iter().flat_map(|leaf| {
        let photos = leaf.inserts.iter();
        photos.filter_map(move |it| Some((leaf, it, it.photo.as_ref()?)))
    });
    let area = |size: &SizePlan| i128::from(size.value.most().nm());
    let largest = inserts.max_by_key(|(.., photo)| area(&photo.width) * area(&photo.height));
    let Some((leaf, insert, photo)) = largest else {
        return String::new();
    };
    let of = match plan.leaves.len() {
        1 => String::new(),
        _ => format!(" ({})", leaf.name),
    };
    let said = format!(
        "{}'s photo{of} is no wider because {}; no higher because {}.",
        plain(&insert.name),
        reasons(&photo.width),
        reasons(&photo.height)
    );
    wrapped(&capital(&said), "  ", "    ")
}

/// How what lies in a typed bag is pulled out: nobody said by what.
fn pulled(from: From<'_>, plan: &Plan) -> String {
    let frames = plan.frames.iter().filter(|_| from.bag);
    let tabs = frames.filter_map(|frame| {
        let inserts = &plan.leaves.get(frame.leaf?)?.inserts;
        let notch = Length::from_nm(frame.grips.notch?);
        let laid = frame.parts.iter().find(|laid| match laid.what {
            What::Insert(at, _) => inserts.get(at).is_some_and(|it| it.grip == Grip::Tab),
            _ => false,
        })?;
        let into = frame.parts.get(laid.slot?)?.edge.as_ref()?;
        let said = format!(
            "Pull {} out by a tab that you glue to it; or cut a thumb notch of radius {} into {into}.",
            plain(&laid.title),
            plan.ruler.show(notch)
        );
        Some(wrapped(&said, "", "  "))
    });
    tabs.collect()
}

fn reasons(size: &SizePlan) -> String {
    let said: Vec<String> = (size.held_by.iter())
        .map(|reason| match reason {
            Reason::Rule { name, .. } => name.clone(),
            Reason::Preference(title) => format!("something else comes first ({title})"),
            Reason::Limit(_) => "it may be no larger".to_owned(),
            Reason::Given => "you gave it".to_owned(),
            Reason::Measured => "you measured it".to_owned(),
            Reason::Unknown => "not found in the time".to_owned(),
        })
        .collect();
    let said: Vec<String> = said.into_iter().unique().take(REASONS).collect();
    said.join(", and ")
}

/// Reasons of a size that the first screen gives.
const REASONS: usize = 1;

fn wishes(from: From<'_>, plan: &Plan, detail: Detail, (remedies, short): Watch<'_>) -> String {
    let unkept = unkept(plan);
    if unkept.is_empty() && plan.accepted.is_empty() && short.is_empty() {
        return String::new();
    }
    let more = match detail {
        Detail::First => unkept.len().saturating_sub(WATCHED),
        Detail::All => 0,
    };
    let rest = match more {
        0 => String::new(),
        more => format!(", and {more} more with `--all`"),
    };
    let mut text = headed(&format!("{UNKEPT}{rest}"));
    let accepted = accepted(plan);
    let accepted = accepted.iter().map(|it| screen(plan.ruler, it));
    text.push_str(&lines(accepted.chain(short.iter().map(missing))));
    let shown = unkept.len() - more;
    // What is said of a thing that is handled comes first.
    let ordered = unkept.into_iter().sorted_by_key(|wish| !wish.of_thing);
    let mut said_before = Vec::new();
    for wish in ordered.take(shown) {
        let its = |it: &&Remedy| it.rule == wish.rule && wish.of.contains(&it.of);
        let remedy = match remedies.iter().find(its) {
            None => String::new(),
            Some(it) if said_before.contains(&&it.deed) => " The same mends it.".to_owned(),
            Some(it) => {
                said_before.push(&it.deed);
                format!(" To mend it, {}.", why::deed(from, &it.deed))
            }
        };
        let said = format!("{}{remedy}", wish.sentence);
        text.push_str(&wrapped(&said, "  ", "    "));
    }
    text
}

/// `You have 5 of tall bag and need 8: buy 3.`
pub fn missing(short: &Short) -> String {
    let Short {
        kind, have, need, ..
    } = short;
    let (of, each) = match short.each {
        Some(_) => ("each design of ", " of each"),
        None => ("", ""),
    };
    let have_it = match (kind, have) {
        (Kind::Paper, 0) => "no sheet".to_owned(),
        (Kind::Paper, n) => count(*n, "sheet", "sheets"),
        (_, 0) => "none".to_owned(),
        (_, n) => n.to_string(),
    };
    format!(
        "You have {have_it} of {of}{} and need {need}: buy {}{each}.",
        short.name,
        need.saturating_sub(*have)
    )
}

/// A sentence for each rule of which the maker accepts less.
pub(crate) fn accepted(plan: &Plan) -> Vec<Phrase> {
    let all = plan.accepted.iter().map(|it| {
        let why = it
            .why
            .as_ref()
            .map_or_else(String::new, |why| format!(" Your reason: {why}."));
        let of = match it.of.is_empty() {
            true => String::new(),
            false => format!(" ({})", spaced(&it.of)),
        };
        Phrase::words("You accept ")
            .length(Interval::exact(it.by))
            .and(format!(" less of this rule: {}{of}.{why}", it.rule))
    });
    all.collect()
}

/// Wishes that the first screen tells.
const WATCHED: usize = 3;

/// The heading of [`unkept`].
pub(super) const UNKEPT: &str = "What to watch";

/// A wish that is not kept.
pub struct Unkept {
    pub rule: String,
    /// What it speaks of, where several share the sentence.
    pub of: Vec<String>,
    /// It is about a thing of a leaf, not about a leaf or the whole.
    pub of_thing: bool,
    /// Photos that may lie on their side mend it.
    pub lay: bool,
    pub sentence: String,
}

/// A sentence for each wish that is not kept; leaves that share one share the sentence.
pub fn unkept(plan: &Plan) -> Vec<Unkept> {
    let unkept = plan.rules.iter().filter(|rule| rule.wish && !rule.kept);
    let said = grouped(unkept.map(|rule| (&rule.because, rule)));
    let sentence = |(because, rules): (&Phrase, Vec<&RuleLine>)| {
        let rule = rules[0];
        let leaf = |rule: &&RuleLine| rule.of.split(": ").next().unwrap_or("").to_owned();
        let leaves: Vec<String> = rules.iter().map(leaf).unique().collect();
        let named = plan.leaves.len() > 1 && !leaves.iter().all(String::is_empty);
        let because = plainly(plan.ruler, because);
        let text = match named {
            true => format!("{}: {because}.", capital(&listed(&leaves))),
            false => format!("{}.", capital(&because)),
        };
        let leaves = plan.leaves.iter();
        let names = leaves.flat_map(|leaf| leaf.inserts.iter().map(|it| it.name.as_str()));
        let thing = rule.of.rsplit(": ").next().unwrap_or("");
        Unkept {
            rule: rule.name.clone(),
            of: rules.iter().map(|rule| rule.of.clone()).collect(),
            of_thing: names.into_iter().any(|name| name == thing),
            lay: false,
            sentence: text,
        }
    };
    let facts = [watch::facts(plan), watch::cut_down(plan)].concat();
    let facts = facts.into_iter().enumerate();
    let facts = facts.map(|(n, sentence)| {
        // The first is that of photos.
        let photos = plan.cropped.as_ref().filter(|_| n == 0);
        Unkept {
            rule: String::new(),
            of: Vec::new(),
            of_thing: photos.is_some(),
            lay: photos.is_some_and(|it| it.lying.is_some()),
            sentence,
        }
    });
    facts.chain(said.into_iter().map(sentence)).collect()
}

/// Things to measure that the first screen names.
const MEASURED_FIRST: usize = 2;

fn to_measure(from: From<'_>, all: &[Assumed], detail: Detail) -> String {
    if all.is_empty() {
        return String::new();
    }
    if detail == Detail::First {
        return measured_first(from.ruler, all);
    }
    let mut text = headed("Assumed: measure these");
    text.push_str(&lines(assumed::lines(all, Told::Whole, |it| {
        screen(from.ruler, it)
    })));
    let said = match from.bag {
        true => {
            "Say what you measured with `--set NAME=\"...\"`, `--pocket`, `--pocket-depth` or `--bottom`; in an album file with `measured` in its leaf."
        }
        false if from.leaves == 0 => {
            "Say what you measured: in `[set]`, or with `--set NAME=\"...\"`."
        }
        false => {
            "Say what you measured: a name without a point in `[set]` or with `--set NAME=\"...\"`, one with a point in `measured` of its leaf, a bag's bottom in its `[[bag]]`."
        }
    };
    text.push_str(&wrapped(said, "  ", "  "));
    text
}

fn measured_first(ruler: Ruler, all: &[Assumed]) -> String {
    let lines = assumed::lines(all, Told::Short, |it| screen(ruler, it));
    let mut said = vec![strong("Assumed: measure these first.")];
    said.extend(lines.iter().take(MEASURED_FIRST).cloned());
    if lines.len() > MEASURED_FIRST {
        let more = lines.len() - MEASURED_FIRST;
        said.push(format!("{more} more: `--all`."));
    }
    wrapped(&said.join(" "), "", "  ")
}
