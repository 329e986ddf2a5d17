//! The fence is set as seldom as can be: for small plans every order of sheets and every order of
//! settings is tried on the printed cuts, by a trimmer that knows nothing of the program.

use super::*;
use std::collections::{BTreeMap, BTreeSet};
use tuckwright::length::parse_length;

/// A part on the table: its name, its size now, and what is to come off it.
#[derive(Clone, Debug)]
struct Part {
    name: String,
    size: (i64, i64),
    /// Its measure along the cuts before the first.
    long: i64,
    /// Along the cuts, and the part that comes off.
    off: Vec<(i64, usize)>,
    /// What is left when all is off is no part that is cut or kept.
    over: bool,
}

fn nm(of: &Value) -> i64 {
    parse_length(of["text"].as_str().expect("text"))
        .expect("a length")
        .nm()
}

/// The parts of one sheet, from its printed cuts.
fn parts(sheet: &Value) -> Vec<Part> {
    let part = |name: &str, size| Part {
        name: name.to_owned(),
        size,
        long: 0,
        off: Vec::new(),
        over: false,
    };
    let trimmed = &sheet["trimmed"];
    let mut all = vec![part(
        "sheet",
        (nm(&trimmed["width"]), nm(&trimmed["height"])),
    )];
    for cut in sheet["cuts"].as_array().expect("cuts") {
        let name = cut["from"].as_str().expect("a name");
        let size = (nm(&cut["from_width"]), nm(&cut["from_height"]));
        let along = |(width, height)| {
            if cut["side"] == "width" {
                width
            } else {
                height
            }
        };
        let alike = all
            .iter()
            .enumerate()
            .filter(|(_, p)| (p.name.as_str(), p.size, p.over) == (name, size, false));
        let alike: Vec<usize> = alike.map(|(at, _)| at).collect();
        assert_eq!(alike.len() as u64, cut["alike"].as_u64().expect("a number"));
        for at in alike {
            if all[at].long == 0 {
                all[at].long = along(size);
            }
            let left = cut["left"].as_object();
            let stays = left.is_some_and(|left| left["name"] == name);
            let off = cut["off"].as_array().expect("parts");
            let kept = cut["left"].clone();
            let more = (!stays && left.is_some_and(|left| left["is"] != "offcut")).then_some(&kept);
            for one in off.iter().chain(more) {
                let size = (nm(&one["width"]), nm(&one["height"]));
                for _ in 0..one["count"].as_u64().expect("a number") {
                    let new = all.len();
                    all.push(part(one["name"].as_str().expect("a name"), size));
                    all[at].off.push((along(size), new));
                }
            }
            if stays {
                all[at].size = (nm(&kept["width"]), nm(&kept["height"]));
            } else {
                all[at].over = true;
            }
        }
    }
    all
}

/// Parts at hand, each with its measure now and what is still to come off.
type Table = BTreeMap<usize, (i64, Vec<(i64, usize)>)>;

fn lay(parts: &[Part], at: usize, table: &mut Table) {
    if !parts[at].off.is_empty() {
        table.insert(at, (parts[at].long, parts[at].off.clone()));
    }
}

/// Cuts whatever wants the setting, and what comes to hand by it.
fn cut(parts: &[Part], table: &mut Table, setting: i64, gap: i64) {
    loop {
        let wants = |off: &[(i64, usize)]| off.iter().any(|(along, _)| *along == setting);
        let found = table.iter().find(|(_, (_, off))| wants(off));
        let Some((at, (mut long, mut off))) = found.map(|(at, part)| (*at, part.clone())) else {
            return;
        };
        table.remove(&at);
        let place = off.iter().position(|(along, _)| *along == setting);
        let (along, part) = off.remove(place.expect("it wants it"));
        // The last of all is there without a cut.
        long -= along + if long > along { gap } else { 0 };
        lay(parts, part, table);
        match off.as_slice() {
            [] => {}
            [(last, part)] if *last == long => lay(parts, *part, table),
            _ => {
                table.insert(at, (long, off));
            }
        }
    }
}

/// For each first and last setting the fewest of all orders.
fn orders(parts: &[Part], gap: i64) -> BTreeMap<(i64, i64), usize> {
    let mut table = Table::new();
    lay(parts, 0, &mut table);
    let mut found = BTreeMap::new();
    go(parts, gap, &table, &mut Vec::new(), &mut found);
    found
}

fn go(
    parts: &[Part],
    gap: i64,
    table: &Table,
    path: &mut Vec<i64>,
    found: &mut BTreeMap<(i64, i64), usize>,
) {
    if table.is_empty() {
        if let (Some(first), Some(last)) = (path.first(), path.last()) {
            let known = found.entry((*first, *last)).or_insert(path.len());
            *known = path.len().min(*known);
        }
        return;
    }
    let off = table.values().flat_map(|(_, off)| off);
    let wanted: BTreeSet<i64> = off.map(|(along, _)| *along).collect();
    for setting in wanted {
        let mut next = table.clone();
        cut(parts, &mut next, setting, gap);
        path.push(setting);
        go(parts, gap, &next, path, found);
        path.pop();
    }
}

/// A way of cutting: its paper, whether the fence is moved before, and its orders.
struct Sheet {
    paper: String,
    trimmed: bool,
    orders: BTreeMap<(i64, i64), usize>,
    /// The settings as they are printed.
    printed: Vec<i64>,
}

/// The ways of cutting of an answer in JSON, each once.
fn sheets(answer: &Value, gap: i64) -> Vec<Sheet> {
    let mut known = BTreeSet::new();
    let all = answer["sheets"].as_array().expect("sheets").iter();
    let once = all.filter(|sheet| known.insert(sheet["pattern"].as_u64()));
    once.map(|sheet| {
        let mut steps: Vec<(u64, i64)> = Vec::new();
        for cut in sheet["cuts"].as_array().expect("cuts") {
            let step = cut["step"].as_u64().expect("a number");
            if steps.last().is_none_or(|(last, _)| *last != step) {
                steps.push((step, nm(&cut["set"])));
            }
        }
        Sheet {
            paper: sheet["paper"].as_str().expect("a name").to_owned(),
            trimmed: ["width", "height"]
                .iter()
                .any(|side| nm(&sheet[side]) != nm(&sheet["trimmed"][side])),
            orders: orders(&parts(sheet), gap),
            printed: steps.into_iter().map(|(_, set)| set).collect(),
        }
    })
    .collect()
}

/// How often the fence is set by what is printed.
fn printed(sheets: &[Sheet]) -> usize {
    let mut fence = None;
    let mut sum = 0;
    for sheet in sheets {
        if sheet.trimmed {
            fence = None;
        }
        let stays = fence.is_some() && fence == sheet.printed.first().copied();
        sum += sheet.printed.len() - usize::from(stays);
        fence = sheet.printed.last().copied().or(fence);
    }
    sum
}

/// The fewest of every order of the sheets of each paper, with every order of settings.
fn fewest(sheets: &[Sheet]) -> usize {
    let mut all: Vec<(Option<i64>, usize)> = vec![(None, 0)];
    let mut from = 0;
    while from < sheets.len() {
        let paper = &sheets[from].paper;
        let to = sheets[from..]
            .iter()
            .take_while(|s| s.paper == *paper)
            .count()
            + from;
        let mut ends = Vec::new();
        let mut order: Vec<&Sheet> = sheets[from..to].iter().collect();
        let count = order.len();
        every_order(&mut order, count, &mut |order| {
            let mut now = all.clone();
            for sheet in order {
                now = after(sheet, &now);
            }
            ends.extend(now);
        });
        ends.sort_unstable();
        ends.dedup_by_key(|(fence, _)| *fence);
        all = ends;
        from = to;
    }
    all.into_iter().map(|(_, sum)| sum).min().expect("an order")
}

fn every_order<'s>(all: &mut Vec<&'s Sheet>, open: usize, told: &mut impl FnMut(&[&'s Sheet])) {
    if open == 0 {
        return told(all);
    }
    for at in 0..open {
        all.swap(at, open - 1);
        every_order(all, open - 1, told);
        all.swap(at, open - 1);
    }
}

/// Where the fence can stand after a sheet, and how often it was set at least.
fn after(sheet: &Sheet, before: &[(Option<i64>, usize)]) -> Vec<(Option<i64>, usize)> {
    let mut all = Vec::new();
    for (fence, sum) in before {
        let fence = fence.filter(|_| !sheet.trimmed);
        if sheet.orders.is_empty() {
            all.push((fence, *sum));
        }
        for ((first, last), settings) in &sheet.orders {
            let stays = fence == Some(*first);
            all.push((Some(*last), sum + settings - usize::from(stays)));
        }
    }
    all.sort_unstable();
    all.dedup_by_key(|(fence, _)| *fence);
    all
}

/// What the first lines of the text say of it.
fn said(text: &str) -> String {
    let text = flat(text);
    let (_, from) = text.split_once("Set the fence ").expect("how often");
    let (sentence, _) = from.split_once('.').expect("an end");
    let end = sentence.find(';').unwrap_or(sentence.len());
    sentence[..end].to_owned()
}

fn times(settings: usize) -> String {
    match settings {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

/// A plan, held against all that can be done with its cuts: how many ways of cutting it has, and how
/// many settings are saved between them.
#[track_caller]
fn held(arguments: &[&str]) -> (usize, usize) {
    let answer = json(arguments);
    let gap = arguments.iter().position(|a| *a == "--gap");
    let gap = gap.map_or(0, |at| {
        parse_length(arguments[at + 1]).expect("a length").nm()
    });
    let sheets = sheets(&answer, gap);
    let told = answer["settings"].as_u64().expect("a number") as usize;
    assert_eq!(told, printed(&sheets), "{arguments:?}");
    assert_eq!(told, fewest(&sheets), "{arguments:?}");
    let alone = sheets.iter().filter_map(|s| s.orders.values().min());
    let alone: usize = alone.sum();
    let text = done(arguments);
    if told > 0 {
        assert_eq!(said(&text), times(told), "{text}");
    }
    let all = answer["sheets"].as_array().expect("sheets");
    let alike = all.windows(2).any(|pair| {
        let cuts = pair[0]["cuts"].as_array().expect("cuts");
        pair[0]["pattern"] == pair[1]["pattern"] && !cuts.is_empty()
    });
    assert_eq!(
        flat(&text).contains("that are alike together"),
        alike,
        "{text}"
    );
    let stays = text.matches("  The fence stays at ").count();
    let printed: usize = sheets.iter().map(|s| s.printed.len()).sum();
    assert_eq!(told + stays, printed, "{text}");
    (sheets.len(), alone - told)
}

#[test]
fn drawn_lists_are_cut_with_the_fewest_settings() {
    let sides = ["2 in", "3 in", "3 1/2 in", "4 in", "5 in", "7 in"];
    let mut dice = common::dice::Dice::new(41);
    let (mut several, mut saved) = (0, 0);
    for round in 0..24 {
        let mut lines = "name,width,height,count,turn\n".to_owned();
        for n in 0..dice.between(2, 4) {
            let side = |dice: &mut common::dice::Dice| sides[dice.between(0, 5) as usize];
            let (width, height) = (side(&mut dice), side(&mut dice));
            let turn = if dice.between(0, 1) == 0 { "no" } else { "yes" };
            let count = dice.between(2, 9);
            lines.push_str(&format!("piece {n},{width},{height},{count},{turn}\n"));
        }
        let (_folder, path) = pieces(&lines);
        let mut arguments = vec!["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
        match round % 6 {
            4 => arguments.extend(["--gap", "1/16 in"]),
            5 => arguments.extend(["--trim", "1/8 in"]),
            _ => {}
        }
        let (ways, less) = held(&arguments);
        several += usize::from(ways > 2);
        saved += less;
        replayed(&arguments);
    }
    // Else nothing was tried.
    assert!(several >= 4, "{several} lists with several ways of cutting");
    assert!(saved >= 12, "{saved} settings saved");
}

#[test]
fn the_fence_stays_from_one_paper_to_the_next() {
    let (_, saved) = held(&["cut", LOW_WATER]);
    assert!(saved > 0);
    held(&["cut", HUT_BOOK]);
}

/// Whoever cuts a ragged edge off moves the fence for it.
#[test]
fn the_fence_does_not_stay_where_edges_are_trimmed() {
    let (_folder, path) =
        pieces("name,width,height,count,turn\na,5 in,7 in,3,no\nb,5 in,4 in,5,no\n");
    let arguments = ["cut", "--pieces", &path, "--sheet", "12 x 12 in"];
    let text = done(&[&arguments[..], &["--trim", "1/8 in"]].concat());
    assert!(!text.contains("The fence stays"), "{text}");
    assert!(
        flat(&text).contains("Trimming the edges comes on top."),
        "{text}"
    );
}
