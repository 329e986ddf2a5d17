//! The linear program over patterns: the only floats of the room. They propose; nothing that is
//! told rests on them.
//!
//! A revised primal simplex with a dense inverse: rows are few (kinds and limited stocks), columns
//! come one by one and stay sparse, and both the amounts and the values of the pieces are wanted.

use super::answer::Stop;
use super::limits::Meter;

/// Fixed point in which values and amounts leave this file.
pub(super) const ONE: u64 = 1 << 22;

/// Values of pieces that differ by less are equal to the simplex.
const TINY: f64 = 1e-9;
/// A pivot smaller than this is not trusted.
const PIVOT: f64 = 1e-7;
/// After so many pivots the inverse is made anew.
const FRESH: usize = 64;

/// A way of using one sheet.
#[derive(Clone, Debug)]
struct Column {
    cost: f64,
    /// Rows and how much of each, rows increasing.
    entries: Vec<(usize, f64)>,
}

/// Least cost, so that every kind comes out as often as it is wanted and no stock runs out.
#[derive(Clone, Debug)]
pub(super) struct Master {
    kinds: usize,
    wanted: Vec<f64>,
    columns: Vec<Column>,
    /// Column in each place of the basis; beyond the real columns: one slack, then one artificial,
    /// for each row.
    basis: Vec<Basic>,
    /// Row-major.
    inverse: Vec<f64>,
    amounts: Vec<f64>,
    /// Cost of what no column gives.
    penalty: f64,
    pivots: usize,
    bland: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Basic {
    Real(usize),
    Slack(usize),
    Missing(usize),
}

/// What an optimum says, in fixed point.
#[derive(Clone, Debug)]
pub(super) struct Optimum {
    /// Value of each kind, [`ONE`] for a cost of 1.
    pub values: Vec<u64>,
    /// What one sheet more of each limited stock would save.
    pub rents: Vec<u64>,
    /// Columns that are used and how much, [`ONE`] for a sheet; most first.
    pub amounts: Vec<(usize, u64)>,
    /// Whether something wanted is given by no column.
    pub misses: bool,
}

impl Master {
    /// `wanted`: how many of each kind; `sheets`: how many of each limited stock there are.
    pub fn new(wanted: &[u64], sheets: &[u64], dearest: u64) -> Self {
        let rows = wanted.len() + sheets.len();
        let mut basis = Vec::with_capacity(rows);
        let mut amounts = Vec::with_capacity(rows);
        let mut right = Vec::with_capacity(rows);
        for (row, &count) in wanted.iter().enumerate() {
            // A little more of each, so that no two rows tie.
            let nudge = 1e-7 * (1.0 + row as f64 / rows as f64);
            let count = count as f64;
            right.push(count + if count > 0.0 { nudge } else { 0.0 });
            basis.push(Basic::Missing(row));
        }
        for (at, &count) in sheets.iter().enumerate() {
            right.push(-(count as f64));
            basis.push(Basic::Slack(wanted.len() + at));
        }
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            let sign = if row < wanted.len() { 1.0 } else { -1.0 };
            inverse[row * rows + row] = sign;
            amounts.push(right[row] * sign);
        }
        Self {
            kinds: wanted.len(),
            wanted: right,
            columns: Vec::new(),
            basis,
            inverse,
            amounts,
            penalty: 4.0 * dearest as f64,
            pivots: 0,
            bland: false,
        }
    }

    /// Adds a pattern; `sheet` is the place of its stock among the limited ones.
    pub fn add(&mut self, counts: &[u64], sheet: Option<usize>, cost: u64) {
        let each = counts.iter().enumerate().filter(|&(_, &count)| count > 0);
        let mut entries: Vec<(usize, f64)> =
            each.map(|(row, &count)| (row, count as f64)).collect();
        entries.extend(sheet.map(|sheet| (self.kinds + sheet, -1.0)));
        let cost = cost as f64;
        self.columns.push(Column { cost, entries });
    }

    fn cost_of(&self, basic: Basic) -> f64 {
        match basic {
            Basic::Real(column) => self.columns[column].cost,
            Basic::Slack(_) => 0.0,
            Basic::Missing(_) => self.penalty,
        }
    }

    fn duals(&self) -> Vec<f64> {
        let rows = self.basis.len();
        let mut duals = vec![0.0; rows];
        for (place, &basic) in self.basis.iter().enumerate() {
            let cost = self.cost_of(basic);
            if cost != 0.0 {
                let row = &self.inverse[place * rows..][..rows];
                for (dual, inverse) in duals.iter_mut().zip(row) {
                    *dual += cost * inverse;
                }
            }
        }
        duals
    }

    /// The column that saves most for a unit of it.
    fn entering(&self, duals: &[f64]) -> Option<Basic> {
        let mut best = (-TINY, None);
        let mut offer = |saves: f64, basic: Basic| {
            if saves < best.0 && !(self.bland && best.1.is_some()) {
                best = (saves, Some(basic));
            }
        };
        for (at, column) in self.columns.iter().enumerate() {
            let worth: f64 = column.entries.iter().map(|&(row, a)| duals[row] * a).sum();
            offer(column.cost - worth, Basic::Real(at));
        }
        // A slack is a column of -1.
        for (row, dual) in duals.iter().enumerate() {
            offer(*dual, Basic::Slack(row));
        }
        best.1
    }

    fn entries(&self, basic: Basic) -> Vec<(usize, f64)> {
        match basic {
            Basic::Real(column) => self.columns[column].entries.clone(),
            Basic::Slack(row) => vec![(row, -1.0)],
            Basic::Missing(row) => vec![(row, 1.0)],
        }
    }

    /// The column in terms of the basis.
    fn direction(&self, basic: Basic) -> Vec<f64> {
        let rows = self.basis.len();
        let entries = self.entries(basic);
        let inner = |place: usize| {
            let row = &self.inverse[place * rows..][..rows];
            entries.iter().map(|&(at, a)| row[at] * a).sum::<f64>()
        };
        (0..rows).map(inner).collect()
    }

    /// Goes on until nothing saves cost, or for at most so many pivots.
    ///
    /// # Errors
    /// A limit was met.
    pub fn optimise(&mut self, most: usize, meter: &mut Meter) -> Result<Optimum, Stop> {
        let mut stale = 0;
        let mut cost = f64::INFINITY;
        for _ in 0..most {
            meter.look()?;
            let duals = self.duals();
            let Some(entering) = self.entering(&duals) else {
                break;
            };
            let direction = self.direction(entering);
            let Some(place) = self.leaving(&direction) else {
                break;
            };
            self.pivot(place, entering, &direction, meter)?;
            let now: f64 = self.total();
            if now < cost - TINY {
                (cost, stale, self.bland) = (now, 0, false);
            } else {
                stale += 1;
                self.bland = stale > 2 * self.basis.len();
            }
        }
        Ok(self.optimum())
    }

    fn total(&self) -> f64 {
        let each = self.basis.iter().zip(&self.amounts);
        each.map(|(&b, x)| self.cost_of(b) * x).sum()
    }

    fn leaving(&self, direction: &[f64]) -> Option<usize> {
        let mut best: Option<(f64, f64, usize)> = None;
        for (place, &d) in direction.iter().enumerate() {
            if d > PIVOT {
                let ratio = self.amounts[place].max(0.0) / d;
                let better = best.is_none_or(|(least, pivot, _)| {
                    ratio < least - 1e-12 || ratio <= least + 1e-12 && d > pivot
                });
                if better {
                    best = Some((ratio, d, place));
                }
            }
        }
        best.map(|b| b.2)
    }

    fn pivot(
        &mut self,
        place: usize,
        entering: Basic,
        direction: &[f64],
        meter: &mut Meter,
    ) -> Result<(), Stop> {
        let rows = self.basis.len();
        let by = 1.0 / direction[place];
        for at in 0..rows {
            self.inverse[place * rows + at] *= by;
        }
        self.amounts[place] *= by;
        let (row, amount) = (
            self.inverse[place * rows..][..rows].to_vec(),
            self.amounts[place],
        );
        for (other, &factor) in direction.iter().enumerate() {
            if other != place && factor != 0.0 {
                let own = &mut self.inverse[other * rows..][..rows];
                for (own, pivot) in own.iter_mut().zip(&row) {
                    *own -= factor * pivot;
                }
                self.amounts[other] -= factor * amount;
            }
        }
        self.basis[place] = entering;
        self.pivots += 1;
        if self.pivots.is_multiple_of(FRESH.max(rows)) {
            self.refresh(meter)?;
        }
        Ok(())
    }

    /// The inverse anew, by elimination; kept as it is if the basis has become singular.
    fn refresh(&mut self, meter: &mut Meter) -> Result<(), Stop> {
        let rows = self.basis.len();
        let wide = 2 * rows;
        let mut work = vec![0.0; rows * wide];
        for (place, &basic) in self.basis.iter().enumerate() {
            for (row, a) in self.entries(basic) {
                work[row * wide + place] = a;
            }
        }
        for row in 0..rows {
            work[row * wide + rows + row] = 1.0;
        }
        for column in 0..rows {
            meter.look()?;
            let size = |row: &usize| work[row * wide + column].abs();
            let Some(best) = (column..rows).max_by(|a, b| size(a).total_cmp(&size(b))) else {
                return Ok(());
            };
            if size(&best) < PIVOT {
                return Ok(());
            }
            for at in 0..wide {
                work.swap(best * wide + at, column * wide + at);
            }
            let by = 1.0 / work[column * wide + column];
            for at in column..wide {
                work[column * wide + at] *= by;
            }
            let pivot = work[column * wide..][..wide].to_vec();
            for row in (0..rows).filter(|&row| row != column) {
                let factor = work[row * wide + column];
                if factor != 0.0 {
                    for at in column..wide {
                        work[row * wide + at] -= factor * pivot[at];
                    }
                }
            }
        }
        for place in 0..rows {
            let own = &work[place * wide + rows..][..rows];
            self.amounts[place] = own.iter().zip(&self.wanted).map(|(a, b)| a * b).sum();
            self.inverse[place * rows..][..rows].copy_from_slice(own);
        }
        Ok(())
    }

    fn optimum(&self) -> Optimum {
        let fixed = |x: f64| (x.max(0.0) * ONE as f64).round() as u64;
        let duals = self.duals();
        let mut misses = false;
        let mut amounts = Vec::new();
        for (&basic, &amount) in self.basis.iter().zip(&self.amounts) {
            match basic {
                Basic::Real(column) => {
                    let amount = fixed(amount);
                    if amount > 0 {
                        amounts.push((column, amount));
                    }
                }
                Basic::Slack(_) => {}
                Basic::Missing(_) => misses |= amount > 1e-5,
            }
        }
        amounts.sort_by_key(|&(column, amount)| (std::cmp::Reverse(amount), column));
        Optimum {
            values: duals[..self.kinds].iter().map(|&d| fixed(d)).collect(),
            rents: duals[self.kinds..].iter().map(|&d| fixed(d)).collect(),
            amounts,
            misses,
        }
    }
}
