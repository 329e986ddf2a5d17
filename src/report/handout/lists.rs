//! What to buy and what to cut, to be ticked off.

use super::said::{gauged, plain, sized};
use super::{Block, Bullet, Section, Table, sheets, steps, tidied, tidy};
use crate::album::Album;
use crate::cut::{Answer, Want};
use crate::length::Interval;
use crate::plan::leaf::PrintPlan;
use crate::plan::{Plan, SizePlan};
use crate::report::place;
use crate::report::words::{capital, count};
use crate::style::parts::Edge;
use crate::text::summed;

/// What has to be on the table is called so.
pub const TABLE: &str = "What to have on the table";

/// What to have or to buy, and the tools: two columns.
pub fn table(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> [Vec<Block>; 2] {
    let mut things = bags(album, plan);
    if answer.is_none() {
        things.extend(papers(album, plan));
    }
    things.extend(prints(plan).into_iter().map(|((name, size), n)| {
        let prints = count(n, "print", "prints");
        format!("{}: {prints} of {size}", capital(&name))
    }));
    things.extend(cards(album, plan));
    things.extend(rings(plan));
    things.extend(plan.eyelet(album).and_then(|it| eyelets(plan, it)));
    if let Some(answer) = answer {
        things.extend(sheets::summary(plan.ruler, answer));
    }
    let lists = [("To have or to buy", things), ("Tools", tools(plan))];
    lists.map(|(title, items)| {
        tidied(vec![
            Block::Heading(title.to_owned()),
            Block::List(Bullet::Tick, items),
        ])
    })
}

fn bags(album: &Album, plan: &Plan) -> Vec<String> {
    let (ruler, [one, more]) = (plan.ruler, place::supply(plan));
    let all = summed(album.leaves.iter().map(|leaf| (leaf.bag, leaf.count)));
    let said = all.into_iter().map(|(bag, n)| {
        let bag = &album.supplies.bags[bag];
        let packs = bag.pack.filter(|pack| *pack > 0).map(|pack| {
            let packs = (n + pack - 1) / pack;
            format!(" ({} of {pack})", count(packs, "pack", "packs"))
        });
        format!(
            "{}: {}, {}{}, and some to try on",
            capital(&bag.name),
            count(n, one, more),
            sized(ruler, bag.width, bag.height),
            packs.unwrap_or_default()
        )
    });
    said.collect()
}

fn cards(album: &Album, plan: &Plan) -> Vec<String> {
    let leaves = album.leaves.iter().zip(&plan.leaves);
    let said = leaves.flat_map(|(leaf, planned)| {
        leaf.inserts.iter().filter_map(move |insert| {
            let card = album.supplies.cards.get(insert.card?)?;
            let n = leaf.count.saturating_mul(insert.count);
            Some(format!(
                "{}: {} of {} for {} ({})",
                capital(&card.name),
                count(n, "card", "cards"),
                sized(plan.ruler, card.width, card.height),
                plain(&insert.name),
                planned.name
            ))
        })
    });
    said.collect()
}

fn rings(plan: &Plan) -> Option<String> {
    let (ruler, rings) = (plan.ruler, plan.rings() as i64);
    let Some(ring) = &plan.ring else {
        let rings = count(rings, "loose ring", "loose rings");
        let said = || format!("{rings} that take the stack at the holes");
        return plan.takes_rings.then(said);
    };
    let wire = ring.wire.map(|it| format!(", wire {}", gauged(ruler, it)));
    Some(format!(
        "{}: {}, {} inside{}",
        capital(&ring.name),
        count(rings, "ring", "rings"),
        gauged(ruler, ring.inside),
        wire.unwrap_or_default()
    ))
}

fn eyelets(plan: &Plan, eyelet: Interval) -> Option<String> {
    let holes = plan.holes.heights.len() as i64;
    let leaves: i64 = plan.leaves.iter().map(|leaf| leaf.count).sum();
    let all = holes.saturating_mul(leaves);
    let (outside, one) = (gauged(plan.ruler, eyelet), place::titles(plan)[0]);
    let said = || format!("Eyelets, {outside} outside: {holes} for each {one}, {all} in all");
    (holes > 0).then(said)
}

/// What is worked with.
pub fn tools(plan: &Plan) -> Vec<String> {
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
            row(
                place::supply(plan)[0].to_owned(),
                bag.width,
                bag.height,
                Some(&bag.name),
            );
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
            if let Some(tab) = &insert.tab {
                let what = several(tab.of(&plain(&insert.name)), insert.count);
                let paper = insert.paper.as_deref();
                row(what, tab.width.value, tab.height.value, paper);
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
        bold: vec![1],
        tick: true,
        ..Table::new(&["Piece", "Width × height", "Of"], rows)
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
    let mut pieces = Vec::new();
    let mut add =
        |name: &Option<String>, n: i64| pieces.push((name.clone().unwrap_or_default(), n));
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        for part in &leaf.parts {
            add(&part.paper, leaf.count.saturating_mul(part.count));
        }
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            let count = leaf.count.saturating_mul(insert.count);
            let pieces = i64::from(said.card.is_none()) + i64::from(insert.tab.is_some());
            if pieces > 0 {
                add(&insert.paper, count.saturating_mul(pieces));
            }
        }
    }
    for part in &plan.parts {
        add(&part.paper, part.count);
    }
    let mut said = Vec::new();
    for (name, n) in summed(pieces) {
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

/// Prints that photos are trimmed from: name, size, how many.
fn prints(plan: &Plan) -> Vec<((String, String), i64)> {
    let mut all = Vec::new();
    for leaf in &plan.leaves {
        for insert in &leaf.inserts {
            let Some(photo) = &insert.photo else { continue };
            let n = leaf.count.saturating_mul(insert.count);
            let print = match &photo.print {
                Some(print) => (print.name.clone(), bought(plan, print)),
                None => (
                    "photo".to_owned(),
                    format!(
                        "{} or larger",
                        sized(plan.ruler, photo.width.value, photo.height.value)
                    ),
                ),
            };
            all.push((print, n));
        }
    }
    summed(all)
}

/// The size of a print as it is bought, not as it lies.
fn bought(plan: &Plan, print: &PrintPlan) -> String {
    match print.turned {
        true => sized(plan.ruler, print.height, print.width),
        false => sized(plan.ruler, print.width, print.height),
    }
}

/// Which way round the sizes are.
pub fn across(plan: &Plan) -> String {
    if plan.leaves.is_empty() {
        return "Width first, from left to right.".to_owned();
    }
    let one = place::titles(plan)[0];
    let mut frames = plan.frames.iter().filter(|frame| frame.leaf.is_some());
    let edges = frames.next().map_or(String::new(), |frame| {
        let [left, right] = [Edge::Left, Edge::Right].map(|edge| place::edge(frame, edge));
        format!(", from {left} to {right}")
    });
    format!("Width first: it lies across the {one}{edges}.")
}

/// What a piece is cut from.
enum Source<'a> {
    /// Sheets: its name in the cutting plan.
    Sheets(&'a str),
    /// What is left of them.
    Offcuts,
    Print,
}

/// Pieces of one size for one part of an album.
struct Piece<'a> {
    paper: &'a str,
    size: String,
    count: i64,
    what: String,
    /// Empty for a part of the album itself.
    leaf: &'a str,
    from: Source<'a>,
}

/// Everything that is cut: leaf by leaf, then for the album itself, then photos, which in a kit are prints that
/// nobody has trimmed yet.
fn pieces<'a>(album: &Album, plan: &'a Plan, in_kit: bool) -> Vec<Piece<'a>> {
    let size = |it: [&SizePlan; 2]| sized(plan.ruler, it[0].value, it[1].value);
    let paper = |of: &'a Option<String>| of.as_deref().unwrap_or("any");
    let mut all = Vec::new();
    for (leaf, said) in plan.leaves.iter().zip(&album.leaves) {
        all.extend(leaf.parts.iter().map(|part| Piece {
            paper: paper(&part.paper),
            size: size([&part.width, &part.height]),
            count: leaf.count.saturating_mul(part.count),
            what: plain(&part.label),
            leaf: &leaf.name,
            from: Source::Sheets(&part.label),
        }));
        let tabs = leaf.inserts.iter();
        let tabs = tabs.filter_map(|insert| Some((insert, insert.tab.as_ref()?)));
        all.extend(tabs.map(|(insert, tab)| Piece {
            paper: paper(&insert.paper),
            size: size([&tab.width, &tab.height]),
            count: leaf.count.saturating_mul(insert.count),
            what: tab.of(&plain(&insert.name)),
            leaf: &leaf.name,
            from: Source::Offcuts,
        }));
        // What is ready-made is not cut.
        let own = leaf.inserts.iter().zip(&said.inserts);
        let own = own.filter(|(_, said)| said.card.is_none());
        all.extend(own.map(|(insert, _)| Piece {
            paper: paper(&insert.paper),
            size: size([&insert.width, &insert.height]),
            count: leaf.count.saturating_mul(insert.count),
            what: plain(&insert.name),
            leaf: &leaf.name,
            from: Source::Sheets(&insert.name),
        }));
    }
    all.extend(plan.parts.iter().map(|part| Piece {
        paper: paper(&part.paper),
        size: size([&part.width, &part.height]),
        count: part.count,
        what: place::of_album(plan, part),
        leaf: "",
        from: Source::Sheets(&part.label),
    }));
    for leaf in &plan.leaves {
        let photos = leaf.inserts.iter();
        let photos = photos.filter_map(|insert| Some((insert, insert.photo.as_ref()?)));
        all.extend(photos.map(|(insert, photo)| {
            let (on, trimmed) = (plain(&insert.name), size([&photo.width, &photo.height]));
            let (size, what) = match photo.print.as_ref().filter(|_| in_kit) {
                Some(print) if print.is_whole() => {
                    (bought(plan, print), format!("{} for {on}", print.name))
                }
                Some(print) => (
                    bought(plan, print),
                    format!("{} for {on}, trimmed to {trimmed}", print.name),
                ),
                None => (trimmed, format!("photo on {on}")),
            };
            Piece {
                paper: "photo prints",
                size,
                count: leaf.count.saturating_mul(insert.count),
                what,
                leaf: &leaf.name,
                from: Source::Print,
            }
        }));
    }
    all
}

/// One size of one paper: what for, and how many.
struct Row<'a> {
    paper: &'a str,
    size: String,
    count: i64,
    /// Pieces, each with the leaves that have it.
    what: Vec<(String, Vec<&'a str>)>,
    sheets: String,
}

/// Pieces that are cut alike stand in one row, and those of one paper below each other.
fn rows<'a>(pieces: Vec<Piece<'a>>, sheets: impl Fn(&Piece<'_>) -> String) -> Vec<Row<'a>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    let mut papers: Vec<&str> = Vec::new();
    for piece in pieces {
        let sheets = sheets(&piece);
        let Piece { paper, size, .. } = piece;
        if !papers.contains(&paper) {
            papers.push(paper);
        }
        let known = rows
            .iter()
            .position(|it| (it.paper, &it.size, &it.sheets) == (paper, &size, &sheets));
        let at = known.unwrap_or_else(|| {
            rows.push(Row {
                paper,
                size,
                count: 0,
                what: Vec::new(),
                sheets,
            });
            rows.len() - 1
        });
        let row = &mut rows[at];
        row.count = row.count.saturating_add(piece.count);
        let leaf = Some(piece.leaf).filter(|leaf| !leaf.is_empty());
        match row.what.iter_mut().find(|(what, _)| *what == piece.what) {
            Some((_, leaves)) => leaves.extend(leaf),
            None => row.what.push((piece.what, Vec::from_iter(leaf))),
        }
    }
    rows.sort_by_key(|row| papers.iter().position(|paper| *paper == row.paper));
    rows
}

/// The pieces of a kit, cut to size, and its prints.
pub fn of_kit(album: &Album, plan: &Plan) -> Block {
    Block::Table(listing(plan, pieces(album, plan, true), None))
}

/// Every piece with its size, to be ticked off, paper by paper.
pub fn cutting(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Section {
    let table = listing(plan, pieces(album, plan, false), answer);
    tidy(Section::new("What to cut", vec![Block::Table(table)]))
}

fn listing(plan: &Plan, pieces: Vec<Piece<'_>>, answer: Option<Answer<'_>>) -> Table {
    let on_sheets = |piece: &Piece<'_>| {
        let (answer, name) = match (answer, &piece.from) {
            (Some(answer), Source::Sheets(name)) => (answer, *name),
            (Some(_), Source::Offcuts) => return "an offcut".to_owned(),
            _ => return String::new(),
        };
        let is = |want: &Want| {
            let of = want.leaf.is_empty() || want.leaf == piece.leaf;
            of && plain(&want.name) == plain(name)
        };
        sheets::of_want(answer, &is)
    };
    let several = plan.leaves.len() > 1;
    let mut last = "";
    let rows = rows(pieces, on_sheets).into_iter().map(|row| {
        let what = row.what.iter();
        let what = what.map(|(what, leaves)| match leaves.is_empty() || !several {
            true => what.clone(),
            false => format!("{}: {what}", leaves.join(", ")),
        });
        let what: Vec<String> = what.collect();
        let paper = if row.paper == last { "" } else { row.paper };
        last = row.paper;
        let count = row.count.to_string();
        let mut cells = vec![paper.to_owned(), count, row.size, what.join("; ")];
        cells.extend(answer.map(|_| row.sheets));
        cells
    });
    let mut head = vec!["Paper", "Pieces", "Width × height", "For"];
    head.extend(answer.map(|_| "Sheet"));
    Table {
        numbers: vec![1],
        bold: vec![2],
        tick: true,
        grouped: true,
        ..Table::new(&head, rows.collect())
    }
}
