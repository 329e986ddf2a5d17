//! What to buy and what to cut, to be ticked off.

use super::said::{length, plain, sized};
use super::{Block, Bullet, Section, Table, sheets, steps, tidied, tidy};
use crate::album::Album;
use crate::cut::{Answer, Want};
use crate::plan::Plan;
use crate::report::place;
use crate::report::words::{capital, count};
use crate::style::parts::Edge;

/// What has to be on the table is called so.
pub const TABLE: &str = "What to have on the table";

/// What to have or to buy, and the tools: two columns.
pub fn table(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> [Vec<Block>; 2] {
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
            "{}: {}, {}{}, and some to try on",
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
    if let Some(answer) = answer {
        things.extend(sheets::summary(ruler, answer));
    }
    let lists = [("To have or to buy", things), ("Tools", tools(plan))];
    lists.map(|(title, items)| {
        tidied(vec![
            Block::Heading(title.to_owned()),
            Block::List(Bullet::Tick, items),
        ])
    })
}

/// What is worked with.
fn tools(plan: &Plan) -> Vec<String> {
    let step = plan.ruler.show_typographic(plan.ruler.step());
    let mut tools = vec![
        format!("Ruler with steps of {step}, and a steel ruler to cut along"),
        "Trimmer, or a knife with a fresh blade and a cutting mat".to_owned(),
    ];
    tools.extend(steps::needs(plan));
    tools
}

/// The pieces of a plan of one leaf, and the tools.
pub fn of_one(album: &Album, plan: &Plan) -> Vec<Block> {
    let ruler = plan.ruler;
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |what: String, width, height, of: Option<&str>| {
        let of = of.unwrap_or_default().to_owned();
        rows.push(vec![what, sized(ruler, width, height), of]);
    };
    let several = |what: String, count: i64| match count {
        1 => what,
        n => format!("{n} of {what}"),
    };
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        let bag = album.supplies.bags.get(said.bag);
        if let Some(bag) = bag {
            row("bag".to_owned(), bag.width, bag.height, Some(&bag.name));
        }
        for part in &leaf.parts {
            let what = several(plain(&part.label), part.count);
            let (width, height) = (part.width.value, part.height.value);
            row(what, width, height, part.paper.as_deref());
        }
        for insert in &leaf.inserts {
            let what = several(plain(&insert.name), insert.count);
            let (width, height) = (insert.width.value, insert.height.value);
            row(what, width, height, insert.paper.as_deref());
            if let Some(photo) = &insert.photo {
                let print = photo.print.as_ref().map(|print| print.name.as_str());
                let what = several(format!("photo on {}", plain(&insert.name)), insert.count);
                row(what, photo.width.value, photo.height.value, print);
            }
        }
    }
    let lower = |tool: String| {
        let mut letters = tool.chars();
        let first = letters.next().map(|it| it.to_lowercase().to_string());
        first.unwrap_or_default() + letters.as_str()
    };
    let tools = tools(plan).into_iter().map(lower).collect::<Vec<_>>();
    let pieces = Block::Table(Table {
        head: ["Piece", "Width × height", "Of"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        bold: vec![1],
        tick: true,
        ..Table::default()
    });
    tidied(vec![
        Block::Heading("Your pieces".to_owned()),
        pieces,
        Block::Text(format!("And: {}.", tools.join("; "))),
    ])
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
pub fn across(plan: &Plan) -> String {
    let one = place::titles(plan)[0];
    let mut frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let edges = frames.next().map_or(String::new(), |frame| {
        let [left, right] = [Edge::Left, Edge::Right].map(|edge| place::edge(frame, edge));
        format!(", from {left} to {right}")
    });
    format!("Width first: it lies across the {one}{edges}.")
}

/// One size of one paper: what for, and how many.
struct Row {
    paper: String,
    size: String,
    count: i64,
    /// Pieces, each with the leaves that have it.
    what: Vec<(String, Vec<String>)>,
    sheets: String,
}

/// Every piece with its size, to be ticked off, paper by paper.
pub fn cutting(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Section {
    let ruler = plan.ruler;
    let mut rows: Vec<Row> = Vec::new();
    let mut row = |paper: &str, size: String, n: i64, (what, leaf): (String, &str), sheets| {
        let alike = |it: &&mut Row| {
            (&it.paper, &it.size, &it.sheets) == (&paper.to_owned(), &size, &sheets)
        };
        let leaf = Some(leaf.to_owned()).filter(|leaf| !leaf.is_empty());
        match rows.iter_mut().find(alike) {
            Some(same) => {
                same.count = same.count.saturating_add(n);
                match same.what.iter_mut().find(|(known, _)| *known == what) {
                    Some((_, leaves)) => leaves.extend(leaf),
                    None => same.what.push((what, leaf.into_iter().collect())),
                }
            }
            None => rows.push(Row {
                paper: paper.to_owned(),
                size,
                count: n,
                what: vec![(what, leaf.into_iter().collect())],
                sheets,
            }),
        }
    };
    let on_sheets = |leaf: &str, name: &str| {
        let is = |want: &Want| {
            let of = want.leaf.is_empty() || want.leaf == leaf;
            of && plain(&want.name) == plain(name)
        };
        answer.map_or(String::new(), |answer| sheets::of_want(answer, &is))
    };
    let any = "any";
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            row(
                part.paper.as_deref().unwrap_or(any),
                sized(ruler, part.width.value, part.height.value),
                leaf.count.saturating_mul(part.count),
                (plain(&part.label), &leaf.name),
                on_sheets(&leaf.name, &part.label),
            );
        }
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            // Ready-made: nothing to cut.
            if said.card.is_none() {
                row(
                    insert.paper.as_deref().unwrap_or(any),
                    sized(ruler, insert.width.value, insert.height.value),
                    leaf.count.saturating_mul(insert.count),
                    (plain(&insert.name), &leaf.name),
                    on_sheets(&leaf.name, &insert.name),
                );
            }
        }
    }
    for part in &plan.parts {
        row(
            part.paper.as_deref().unwrap_or(any),
            sized(ruler, part.width.value, part.height.value),
            part.count,
            (place::of_album(plan, part), ""),
            on_sheets("", &part.label),
        );
    }
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            row(
                "photo prints",
                sized(ruler, photo.width.value, photo.height.value),
                leaf.count.saturating_mul(insert.count),
                (format!("photo on {}", plain(&insert.name)), &leaf.name),
                String::new(),
            );
        }
    }
    let mut papers: Vec<String> = Vec::new();
    for row in &rows {
        if !papers.contains(&row.paper) {
            papers.push(row.paper.clone());
        }
    }
    rows.sort_by_key(|row| papers.iter().position(|paper| *paper == row.paper));
    let several = plan.leaves.len() > 1;
    let mut last = String::new();
    let rows = rows.into_iter().map(|row| {
        let what = row
            .what
            .iter()
            .map(|(what, leaves)| match leaves.is_empty() || !several {
                true => what.clone(),
                false => format!("{}: {what}", leaves.join(", ")),
            });
        let paper = match row.paper == last {
            true => String::new(),
            false => row.paper.clone(),
        };
        last.clone_from(&row.paper);
        let what: Vec<String> = what.collect();
        let mut cells = vec![paper, row.count.to_string(), row.size, what.join("; ")];
        cells.extend(answer.map(|_| row.sheets));
        cells
    });
    let mut head = vec!["Paper", "Pieces", "Width × height", "For"];
    head.extend(answer.map(|_| "Sheet"));
    let table = Table {
        head: head.into_iter().map(str::to_owned).collect(),
        rows: rows.collect(),
        numbers: vec![1],
        bold: vec![2],
        tick: true,
        grouped: true,
        ..Table::default()
    };
    tidy(Section {
        title: "What to cut".to_owned(),
        blocks: vec![Block::Table(table)],
    })
}
