//! One kind of leaf: its pieces, what is tucked in, how thick it is.

use super::fit::Detail;
use super::notes::Notes;
use super::words::{
    WIDTH, about, capital, count, grip, listed, plain, shows, sides, size, strong, table, wrapped,
};
use super::{From, facts};
use crate::length::{Interval, Length, Ruler};
use crate::plan::Where;
use crate::plan::leaf::PrintPlan;
use crate::plan::{InsertPlan, LeafPlan, Plan};

pub(super) fn text(
    from: From<'_>,
    plan: &Plan,
    leaf: &LeafPlan,
    notes: &mut Notes,
    detail: Detail,
) -> String {
    let ruler = plan.ruler;
    let turned = if leaf.turned {
        "; turned, its plain back outside"
    } else {
        ""
    };
    let bag = size(ruler, leaf.width, leaf.height);
    let head = match from.bag {
        true => format!("One leaf, a bag of {bag}"),
        false => format!(
            "{}: {} of {}, {bag}{turned}",
            capital(&leaf.name),
            count(leaf.count, "leaf", "leaves"),
            leaf.bag,
        ),
    };
    let mut text = format!("{}\n", strong(wrapped(&head, "", "  ").trim_end()));
    text.push_str(&pieces(ruler, leaf, notes));
    for part in &leaf.parts {
        if let Some(run) = part.runs_under {
            let said = format!(
                "{} runs {} under the pocket's edge.",
                capital(&plain(&part.label)),
                ruler.show_interval(run)
            );
            text.push_str(&wrapped(&said, "  ", "    "));
        }
    }
    let loose = !leaf.width.is_exact() || !leaf.height.is_exact();
    if loose || detail == Detail::All {
        text.push_str(&reveals(ruler, leaf));
    }
    for insert in &leaf.inserts {
        text.push_str(&tucked(ruler, leaf, insert, detail));
    }
    text.push_str(&thickness(plan, leaf));
    text
}

fn pieces(ruler: Ruler, leaf: &LeafPlan, notes: &mut Notes) -> String {
    let mut rows = Vec::new();
    let mut row = |name: String, width, height, each: i64, paper: &Option<String>| {
        let held = (notes.cell(width), notes.cell(height));
        rows.push(vec![
            name,
            sides(ruler, width, height),
            each.to_string(),
            each.saturating_mul(leaf.count).to_string(),
            held.0,
            held.1,
            paper.clone().unwrap_or_default(),
        ]);
    };
    for part in &leaf.parts {
        row(
            plain(&part.label),
            &part.width,
            &part.height,
            1,
            &part.paper,
        );
    }
    for insert in &leaf.inserts {
        row(
            plain(&insert.name),
            &insert.width,
            &insert.height,
            insert.count,
            &insert.paper,
        );
        if let Some(photo) = &insert.photo {
            row(
                "  its photo".to_owned(),
                &photo.width,
                &photo.height,
                insert.count,
                &None,
            );
        }
    }
    let head = [
        "Piece",
        "Width x height",
        "A leaf",
        "In all",
        "Width by",
        "Height by",
        "Paper",
    ];
    let columns = match rows.iter().all(|row| row[6].is_empty()) {
        true => &head[..6],
        false => &head[..],
    };
    let text = table(columns, &rows, &[2, 3], "  ");
    if text.lines().all(|line| line.chars().count() <= WIDTH) {
        return text;
    }
    // Too wide for a screen: the papers on lines of their own.
    let mut papers: Vec<(String, Vec<String>)> = Vec::new();
    for row in rows.iter().filter(|row| !row[6].is_empty()) {
        match papers.iter_mut().find(|(paper, _)| *paper == row[6]) {
            Some((_, pieces)) => pieces.push(row[0].clone()),
            None => papers.push((row[6].clone(), vec![row[0].clone()])),
        }
    }
    let narrow: Vec<Vec<String>> = rows.iter().map(|row| row[..6].to_vec()).collect();
    let mut text = table(&head[..6], &narrow, &[2, 3], "  ");
    let papers: Vec<String> = papers
        .iter()
        .map(|(paper, pieces)| format!("{} of {paper}", listed(pieces)))
        .collect();
    if !papers.is_empty() {
        let said = capital(&papers.join("; "));
        text.push_str(&wrapped(&format!("{said}."), "  ", "    "));
    }
    text
}

/// Half of what a mat leaves of a bag.
fn half_left(bag: Interval, mat: Interval) -> Option<Interval> {
    let half = |a: Length, b: Length| Some(Length::from_nm(a.checked_sub(b)?.nm() / 2));
    Interval::between(
        half(bag.least(), mat.most())?,
        half(bag.most(), mat.least())?,
    )
}

/// How much of the bag is seen beside each mat.
fn reveals(ruler: Ruler, leaf: &LeafPlan) -> String {
    let mut said = Vec::new();
    for part in leaf.parts.iter().filter(|p| p.label != "band") {
        let mut one = Vec::new();
        if let Some(side) = half_left(leaf.width, part.width.value) {
            one.push(format!("{} at each side", ruler.show_interval(side)));
        }
        let above = match (part.label.as_str(), leaf.pocket_edge) {
            ("pocket_mat", Some(edge)) => {
                half_left(edge, part.height.value).map(|r| (r, "above and below"))
            }
            ("back_mat", _) => {
                half_left(leaf.height, part.height.value).map(|r| (r, "at head and tail"))
            }
            _ => None,
        };
        if let Some((reveal, at)) = above {
            one.push(format!("{} {at}", ruler.show_interval(reveal)));
        }
        if !one.is_empty() {
            said.push(format!("{} {}", plain(&part.label), one.join(", ")));
        }
    }
    match said.is_empty() {
        true => String::new(),
        false => wrapped(
            &format!("Bag seen beside: {}.", said.join("; ")),
            "  ",
            "    ",
        ),
    }
}

/// Where an insert goes.
pub(super) fn place(insert: &InsertPlan) -> &'static str {
    match (insert.goes, insert.section.as_str()) {
        (Where::Mouth, "front") => "front slot",
        (Where::Mouth, "back") => "back slot",
        (Where::Mouth, _) => "mouth",
        (Where::Pocket, _) => "pocket",
        (Where::Band, _) => "under the band",
        (Where::Back, _) => "glued on the back",
    }
}

/// What an insert stands on, if that is no part of the bag.
pub(super) fn stands(leaf: &LeafPlan, insert: &InsertPlan) -> Option<&'static str> {
    let banded = leaf.parts.iter().any(|part| part.label == "band");
    (banded && insert.goes == Where::Band).then_some("stands on a stop at the tail")
}

fn tucked(ruler: Ruler, leaf: &LeafPlan, insert: &InsertPlan, detail: Detail) -> String {
    let edge = match insert.goes {
        Where::Mouth => "the mouth",
        Where::Pocket => "the pocket's edge",
        Where::Band | Where::Back => "the head",
    };
    let mut said = format!("{}: {}", capital(&plain(&insert.name)), place(insert));
    if let Some(show) = insert.shows {
        said.push_str(&format!("; {}", shows(ruler, show, edge)));
    }
    if let Some(stands) = stands(leaf, insert) {
        said.push_str(&format!("; {stands}"));
    }
    if let Some(grip) = grip(insert.grip) {
        said.push_str(&format!("; {grip}"));
    }
    if leaf.turned && insert.goes != Where::Back {
        said.push_str("; keep it to the left, off the holes (mirrored)");
    }
    said.push('.');
    if let Some(photo) = &insert.photo {
        if let Some(print) = &photo.print {
            said.push_str(&format!(" {}", capital(&trims(ruler, print))));
        }
        let border = ruler.show_interval(photo.border_side);
        let strip = ruler.show_interval(photo.caption_strip);
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
    wrapped(&said, "  ", "    ")
}

/// What comes off a print, as a sentence.
pub(super) fn trims(ruler: Ruler, print: &PrintPlan) -> String {
    let mut off = Vec::new();
    let (left, right, end) = (print.off_left, print.off_right, print.off_end);
    match (left == Length::ZERO, right == Length::ZERO) {
        (true, true) => {}
        (false, false) if left == right => off.push(format!("{} off each side", ruler.show(left))),
        (true, false) => off.push(format!("{} off one side", ruler.show(right))),
        _ => off.push(format!(
            "{} off one side and {} off the other",
            ruler.show(left),
            ruler.show(right)
        )),
    }
    if end != Length::ZERO {
        off.push(format!("{} off one end", ruler.show(end)));
    }
    let turned = if print.turned {
        ", turned on its side"
    } else {
        ""
    };
    let lies = size(ruler, print.width, print.height);
    match off.is_empty() {
        true => format!("{} ({lies}{turned}) goes in as it is.", print.name),
        false => format!(
            "{} ({lies}{turned}) must be cut down: {}.",
            print.name,
            off.join(", ")
        ),
    }
}

fn thickness(plan: &Plan, leaf: &LeafPlan) -> String {
    let ruler = plan.ruler;
    let layers: Vec<String> = leaf
        .layers_at_holes
        .iter()
        .map(ToString::to_string)
        .collect();
    let most = leaf.layers_at_holes.iter().max().copied();
    let counted = match leaf.layers_counted {
        Some(counted) if most.is_some_and(|most| most < counted) => {
            format!("; counted as {counted}, the most that a hole can meet")
        }
        _ => String::new(),
    };
    let mut said = format!(
        "Thickness: {} at the holes ({} layers of bag, lowest hole first{counted}), {} in the middle",
        about(ruler, leaf.thickness_at_holes),
        layers.join(", "),
        about(ruler, leaf.thickness),
    );
    if let Some(ring) = &plan.ring {
        let on = facts::leaves_on(ring, plan, leaf);
        let leaves = count(on, "such leaf", "such leaves");
        said.push_str(&format!("; the ring takes {leaves}"));
    }
    said.push('.');
    wrapped(&said, "  ", "    ")
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
        trims(Ruler::parse("1/8 in").expect("a ruler"), &print)
    }

    #[test]
    fn what_comes_off_a_print_is_told_side_by_side() {
        assert_eq!(
            told(["1/4 in", "1/4 in", "1/4 in"], false),
            "square print (4 x 4 in) must be cut down: 1/4 in off each side, 1/4 in off one end."
        );
        assert_eq!(
            told(["1/8 in", "1/4 in", "0 in"], true),
            "square print (4 x 4 in, turned on its side) must be cut down: 1/8 in off one side and 1/4 in off the other."
        );
        assert_eq!(
            told(["0 in", "1/8 in", "0 in"], false),
            "square print (4 x 4 in) must be cut down: 1/8 in off one side."
        );
        assert_eq!(
            told(["0 in"; 3], false),
            "square print (4 x 4 in) goes in as it is."
        );
    }
}
