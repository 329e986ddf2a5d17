//! One kind of leaf: its pieces, what is tucked in, how thick it is.

use super::fit::Detail;
use super::notes::Notes;
use super::words::{
    WIDTH, about, capital, grip, listed, plain, sides, size, strong, table, wrapped,
};
use super::{From, phrase, place};
use crate::length::{Interval, Length, Ruler};
use crate::plan::frames::FramePlan;
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
    let mut text = format!("{}\n", strong(wrapped(&head, "", "  ").trim_end()));
    text.push_str(&pieces(ruler, leaf, notes, detail));
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
    for insert in &leaf.inserts {
        text.push_str(&tucked(plan, leaf, insert, detail));
    }
    if detail == Detail::All {
        text.push_str(&thickness(plan, leaf));
    }
    text
}

fn pieces(ruler: Ruler, leaf: &LeafPlan, notes: &mut Notes, detail: Detail) -> String {
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
    if detail == Detail::First {
        // What limits each size comes with everything.
        let few = |row: &Vec<String>| [0, 1, 2, 3, 6].map(|n| row[n].clone()).to_vec();
        let rows: Vec<Vec<String>> = rows.iter().map(few).collect();
        let columns = match rows.iter().all(|row| row[4].is_empty()) {
            true => &["Piece", "Width x height", "A leaf", "In all"][..],
            false => &["Piece", "Width x height", "A leaf", "In all", "Paper"][..],
        };
        return table(columns, &rows, &[2, 3], "  ");
    }
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
            said.push_str(&format!(" {}", capital(&trims(ruler, print))));
        }
        if detail == Detail::First {
            return wrapped(&said, "  ", "    ");
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
            format!("; counted as {counted}, the most that a {hole} can meet")
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
