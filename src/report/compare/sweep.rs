//! The largest photo over all sizes of bag: a coarse table for a screen, and every size as rows of
//! values for other programs.

use super::{bare, measures};
use crate::compare::sweep::{Cell, Sweep};
use crate::length::{Length, Ruler};
use crate::report::From;
use crate::report::words::{capital, count, headed, numbered, table, titled, width, wrapped};

/// Columns and rows of the table on a screen, at the most.
const COLUMNS: usize = 5;
const ROWS: usize = 12;
/// Regions that are told by their letter.
pub const LETTERS: [&str; 8] = ["A", "B", "C", "D", "E", "F", "G", "H"];
/// The letter of all others.
const OTHERS: &str = "o";

/// The letter of a region.
pub fn letter(region: usize) -> &'static str {
    LETTERS.get(region).copied().unwrap_or(OTHERS)
}

/// The sweep as text for a screen of 80 letters.
pub fn text(from: From<'_>, sweep: &Sweep) -> String {
    let ruler = from.ruler;
    let mut text = titled(&capital(from.title), ruler);
    text.push_str(&wrapped(&about(ruler, sweep), "", ""));
    text.push('\n');
    text.push_str(&table_of(ruler, sweep));
    text.push_str(&headed("What decides the photo's shorter side"));
    for (mark, said) in legend(sweep) {
        text.push_str(&wrapped(&said, &format!("  {mark:<2}  "), "      "));
    }
    text.push_str(&numbered(rules(sweep)));
    text.push_str("  Every size: `--csv`; as a picture: `--svg FILE`.\n");
    text
}

/// What was gone over.
pub fn about(ruler: Ruler, sweep: &Sweep) -> String {
    let grid = &sweep.grid;
    let ends = |sides: &[Length]| match (sides.first(), sides.last()) {
        (Some(first), Some(last)) => format!("{} to {}", ruler.show(*first), ruler.show(*last)),
        _ => String::new(),
    };
    let gusset = match sweep.like.gusset {
        Some(gusset) => format!("with a gusset of {}", ruler.show_interval(gusset)),
        None => "without a gusset".to_owned(),
    };
    format!(
        "The largest photo of {}, {} wide and {} high, {gusset}.",
        count(sweep.cells.len(), "size of bag", "sizes of bag"),
        ends(&grid.widths),
        ends(&grid.heights),
    )
}

/// Some places of a list, evenly, the first and about the last.
pub fn some(of: usize, most: usize) -> Vec<usize> {
    let step = of.saturating_sub(1) / most.saturating_sub(1).max(1);
    let step = match step * (most - 1) < of.saturating_sub(1) {
        true => step + 1,
        false => step.max(1),
    };
    (0..of).step_by(step).collect()
}

/// As many columns as a screen has room for.
fn table_of(ruler: Ruler, sweep: &Sweep) -> String {
    let fits = |text: &String| text.lines().all(|line| line.chars().count() <= width());
    let tables = (2..=COLUMNS)
        .rev()
        .map(|columns| photos(ruler, sweep, columns));
    let mut all: Vec<String> = tables.collect();
    let last = all.pop().unwrap_or_default();
    all.into_iter().find(fits).unwrap_or(last)
}

/// Every few heights and widths, the highest above.
fn photos(ruler: Ruler, sweep: &Sweep, columns: usize) -> String {
    let grid = &sweep.grid;
    let widths = some(grid.widths.len(), columns);
    let mut heights = some(grid.heights.len(), ROWS);
    heights.reverse();
    let mut heads = vec!["high \\ wide".to_owned()];
    heads.extend(widths.iter().map(|&n| ruler.show(grid.widths[n])));
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows = heights.iter().map(|&height| {
        let mut row = vec![ruler.show(grid.heights[height])];
        let cells = widths.iter().map(|&width| match sweep.cell(width, height) {
            Some(Cell::Photo(wide, high, region)) => {
                let (wide, high) = (bare(ruler, wide), bare(ruler, high));
                format!("{} {wide} x {high}", letter(region))
            }
            Some(Cell::NoPhoto) | None => "-".to_owned(),
            Some(Cell::DoesNotFit) => "no".to_owned(),
            Some(Cell::Undecided) => "?".to_owned(),
        });
        row.extend(cells);
        row
    });
    table(&heads, &rows.collect::<Vec<_>>(), &[0], "  ")
}

/// The rules that decide anywhere, each once; a legend says their numbers, from 1.
pub fn rules(sweep: &Sweep) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for rule in sweep.regions.iter().flat_map(|region| &region.rules) {
        let rule = format!("{}.", capital(rule));
        if !all.contains(&rule) {
            all.push(rule);
        }
    }
    all
}

/// What each mark stands for: how many sizes of bag, and the numbers of the rules that decide there.
pub fn legend(sweep: &Sweep) -> Vec<(&'static str, String)> {
    let known = rules(sweep);
    let sizes = |n: usize| count(n, "size", "sizes");
    let mut all = Vec::new();
    for (n, region) in sweep.regions.iter().enumerate().take(LETTERS.len()) {
        let numbers = region.rules.iter().filter_map(|rule| {
            let rule = format!("{}.", capital(rule));
            Some(known.iter().position(|known| *known == rule)? + 1)
        });
        let mut numbers: Vec<usize> = numbers.collect();
        numbers.sort_unstable();
        let numbers: Vec<String> = numbers.iter().map(usize::to_string).collect();
        let word = if numbers.len() == 1 { "rule" } else { "rules" };
        let said = format!("{}: {word} {}", sizes(region.cells), numbers.join(" "));
        all.push((letter(n), said));
    }
    if let Some(rest) = sweep.regions.get(LETTERS.len()..).filter(|r| !r.is_empty()) {
        let cells: usize = rest.iter().map(|region| region.cells).sum();
        let said = format!("{}: other sets of these rules", sizes(cells));
        all.push((OTHERS, said));
    }
    let many = |of: Cell| sweep.cells.iter().filter(|cell| **cell == of).count();
    for (cell, mark, said) in [
        (Cell::NoPhoto, "-", "it fits, and holds no photo"),
        (Cell::DoesNotFit, "no", "the album does not fit"),
        (Cell::Undecided, "?", "undecided: a limit was met"),
    ] {
        if many(cell) > 0 {
            all.push((mark, format!("{}: {said}", sizes(many(cell)))));
        }
    }
    all
}

/// Every size of bag as a row.
pub fn csv(ruler: Ruler, sweep: &Sweep) -> String {
    let mut text = "width,height,verdict,photo_width,photo_height,decided_by\n".to_owned();
    let grid = &sweep.grid;
    let sizes = grid
        .heights
        .iter()
        .flat_map(|h| grid.widths.iter().map(move |w| (w, h)));
    for ((width, height), cell) in sizes.zip(&sweep.cells) {
        let (verdict, photo) = match cell {
            Cell::Photo(..) => ("fits", true),
            Cell::NoPhoto => ("fits", false),
            Cell::DoesNotFit => ("does not fit", false),
            Cell::Undecided => ("undecided", false),
        };
        let rest = match cell {
            Cell::Photo(wide, high, region) if photo => {
                let rules = sweep.regions[*region].rules.join("; ");
                let rules = super::csv::quoted(rules);
                format!("{},{},{rules}", ruler.show(*wide), ruler.show(*high))
            }
            _ => ",,".to_owned(),
        };
        let (width, height) = (ruler.show(*width), ruler.show(*height));
        text.push_str(&format!("{width},{height},{verdict},{rest}\n"));
    }
    text
}

/// A bag as a point in the picture: its name and measures.
pub fn point(ruler: Ruler, bag: &crate::supplies::Bag) -> String {
    format!("{}, {}", bag.name, measures(ruler, bag))
}
