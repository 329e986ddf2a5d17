//! What to buy and what to cut, to be ticked off.

use super::said::{length, plain, sized};
use super::{Block, Bullet, Section, Table, sheets, steps, tidy};
use crate::album::Album;
use crate::cut::Answer;
use crate::length::Interval;
use crate::plan::Plan;
use crate::report::leaf::trims;
use crate::report::place;
use crate::report::words::{capital, count};
use crate::style::parts::Edge;

/// What has to be on the table.
pub fn shopping(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Section {
    let ruler = plan.ruler;
    let supplies = &album.supplies;
    let mut things: Vec<String> = Vec::new();
    let mut bags: Vec<(usize, i64)> = Vec::new();
    for leaf in &album.leaves {
        match bags.iter_mut().find(|(bag, _)| *bag == leaf.bag) {
            Some((_, n)) => *n += leaf.count,
            None => bags.push((leaf.bag, leaf.count)),
        }
    }
    for (bag, n) in bags {
        let bag = &supplies.bags[bag];
        let packs = bag.pack.filter(|pack| *pack > 0).map(|pack| {
            let packs = (n + pack - 1) / pack;
            format!(" ({} of {pack})", count(packs, "pack", "packs"))
        });
        things.push(format!(
            "{}: {}, {} flat{}, and some to try on",
            capital(&bag.name),
            count(n, "bag", "bags"),
            sized(ruler, bag.width, bag.height),
            packs.unwrap_or_default()
        ));
    }
    if answer.is_none() {
        things.extend(papers(album, plan));
    }
    for (name, n, size) in prints(plan) {
        things.push(format!(
            "{}: {} of {size}",
            capital(&name),
            count(n, "print", "prints")
        ));
    }
    for (leaf, planned) in album.leaves.iter().zip(&plan.leaves) {
        for insert in &leaf.inserts {
            let Some(card) = insert.card.and_then(|c| supplies.cards.get(c)) else {
                continue;
            };
            let n = leaf.count.saturating_mul(insert.count);
            things.push(format!(
                "{}: {} of {} for {} ({})",
                capital(&card.name),
                count(n, "card", "cards"),
                sized(ruler, card.width, card.height),
                plain(&insert.name),
                planned.name
            ));
        }
    }
    let holes = plan.holes.heights.len() as i64;
    if let Some(ring) = &plan.ring {
        let wire = ring
            .wire
            .map_or(String::new(), |w| format!(", wire {}", length(ruler, w)));
        things.push(format!(
            "{}: {}, {} inside{wire}",
            capital(&ring.name),
            count(holes, "ring", "rings"),
            length(ruler, ring.inside)
        ));
    } else if plan.takes_rings {
        things.push(format!(
            "{} that take the stack at the holes",
            count(holes, "loose ring", "loose rings")
        ));
    }
    let mut tools = vec![
        format!(
            "Ruler with steps of {}, and a steel ruler to cut along",
            ruler.show_typographic(ruler.step())
        ),
        "Trimmer, or a knife with a fresh blade and a cutting mat".to_owned(),
    ];
    tools.extend(steps::needs(plan));
    let eyelets = album.template.eyelet.filter(|_| holes > 0).map(|eyelet| {
        let leaves: i64 = plan.leaves.iter().map(|l| l.count).sum();
        format!(
            "Eyelets, {} outside: {} for each {}, {} in all",
            length(ruler, eyelet),
            holes,
            place::titles(plan)[0],
            holes.saturating_mul(leaves)
        )
    });
    things.extend(eyelets);
    let mut blocks = vec![
        Block::Heading("Materials".to_owned()),
        Block::List(Bullet::Tick, things),
    ];
    if let Some(answer) = answer {
        blocks.push(Block::Heading("Papers".to_owned()));
        blocks.extend(sheets::summary(ruler, answer));
    }
    blocks.push(Block::Heading("Tools".to_owned()));
    blocks.push(Block::List(Bullet::Tick, tools));
    tidy(Section {
        title: "What to have on the table".to_owned(),
        blocks,
    })
}

/// Papers with the number of pieces that come out of each.
fn papers(album: &Album, plan: &Plan) -> Vec<String> {
    let ruler = plan.ruler;
    let mut pieces: Vec<(String, i64)> = Vec::new();
    let mut add = |name: &Option<String>, n: i64| {
        let name = name.clone().unwrap_or_default();
        match pieces.iter_mut().find(|(paper, _)| *paper == name) {
            Some((_, all)) => *all = all.saturating_add(n),
            None => pieces.push((name, n)),
        }
    };
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            add(&part.paper, leaf.count.saturating_mul(part.count));
        }
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            if said.card.is_none() {
                add(&insert.paper, leaf.count.saturating_mul(insert.count));
            }
        }
    }
    for part in &plan.parts {
        add(&part.paper, part.count);
    }
    let mut said = Vec::new();
    for (name, n) in pieces {
        let pieces = count(n, "piece", "pieces");
        let sheet = album.supplies.papers.iter().find(|p| p.name == name);
        said.push(match sheet {
            Some(paper) => format!(
                "{}: sheets of {} for {pieces}{}",
                capital(&name),
                sized(ruler, paper.width, paper.height),
                if paper.directed {
                    "; its print has a top, so pieces are not turned"
                } else {
                    ""
                }
            ),
            None => format!("Paper or card of your choice for {pieces}"),
        });
    }
    said
}

/// Prints that photos are trimmed from: name, how many, size.
fn prints(plan: &Plan) -> Vec<(String, i64, String)> {
    let mut all: Vec<(String, i64, String)> = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            let n = leaf.count.saturating_mul(insert.count);
            let (name, size) = match &photo.print {
                Some(print) => {
                    // As it is bought, not as it lies.
                    let (a, b) = match print.turned {
                        true => (print.height, print.width),
                        false => (print.width, print.height),
                    };
                    (print.name.clone(), sized(plan.ruler, a, b))
                }
                None => (
                    "photo".to_owned(),
                    format!(
                        "{} or larger",
                        sized(plan.ruler, photo.width.value, photo.height.value)
                    ),
                ),
            };
            match all.iter_mut().find(|(a, _, s)| (a, s) == (&name, &size)) {
                Some((_, sum, _)) => *sum = sum.saturating_add(n),
                None => all.push((name, n, size)),
            }
        }
    }
    all
}

/// Which way round the sizes are.
fn across(plan: &Plan) -> String {
    let one = place::titles(plan)[0];
    let mut frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let edges = frames.next().map_or(String::new(), |frame| {
        let [left, right] = [Edge::Left, Edge::Right].map(|edge| place::edge(frame, edge));
        format!(", from {left} to {right}")
    });
    format!(
        "Cut one piece of each kind first and lay it on its {one}; then cut the others. Width first: it lies across the {one}{edges}."
    )
}

/// Every piece with its size, to be ticked off.
pub fn cutting(album: &Album, plan: &Plan) -> Section {
    let ruler = plan.ruler;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |paper: &Option<String>, width: Interval, height: Interval, n: i64, what| {
        rows.push(vec![
            paper.clone().unwrap_or_else(|| "any".to_owned()),
            sized(ruler, width, height),
            n.to_string(),
            what,
        ]);
    };
    let mut photos = Vec::new();
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            let what = format!("{}: {}", leaf.name, plain(&part.label));
            let n = leaf.count.saturating_mul(part.count);
            row(&part.paper, part.width.value, part.height.value, n, what);
        }
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            let n = leaf.count.saturating_mul(insert.count);
            if said.card.is_some() {
                // Ready-made: nothing to cut.
                continue;
            }
            let place = place::place(plan, leaf, &insert.name);
            let what = format!("{}: {} ({place})", leaf.name, plain(&insert.name));
            row(
                &insert.paper,
                insert.width.value,
                insert.height.value,
                n,
                what,
            );
            if let Some(photo) = &insert.photo {
                let trim = photo
                    .print
                    .as_ref()
                    .map_or("From a print of your choice.".to_owned(), |print| {
                        capital(&trims(ruler, print))
                    });
                photos.push(vec![
                    sized(ruler, photo.width.value, photo.height.value),
                    n.to_string(),
                    format!("{}: on {}. {trim}", leaf.name, plain(&insert.name)),
                ]);
            }
        }
    }
    for part in &plan.parts {
        let (width, height) = (part.width.value, part.height.value);
        row(
            &part.paper,
            width,
            height,
            part.count,
            place::of_album(plan, part),
        );
    }
    rows.sort_by(|a, b| a[0].cmp(&b[0]));
    let heads = |heads: &[&str]| heads.iter().map(|h| (*h).to_owned()).collect();
    let mut blocks = vec![
        Block::Text(across(plan)),
        Block::Table(Table {
            head: heads(&["Paper", "Width × height", "Pieces", "For"]),
            rows,
            numbers: vec![2],
            tick: true,
            ..Table::default()
        }),
    ];
    if !photos.is_empty() {
        blocks.push(Block::Heading("Photos".to_owned()));
        blocks.push(Block::Table(Table {
            head: heads(&["Width × height", "Photos", "How"]),
            rows: photos,
            numbers: vec![1],
            tick: true,
            ..Table::default()
        }));
    }
    tidy(Section {
        title: "What to cut".to_owned(),
        blocks,
    })
}
