//! One kind of leaf: its pieces, what is tucked in, how thick it is.

use super::notes::{Detail, Notes};
use super::phrase::screen;
use super::words::{
    about, capital, columns, grip, listed, plain, sides, size, strong, table, width, wrapped,
};
use super::{From, phrase, place};
use crate::length::{Interval, Length, Ruler};
use crate::plan::frames::FramePlan;
use crate::plan::leaf::{PartPlan, PrintPlan};
use crate::plan::phrase::Phrase;
use crate::plan::{InsertPlan, LeafPlan, Plan};
use crate::text::grouped;

/// Each kind of leaf in turn. On the first screen the pieces of all stand in one table, whose head stands there
/// once.
pub(super) fn all(from: From<'_>, plan: &Plan, notes: &mut Notes, detail: Detail) -> String {
    let rows: Vec<Vec<Row>> = (plan.leaves.iter())
        .map(|leaf| pieces(plan.ruler, leaf, notes))
        .collect();
    let each = place::one(plan);
    let tables = match detail {
        Detail::First => in_one(&rows, &each),
        Detail::All => rows
            .iter()
            .map(|rows| with_limits(&each, rows, OF_LEAF))
            .collect(),
    };
    let leaves = plan.leaves.iter().zip(tables).enumerate();
    let told = leaves.map(|(n, (leaf, table))| {
        let apart = if n == 0 || detail == Detail::All {
            "\n"
        } else {
            ""
        };
        format!("{apart}{}", text(from, plan, (leaf, &table), detail))
    });
    told.collect()
}

fn text(from: From<'_>, plan: &Plan, (leaf, table): (&LeafPlan, &str), detail: Detail) -> String {
    let ruler = plan.ruler;
    let turned = match leaf.turned {
        true => format!(
            "; turned, its plain {} outside",
            place::side(plan, leaf, false)
        ),
        false => String::new(),
    };
    let one = place::titles(plan)[0];
    let bag = size(ruler, leaf.width, leaf.height);
    let head = match from.bag {
        true => format!("One {one}, a bag of {bag}"),
        false => format!(
            "{}: {} of {}, {bag}{turned}",
            capital(&leaf.name),
            place::count(plan, leaf.count),
            leaf.bag,
        ),
    };
    let mut text = format!("{}\n{table}", strong(wrapped(&head, "", "  ").trim_end()));
    let frame = place::frame(plan, leaf);
    let parts = leaf.parts.iter().filter(|_| detail == Detail::All);
    for part in parts {
        let laid = frame.and_then(|frame| frame.part(&part.label));
        if let Some((run, over)) = laid.and_then(|it| it.runs_under.zip(it.under.as_ref())) {
            let said = format!(
                "{} runs {} under the {over}'s edge.",
                capital(&plain(&part.label)),
                ruler.show_interval(run)
            );
            text.push_str(&wrapped(&said, "  ", "    "));
        }
    }
    if detail == Detail::All {
        text.push_str(&frame.map_or(String::new(), |it| reveals(ruler, leaf, it)));
    }
    let tucked = leaf.inserts.iter().map(|it| tucked(plan, leaf, it, detail));
    match detail {
        _ if leaf.inserts.is_empty() => {}
        Detail::First => text.push_str(&wrapped(&tucked.collect::<Vec<_>>().join(" "), "  ", "  ")),
        Detail::All => tucked.for_each(|said| text.push_str(&wrapped(&said, "  ", "    "))),
    }
    if detail == Detail::All {
        text.push_str(&thickness(plan, leaf));
    }
    text
}

/// A piece of a leaf: its name, size, how many, what limits its sides, its paper.
type Row = [String; 7];

/// The head of each column of it.
fn head(each: &str) -> [&str; 7] {
    [
        "Piece",
        "Width x height",
        each,
        "In all",
        "Width by",
        "Height by",
        "Paper",
    ]
}

fn pieces(ruler: Ruler, leaf: &LeafPlan, notes: &mut Notes) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut row = |name: String, width, height, each: i64, paper: &Option<String>| {
        rows.push([
            name,
            sides(ruler, width, height),
            each.to_string(),
            each.saturating_mul(leaf.count).to_string(),
            notes.cell(width),
            notes.cell(height),
            paper.clone().unwrap_or_default(),
        ]);
    };
    for part in &leaf.parts {
        let name = plain(&part.label);
        row(name, &part.width, &part.height, part.count, &part.paper);
    }
    for insert in &leaf.inserts {
        let (name, each) = (plain(&insert.name), insert.count);
        row(name, &insert.width, &insert.height, each, &insert.paper);
        if let Some(photo) = &insert.photo {
            let name = "  its photo".to_owned();
            row(name, &photo.width, &photo.height, each, &None);
        }
        if let Some(tab) = &insert.tab {
            let name = "  its pull tab".to_owned();
            row(name, &tab.width, &tab.height, each, &insert.paper);
        }
    }
    rows
}

/// The lines of each leaf; what limits each size comes with everything.
fn in_one(leaves: &[Vec<Row>], each: &str) -> Vec<String> {
    let rows = leaves.iter().flatten();
    let papers = rows.clone().any(|row| !row[6].is_empty());
    let shown = if papers {
        &[0, 1, 2, 3, 6][..]
    } else {
        &[0, 1, 2, 3]
    };
    let few = |row: &Row| shown.iter().map(|n| row[*n].clone()).collect();
    let rows: Vec<Vec<String>> = rows.map(few).collect();
    let head: Vec<&str> = shown.iter().map(|n| head(each)[*n]).collect();
    let mut lines = columns(&head, &rows, &[2, 3], "  ").into_iter();
    let mut head = lines.next();
    let told = leaves.iter().map(|rows| {
        let own: String = lines.by_ref().take(rows.len()).collect();
        match rows.is_empty() {
            true => own,
            false => head.take().unwrap_or_default() + &own,
        }
    });
    told.collect()
}

/// The columns of a table before what limits each size: of the pieces of a leaf, and of the album's own.
const OF_LEAF: &[usize] = &[0, 1, 2, 3];
const OF_ALBUM: &[usize] = &[0, 1, 3];

/// The parts of the album itself; empty where it has none.
pub(super) fn of_album(plan: &Plan, notes: &mut Notes, detail: Detail) -> String {
    if plan.parts.is_empty() {
        return String::new();
    }
    let row = |part: &PartPlan| {
        [
            plain(&part.label),
            sides(plan.ruler, &part.width, &part.height),
            String::new(),
            part.count.to_string(),
            notes.cell(&part.width),
            notes.cell(&part.height),
            part.paper.clone().unwrap_or_default(),
        ]
    };
    let rows: Vec<Row> = plan.parts.iter().map(row).collect();
    let table = match detail {
        Detail::First if has_papers(&rows) => shown("", &rows, OF_ALBUM, &[6]),
        Detail::First => shown("", &rows, OF_ALBUM, &[]),
        Detail::All => with_limits("", &rows, OF_ALBUM),
    };
    format!("{}\n{table}", strong("Parts of the album itself"))
}

fn has_papers(rows: &[Row]) -> bool {
    rows.iter().any(|row| !row[6].is_empty())
}

/// A table of some columns.
fn shown(each: &str, rows: &[Row], first: &[usize], more: &[usize]) -> String {
    let all = [first, more].concat();
    let head: Vec<&str> = all.iter().map(|n| head(each)[*n]).collect();
    let row = |row: &Row| all.iter().map(|n| row[*n].clone()).collect();
    let rows: Vec<Vec<String>> = rows.iter().map(row).collect();
    let numbers: Vec<usize> = (2..first.len()).collect();
    table(&head, &rows, &numbers, "  ")
}

fn with_limits(each: &str, rows: &[Row], first: &[usize]) -> String {
    let text = match has_papers(rows) {
        true => shown(each, rows, first, &[4, 5, 6]),
        false => return shown(each, rows, first, &[4, 5]),
    };
    if text.lines().all(|line| line.chars().count() <= width()) {
        return text;
    }
    // Too wide for a screen: the papers on lines of their own.
    let cut = rows.iter().filter(|row| !row[6].is_empty());
    let papers = grouped(cut.map(|row| (&row[6], row[0].clone())));
    let mut text = shown(each, rows, first, &[4, 5]);
    let papers: Vec<String> = papers
        .iter()
        .map(|(paper, pieces)| format!("{} of {paper}", listed(pieces)))
        .collect();
    let said = capital(&papers.join("; "));
    text.push_str(&wrapped(&format!("{said}."), "  ", "    "));
    text
}

/// Half of what a mat leaves of the room that it lies in.
fn half_left(room: Interval, mat: Interval) -> Option<Interval> {
    let half = |a: Length, b: Length| Some(Length::from_nm(a.checked_sub(b)?.nm() / 2));
    Interval::between(
        half(room.least(), mat.most())?,
        half(room.most(), mat.least())?,
    )
}

/// How much is seen beside each mat, where it lies in the middle of what is under it.
fn reveals(ruler: Ruler, leaf: &LeafPlan, frame: &FramePlan) -> String {
    let mut said = Vec::new();
    for part in &leaf.parts {
        let Some((laid, under)) = frame.part(&part.label).zip(frame.under(&part.label)) else {
            continue;
        };
        if !laid.flat {
            continue;
        }
        let even = |near: i64, far: i64| (near - far).abs() <= 2;
        let (it, room) = (laid.area, under.area);
        let mut one = Vec::new();
        if even(it.left - room.left, room.right - it.right)
            && let Some(side) = half_left(under.width, part.width.value)
        {
            one.push(format!("{} at each side", ruler.show_interval(side)));
        }
        if even(it.low - room.low, room.high - it.high)
            && let Some(side) = half_left(under.height, part.height.value)
        {
            one.push(format!("{} above and below", ruler.show_interval(side)));
        }
        if !one.is_empty() {
            said.push(format!("{} {}", plain(&part.label), one.join(", ")));
        }
    }
    let made_of = frame.from.as_deref().unwrap_or(&frame.titles[0]);
    let made_of = capital(made_of.trim_end_matches('s'));
    match said.is_empty() {
        true => String::new(),
        false => wrapped(
            &format!("{made_of} seen beside: {}.", said.join("; ")),
            "  ",
            "    ",
        ),
    }
}

fn tucked(plan: &Plan, leaf: &LeafPlan, insert: &InsertPlan, detail: Detail) -> String {
    let ruler = plan.ruler;
    let name = &insert.name;
    let mut said = vec![format!(
        "{}: {}",
        capital(&plain(name)),
        place::place(plan, leaf, name)
    )];
    let shows = place::shows(ruler, plan, leaf, name);
    let slot = place::slot(plan, leaf, name);
    let note = slot.and_then(|slot| slot.note.clone());
    said.extend(
        shows
            .iter()
            .chain(&note)
            .map(|it| phrase::screen(ruler, it)),
    );
    said.extend(grip(insert.grip).map(str::to_owned));
    let frame = place::frame(plan, leaf);
    let hole = frame.and_then(|it| it.marks.iter().find(|mark| mark.diameter.is_some()));
    if leaf.turned
        && !place::glued(plan, leaf, name)
        && let (Some(edge), Some(hole)) = (place::bound_at(plan, leaf), hole)
    {
        let away = place::direction(place::opposite(edge));
        said.push(format!(
            "keep it to the {away}, off the {} (mirrored)",
            hole.titles[1]
        ));
    }
    let mut said = format!("{}.", said.join("; "));
    if let Some(photo) = &insert.photo {
        if let Some(print) = &photo.print {
            said.push_str(&format!(" {}", screen(ruler, &trims(print))));
        }
        if detail == Detail::First {
            return said;
        }
        let border = ruler.show_interval(photo.border_side);
        let strip = ruler.show_interval(photo.border_below);
        let above = ruler.show_interval(photo.border_above);
        let border = match border == above {
            true => format!("border {border}"),
            false => format!("border {border} at each side and {above} above"),
        };
        said.push_str(&format!(
            " Photo mat seen: {border}, caption strip {strip}."
        ));
    }
    if detail == Detail::All {
        said.push_str(&format!(" Thickness {}.", about(ruler, insert.thickness)));
    }
    said
}

/// What comes off a print, as a sentence.
pub(crate) fn trims(print: &PrintPlan) -> Phrase {
    let off = |by: Length, what: &str| Phrase::default().length(Interval::exact(by)).and(what);
    let mut all = Vec::new();
    let (left, right, end) = (print.off_left, print.off_right, print.off_end);
    match (left == Length::ZERO, right == Length::ZERO) {
        (true, true) => {}
        (false, false) if left == right => all.push(off(left, " off each side")),
        (true, false) => all.push(off(right, " off one side")),
        _ => {
            let one = off(left, " off one side and ");
            all.push(one.then(off(right, " off the other")));
        }
    }
    if end != Length::ZERO {
        all.push(off(end, " off one end"));
    }
    let lies = Phrase::words(format!("{} (", capital(&print.name)))
        .size(print.width, print.height)
        .and(if print.turned {
            ", turned on its side"
        } else {
            ""
        });
    match all.is_empty() {
        true => lies.and(") goes in as it is."),
        false => lies
            .and(") must be cut down: ")
            .then(Phrase::joined(all, ", "))
            .and("."),
    }
}

fn thickness(plan: &Plan, leaf: &LeafPlan) -> String {
    let ruler = plan.ruler;
    let in_middle = about(ruler, leaf.thickness);
    let frame = place::frame(plan, leaf);
    let mut holes = frame.iter().flat_map(|frame| &frame.marks);
    let holes = holes.find(|mark| mark.diameter.is_some());
    let mut said = match holes {
        Some(mark) => {
            let layers = layers(
                leaf,
                frame.and_then(|it| it.from.as_deref()),
                &mark.titles[0],
            );
            let at_holes = about(ruler, leaf.thickness_at_holes);
            format!(
                "Thickness: {at_holes} at the {} ({layers}), {in_middle} in the middle",
                mark.titles[1]
            )
        }
        None => format!("Thickness: {in_middle} in the middle"),
    };
    if let Some(on) = plan.ring.as_ref().and(leaf.capacity) {
        let [one, more] = place::titles(plan);
        let such = if on == 1 { one } else { more };
        said.push_str(&format!("; the ring takes {on} such {such}"));
    }
    said.push('.');
    wrapped(&said, "  ", "    ")
}

/// Layers at each hole.
fn layers(leaf: &LeafPlan, made_of: Option<&str>, hole: &str) -> String {
    let all = leaf.layers_at_holes.iter();
    let layers: Vec<String> = all.map(ToString::to_string).collect();
    let most = leaf.layers_at_holes.iter().max().copied();
    let counted = match leaf.layers_counted {
        Some(counted) if most.is_some_and(|most| most < counted) => {
            let hole = crate::text::a(hole);
            format!("; counted as {counted}, the most that {hole} can meet")
        }
        _ => String::new(),
    };
    let made_of = made_of.map_or(String::new(), |it| {
        format!(" of {}", it.trim_end_matches('s'))
    });
    format!(
        "{} layers{made_of}, lowest {hole} first{counted}",
        layers.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(off: [&str; 3], turned: bool) -> String {
        let nm = |text: &str| crate::length::parse_length(text).expect("a length");
        let [off_left, off_right, off_end] = off.map(nm);
        let print = PrintPlan {
            name: "square print".to_owned(),
            turned,
            width: Interval::exact(nm("4 in")),
            height: Interval::exact(nm("4 in")),
            off_left,
            off_right,
            off_end,
        };
        screen(Ruler::parse("1/8 in").expect("a ruler"), &trims(&print))
    }

    #[test]
    fn what_comes_off_a_print_is_told_side_by_side() {
        assert_eq!(
            told(["1/4 in", "1/4 in", "1/4 in"], false),
            "Square print (4 x 4 in) must be cut down: 1/4 in off each side, 1/4 in off one end."
        );
        assert_eq!(
            told(["1/8 in", "1/4 in", "0 in"], true),
            "Square print (4 x 4 in, turned on its side) must be cut down: 1/8 in off one side and 1/4 in off the other."
        );
        assert_eq!(
            told(["0 in", "1/8 in", "0 in"], false),
            "Square print (4 x 4 in) must be cut down: 1/8 in off one side."
        );
        assert_eq!(
            told(["0 in"; 3], false),
            "Square print (4 x 4 in) goes in as it is."
        );
    }
}
