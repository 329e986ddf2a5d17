//! Does again what is printed: takes the sheet, makes each cut, and looks at what lies on the table.

use serde_json::Value;
use std::collections::BTreeMap;
use tuckwright::length::{parse_length, parse_size};

/// How many pieces of each size (nanometres, as they lie when they are not turned).
pub type Pieces = BTreeMap<(i64, i64), u64>;

fn length(text: &str) -> i64 {
    parse_length(text)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .nm()
}

fn size(text: &str) -> (i64, i64) {
    let (width, height) = parse_size(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    (width.least().nm(), height.least().nm())
}

/// What was asked for, from the list of pieces in JSON.
pub fn wanted(answer: &Value) -> Pieces {
    let mut all = Pieces::new();
    for piece in answer["pieces"].as_array().expect("pieces") {
        let side = |name: &str| length(piece[name]["text"].as_str().expect("a length"));
        let count = piece["count"].as_u64().expect("a count");
        *all.entry((side("width"), side("height"))).or_default() += count;
    }
    all
}

/// What lies on the table: name, width, height.
#[derive(Clone, Debug, PartialEq)]
struct Lies {
    name: String,
    width: i64,
    height: i64,
    /// A piece, and whether it lies turned.
    piece: Option<bool>,
    /// It will not be cut again.
    over: bool,
}

/// One line: so many cuts with one setting.
#[derive(Clone, Debug)]
struct Line {
    set: i64,
    from: String,
    size: (i64, i64),
    alike: u64,
    across: bool,
    cuts: u64,
    off: Vec<(u64, Lies)>,
    left: Option<Lies>,
}

/// One way of cutting, for so many sheets.
struct Plan {
    times: u64,
    sheet: (i64, i64),
    lines: Vec<Line>,
    /// What the sheet is where nothing is cut.
    whole: Option<Lies>,
}

/// Makes all cuts; the pieces at the end, and the sheets.
fn make(plans: &[Plan], gap: i64) -> (Pieces, u64) {
    let mut pieces = Pieces::new();
    let mut sheets = 0;
    for plan in plans {
        let start = plan.whole.clone().unwrap_or_else(|| Lies {
            name: "sheet".to_owned(),
            width: plan.sheet.0,
            height: plan.sheet.1,
            piece: None,
            over: false,
        });
        let mut table = vec![start];
        let mut before = i64::MAX;
        let mut settings = 0;
        for line in &plan.lines {
            if line.set != before {
                settings += 1;
                before = line.set;
            }
            cut(&mut table, line, gap);
        }
        assert!(settings <= plan.lines.len());
        sheets += plan.times;
        for lies in table {
            match lies.piece {
                Some(turned) => {
                    let (w, h) = (lies.width, lies.height);
                    let size = if turned { (h, w) } else { (w, h) };
                    *pieces.entry(size).or_default() += plan.times;
                }
                None => assert!(lies.over, "{lies:?} is still to be cut"),
            }
        }
    }
    (pieces, sheets)
}

fn cut(table: &mut Vec<Lies>, line: &Line, gap: i64) {
    let along = |w: i64, h: i64| if line.across { (w, h) } else { (h, w) };
    let (long, other) = along(line.size.0, line.size.1);
    let mut left = long;
    let mut cuts = 0;
    for (count, lies) in &line.off {
        let (measure, beside) = along(lies.width, lies.height);
        assert_eq!((measure, beside), (line.set, other), "{line:?}");
        cuts += count;
        left -= (measure + gap) * *count as i64;
    }
    assert_eq!(cuts, line.cuts, "{line:?}");
    match &line.left {
        Some(lies) => assert_eq!(along(lies.width, lies.height), (left, other), "{line:?}"),
        // The blade takes what is left, which may be as wide as the blade.
        None => assert!(gap > 0 && (-gap..=0).contains(&left), "{line:?}"),
    }
    for _ in 0..line.alike {
        let on = |l: &Lies| l.name == line.from && (l.width, l.height) == line.size && !l.over;
        let at = table.iter().position(on);
        let at = at.unwrap_or_else(|| panic!("{line:?} is not on the table: {table:?}"));
        table.remove(at);
        for (count, lies) in &line.off {
            table.extend((0..*count).map(|_| lies.clone()));
        }
        table.extend(line.left.clone());
    }
}

/// The steps as a spreadsheet has them.
pub fn table(text: &str, gap: &str) -> (Pieces, u64) {
    let rows = text.lines().skip(1).map(|line| {
        // No cell of these tests has a comma in it.
        let cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        assert_eq!(cells.len(), 17, "{line}");
        cells
    });
    let mut plans: Vec<(String, Plan)> = Vec::new();
    let mut step = Vec::new();
    for row in rows {
        let whose = format!("{}/{}", row[0], row[1]);
        let lies = Lies {
            name: row[13].clone(),
            width: length(&row[14]),
            height: length(&row[15]),
            piece: match row[12].as_str() {
                "piece" => Some(false),
                "turned piece" => Some(true),
                _ => None,
            },
            over: row[12] == "offcut",
        };
        let from = (length(&row[6]), length(&row[7]));
        if plans.last().is_none_or(|(name, _)| *name != whose) {
            let times = row[2].parse().expect("times");
            let plan = Plan {
                times,
                sheet: from,
                lines: Vec::new(),
                whole: None,
            };
            plans.push((whose, plan));
            step.clear();
        }
        let (_, plan) = plans.last_mut().expect("a plan");
        if row[3] == "0" {
            if row[12] != "sheet" {
                plan.whole = Some(lies);
            } else {
                plan.sheet = (lies.width, lies.height);
            }
            continue;
        }
        let now = row[3..11].to_vec();
        if step != now {
            step.clone_from(&now);
            plan.lines.push(Line {
                set: length(&row[4]),
                from: row[5].clone(),
                size: from,
                alike: row[8].parse().expect("alike"),
                across: row[9] == "width",
                cuts: row[10].parse().expect("cuts"),
                off: Vec::new(),
                left: None,
            });
        }
        let line = plan.lines.last_mut().expect("a line");
        let count = row[16].parse().expect("a count");
        match row[11].as_str() {
            "off" => line.off.push((count, lies)),
            _ => line.left = Some(lies),
        }
    }
    let plans: Vec<Plan> = plans.into_iter().map(|(_, plan)| plan).collect();
    make(&plans, length(gap))
}

/// The steps as they are read on a screen.
pub fn text(text: &str, gap: &str) -> (Pieces, u64) {
    let mut plans: Vec<Plan> = Vec::new();
    let mut set = 0;
    for sentence in sentences(text) {
        let words = sentence.trim();
        if let Some(head) = heading(words) {
            plans.push(head);
        } else if let Some((number, setting)) = words.split_once("  Set ") {
            number.trim().parse::<usize>().expect("a step");
            set = length(setting);
        } else if let Some((_, setting)) = words.split_once("  The fence stays at ") {
            assert_eq!(set, length(setting), "the fence stands elsewhere");
        } else if let Some((_, left)) = words
            .split_once(" first; ")
            .filter(|(w, _)| w.starts_with("Trim"))
        {
            let plan = plans.last_mut().expect("a sheet");
            plan.sheet = size(left.trim_end_matches(" is left."));
        } else if let Some(name) = words.strip_prefix("It is ") {
            let plan = plans.last_mut().expect("a sheet");
            let name = name.trim_end_matches(" as it is.").to_owned();
            let (width, height) = plan.sheet;
            plan.whole = Some(Lies {
                name,
                width,
                height,
                piece: Some(false),
                over: false,
            });
        } else if words.contains(" off the ") && words.contains(". Off: ") {
            plans
                .last_mut()
                .expect("a sheet")
                .lines
                .push(line(words, set));
        }
    }
    make(&plans, length(gap))
}

/// Lines that are broken put together again: what is set in deeper goes on.
fn sentences(text: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for line in text.lines() {
        match (line.strip_prefix("        "), all.last_mut()) {
            (Some(more), Some(last)) => {
                last.push(' ');
                last.push_str(more.trim());
            }
            _ => all.push(line.to_owned()),
        }
    }
    all
}

/// `Sheet 1: 12 x 12 in`, `Sheets 2 to 3, cut alike: 12 x 12 in`.
fn heading(words: &str) -> Option<Plan> {
    let rest = ["Sheets ", "Sheet ", "Offcuts ", "Offcut "];
    let rest = rest.iter().find_map(|w| words.strip_prefix(w))?;
    let (which, sheet) = rest.split_once(": ")?;
    let which = which.trim_end_matches(", cut alike");
    let times = match which.split_once(" to ") {
        Some((from, to)) => to.parse::<u64>().ok()? - from.parse::<u64>().ok()? + 1,
        None => which.parse::<u64>().ok().map(|_| 1)?,
    };
    Some(Plan {
        times,
        sheet: size(sheet),
        lines: Vec::new(),
        whole: None,
    })
}

fn line(words: &str, set: i64) -> Line {
    let (head, rest) = words.split_once(": ").expect("a head");
    let (name, from) = head.split_once(", ").expect("a size");
    let name = name.replace("Rest of the sheet", "sheet");
    let name = name
        .replace("Rest of each ", "Each ")
        .replace("Rest of ", "");
    let (name, alike) = match name.strip_prefix("Each ") {
        None => (name, 1),
        Some(each) => {
            let (name, alike) = each.rsplit_once(" of ").expect("how many");
            (name.to_owned(), alike.parse().expect("a number"))
        }
    };
    let mut letters = name.chars();
    let first = letters.next().expect("a name").to_lowercase().to_string();
    let name = first + letters.as_str();
    let (cuts, rest) = rest.split_once(" off the ").expect("cuts");
    let (side, rest) = rest.split_once(". Off: ").expect("a side");
    let cuts = cuts
        .split(' ')
        .next()
        .and_then(|n| n.parse().ok())
        .expect("a number");
    let ends = [". Left over: ", ". Left: ", ". Nothing is left"];
    let (off, left) = ends
        .iter()
        .find_map(|end| rest.split_once(end).map(|(off, left)| (off, (*end, left))))
        .expect("what is left");
    let off = off.split("; ").map(|one| {
        let (count, one) = match one.split_once(" of ") {
            Some((count, one)) if count.parse::<u64>().is_ok() => {
                (count.parse().expect("count"), one)
            }
            _ => (1, one),
        };
        (count, part(one))
    });
    let left_words = left.1.trim_end_matches('.');
    let left = match left.0 {
        ". Nothing is left" => None,
        ". Left over: " => {
            let (width, height) = size(left_words);
            Some(Lies {
                name: String::new(),
                width,
                height,
                piece: None,
                over: true,
            })
        }
        _ if left_words.starts_with(|c: char| c.is_ascii_digit()) => {
            let (width, height) = size(left_words);
            Some(Lies {
                name: name.clone(),
                width,
                height,
                piece: None,
                over: false,
            })
        }
        _ => Some(part(left_words)),
    };
    Line {
        set,
        from: name,
        size: size(from),
        alike,
        across: side == "width",
        cuts,
        off: off.collect(),
        left,
    }
}

/// `strip A, 12 x 3 in`, `back mat, 4 x 2 in, turned`, `left over, 1 x 12 in`.
fn part(words: &str) -> Lies {
    let (words, turned) = match words.strip_suffix(", turned") {
        Some(words) => (words, true),
        None => (words, false),
    };
    let (name, lies) = words.rsplit_once(", ").expect("name and size");
    let (width, height) = size(lies);
    let strip = name.starts_with("strip ");
    let over = name == "left over";
    Lies {
        name: name.to_owned(),
        width,
        height,
        piece: (!strip && !over).then_some(turned),
        over,
    }
}

/// The pieces lie on their sheets, none on another, as many as are wanted.
pub fn drawn(answer: &Value, wanted: &Pieces) {
    let mut found = Pieces::new();
    for sheet in answer["sheets"].as_array().expect("sheets") {
        let nm = |of: &Value, name: &str| length(of[name]["text"].as_str().expect("a length"));
        let (wide, high) = (nm(sheet, "width"), nm(sheet, "height"));
        let mut boxes: Vec<[i64; 4]> = Vec::new();
        let pieces = sheet["pieces"].as_array().expect("pieces");
        let rest = sheet["left_over"].as_array().expect("a list");
        for (part, piece) in pieces
            .iter()
            .map(|p| (p, true))
            .chain(rest.iter().map(|p| (p, false)))
        {
            let (x, y) = (nm(part, "x"), nm(part, "y"));
            let (w, h) = (nm(part, "width"), nm(part, "height"));
            assert!(x >= 0 && y >= 0 && x + w <= wide && y + h <= high, "{part}");
            for other in &boxes {
                let apart =
                    x + w <= other[0] || other[2] <= x || y + h <= other[1] || other[3] <= y;
                assert!(apart, "{part} lies on another");
            }
            boxes.push([x, y, x + w, y + h]);
            if piece {
                let turned = part["turned"] == true;
                let size = if turned { (h, w) } else { (w, h) };
                *found.entry(size).or_default() += 1;
            }
        }
    }
    assert_eq!(found, *wanted);
}
