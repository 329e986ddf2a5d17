//! The best use of one sheet by any number of each piece: one dynamic program, and until it is done
//! rows and columns of a single piece.

use super::answer::{Divides, Fill, Part, Stop, What};
use super::board::Board;
use super::build::stack;
use super::job::Job;
use super::layout::{Hand, realize};
use super::limits::Meter;
use super::model::{Grid, Model};
use super::table;

/// Of the first stock; what was found first where a limit is met.
pub(super) fn fill(job: &Job, meter: &mut Meter) -> Fill {
    let rows = rows(job);
    match by_table(job, meter) {
        Ok(Some(best)) if best.proved || best.value > rows.value => best,
        _ => rows,
    }
}

/// `None` where the positions for cuts are more than memory holds.
fn by_table(job: &Job, meter: &mut Meter) -> Result<Option<Fill>, Stop> {
    meter.spend(1)?;
    let Some(model) = Model::new(job, true, meter)? else {
        return Ok(None);
    };
    let Some(loose) = &model.boards[0] else {
        // No piece fits it.
        let nothing = of(job, job.stocks[0].whole());
        return Ok(nothing.map(|nothing| Fill {
            proved: true,
            ..nothing
        }));
    };
    let values = model.kinds.iter().map(|k| job.pieces[k.members[0]].worth());
    let values: Vec<u64> = values.collect();
    if job.narrowest <= 1 {
        return on_board(&model, loose, &values, meter);
    }
    let boards = model.boards_of(Grid::Fill, meter)?;
    let Some(Some(strict)) = boards.first() else {
        return Ok(None);
    };
    let Some(mut best) = on_board(&model, strict, &values, meter)? else {
        return Ok(None);
    };
    if !strict.complete {
        // Not all cells were looked at: a table that allows strips of any width holds no less.
        let table = table::fill(loose, &values, meter)?;
        best.proved &= table::root(loose, &table).1 == best.value;
    }
    Ok(Some(best))
}

fn on_board(
    model: &Model,
    board: &Board,
    values: &[u64],
    meter: &mut Meter,
) -> Result<Option<Fill>, Stop> {
    let table = table::fill(board, values, meter)?;
    let layout = table::layout(board, &table, values, meter)?;
    let mut hand = Hand::endless(model.job);
    let found = of(model.job, realize(model, 0, &layout, &mut hand));
    Ok(found.map(|found| Fill {
        proved: found.value == table::root(board, &table).1,
        ..found
    }))
}

/// A sheet and what it is worth; `None` if that is more than is counted.
fn of(job: &Job, sheet: Part) -> Option<Fill> {
    let mut counts = vec![0; job.pieces.len()];
    sheet.count(&mut counts);
    let each = job.pieces.iter().zip(&counts);
    let each = each.map(|(piece, &count)| u128::from(piece.worth()) * u128::from(count));
    let value = u64::try_from(each.sum::<u128>()).ok()?;
    Some(Fill {
        stock: 0,
        value,
        proved: false,
        sheet,
    })
}

/// The most pieces of a sheet that are laid out in rows.
const MOST_IN_ROWS: u64 = 200_000;

/// The best of all sheets with rows and columns of one piece.
fn rows(job: &Job) -> Fill {
    let stock = &job.stocks[0];
    let mut best = Fill {
        stock: 0,
        value: 0,
        proved: false,
        sheet: stock.whole(),
    };
    let Some(whole) = stock.trimmed() else {
        return best;
    };
    for (number, piece) in job.pieces.iter().enumerate() {
        for (width, height, turned) in piece.ways(stock) {
            let across = fit(job, whole.0, width).min(MOST_IN_ROWS);
            let down = fit(job, whole.1, height);
            let down = down.min(MOST_IN_ROWS / across.max(1));
            let many = across * down;
            let value = u128::from(many) * u128::from(piece.worth());
            if value <= u128::from(best.value) {
                continue;
            }
            let piece = number;
            let one = Part::new(width, height, What::Piece { piece, turned });
            let each = vec![one; across as usize];
            let row = stack(whole.0, height, Divides::Width, job.gap, each);
            let each = vec![row; down as usize];
            let sheet = stack(whole.0, whole.1, Divides::Height, job.gap, each);
            if let Some(found) = of(job, sheet) {
                best = found;
            }
        }
    }
    best
}

/// How often a side lies along a sheet, so that the trimmer holds what is left.
fn fit(job: &Job, whole: u64, side: u64) -> u64 {
    let most = (whole + job.gap) / (side + job.gap);
    // The narrowest strip is no wider than the piece: one less leaves room enough.
    let held = |times: &u64| {
        let used = times * side + (times - 1) * job.gap;
        job.holds(whole - used)
    };
    (1..=most).rev().take(3).find(held).unwrap_or(0)
}
