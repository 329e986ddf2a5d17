//! What a sheet can hold at most beside an offcut, for given values: the dynamic program of `table`
//! turned inside out, from the whole sheet down to the part that is left whole.
//!
//! A part becomes smaller by what is cut off it, and that holds what the table says. What is cut off
//! is put together closely, so that it takes a sum of sides; the offcut takes all the slack.

use super::answer::Stop;
use super::board::Board;
use super::ladder::Ladder;
use super::limits::Meter;
use super::table;

/// For every two sums of sides, what lies beside a part that is by so much smaller than the sheet.
#[derive(Clone, Debug)]
pub(super) struct Outside {
    x: Sums,
    y: Sums,
    /// For each sum across and each down; less than 0: no part is cut so. Empty where there are too
    /// many of them.
    beside: Vec<i64>,
    /// What a whole sheet holds.
    pub best: u64,
}

/// No more sizes than this are looked at for a sheet.
const MOST_SIZES: usize = 1_500_000;
/// So many widths, and heights, are picked where there are more sizes than that.
const PICKED: usize = 100;

/// No part is cut so.
const NEVER: i64 = i64::MIN / 2;

/// Sums of sides with their gaps, 0 first.
#[derive(Clone, Debug)]
struct Sums {
    sums: Vec<u32>,
    /// For each tick, the place of the largest sum up to it.
    floor: Vec<u32>,
    /// The sheet's side with one gap.
    length: u32,
    gap: u32,
}

impl Sums {
    fn new(ladder: &Ladder, length: u64, gap: u64) -> Self {
        // The job was checked: sides with a gap are far below this.
        let (length, gap) = ((length + gap) as u32, gap as u32);
        let mut sums = vec![0];
        sums.extend(&ladder.points);
        let mut floor = Vec::with_capacity(length as usize + 1);
        let mut place = 0;
        for at in 0..=length {
            if sums.get(place + 1).is_some_and(|&next| next <= at) {
                place += 1;
            }
            floor.push(place as u32);
        }
        Self {
            sums,
            floor,
            length,
            gap,
        }
    }

    fn len(&self) -> usize {
        self.sums.len()
    }

    /// The place in a ladder of the largest sum that what is left of the sheet holds.
    fn rest(&self, place: usize) -> Option<usize> {
        let rest = self.length - self.sums[place];
        (self.floor[rest as usize] as usize).checked_sub(1)
    }

    /// The place of the sum of two, if that is one and something is left beside it.
    fn plus(&self, a: usize, b: usize) -> Option<usize> {
        let sum = self.sums[a] + self.sums[b];
        if sum + self.gap >= self.length {
            return None;
        }
        let place = self.floor[sum as usize] as usize;
        (self.sums[place] == sum).then_some(place)
    }

    /// How long what is left is (ticks); 0 if nothing is.
    fn left(&self, place: usize) -> u64 {
        u64::from((self.length - self.sums[place]).saturating_sub(self.gap))
    }

    /// The last sum beside which so much is left; `None` if the sheet is shorter.
    fn beside(&self, left: u64) -> Option<usize> {
        let most = u64::from(self.length - self.gap).checked_sub(left)?;
        self.floor.get(most as usize).map(|&place| place as usize)
    }
}

impl Outside {
    /// `board` knows all sums of sides, `size` is the trimmed sheet's (ticks).
    ///
    /// # Errors
    /// A limit was met.
    pub fn new(
        board: &Board,
        size: (u64, u64),
        values: &[u64],
        meter: &mut Meter,
    ) -> Result<Self, Stop> {
        let x = Sums::new(&board.x, size.0, board.gap);
        let y = Sums::new(&board.y, size.1, board.gap);
        let cells = x.len() * y.len();
        if cells > MOST_SIZES {
            let (beside, best) = (Vec::new(), 0);
            return Ok(Self { x, y, beside, best });
        }
        let table = table::fill(board, values, meter)?;
        // As much work again, one cell at a time.
        meter.spend(4 * board.work())?;
        let mut layers = vec![vec![NEVER; cells]; board.layers.len()];
        for &root in &board.roots {
            layers[root][0] = 0;
        }
        let mut beside = vec![NEVER; cells];
        for number in (0..board.layers.len()).rev() {
            let mut own = std::mem::take(&mut layers[number]);
            let part = Part {
                board,
                layer: number,
                worth: &table.worth,
                x: &x,
                y: &y,
            };
            part.cut(&mut own, meter)?;
            most_of(&mut beside, &own);
            if let Some(below) = board.layers[number].below {
                most_of(&mut layers[below], &own);
            }
        }
        // A part that is larger than asked for does too.
        let high = y.len();
        for at in 0..cells {
            if at >= high {
                beside[at] = beside[at].max(beside[at - high]);
            }
            if at % high > 0 {
                beside[at] = beside[at].max(beside[at - 1]);
            }
        }
        Ok(Self {
            x,
            y,
            beside,
            best: table::root(board, &table).1,
        })
    }

    /// The most that lies beside an offcut of at least this size (ticks); `None` if the sheet has no
    /// room for it.
    pub fn beside(&self, width: u64, height: u64) -> Option<u64> {
        let (i, j) = (self.x.beside(width)?, self.y.beside(height)?);
        if !self.knows_all() {
            return Some(self.best);
        }
        u64::try_from(self.beside[i * self.y.len() + j]).ok()
    }

    /// Whether every size is known; where there are too many, some are picked.
    pub fn knows_all(&self) -> bool {
        !self.beside.is_empty()
    }

    /// Widths that an offcut has that could not be wider (ticks), the widest first.
    pub fn widths(&self) -> impl Iterator<Item = u64> + '_ {
        self.sides(&self.x)
    }

    /// Heights that an offcut has that could not be higher (ticks), the highest first.
    pub fn heights(&self) -> impl Iterator<Item = u64> + '_ {
        self.sides(&self.y)
    }

    fn sides<'a>(&self, sums: &'a Sums) -> impl Iterator<Item = u64> + use<'a> {
        let step = match self.knows_all() {
            true => 1,
            false => sums.len().div_ceil(PICKED),
        };
        let each = (0..sums.len()).step_by(step).map(|place| sums.left(place));
        each.filter(|&left| left > 0)
    }
}

fn most_of(all: &mut [i64], more: &[i64]) {
    for (most, more) in all.iter_mut().zip(more) {
        *most = (*most).max(*more);
    }
}

/// How parts of one layer become smaller.
struct Part<'a> {
    board: &'a Board,
    layer: usize,
    worth: &'a [u64],
    x: &'a Sums,
    y: &'a Sums,
}

impl Part<'_> {
    fn cut(&self, own: &mut [i64], meter: &mut Meter) -> Result<(), Stop> {
        let layer = &self.board.layers[self.layer];
        let (wide, high) = (self.x.len(), self.y.len());
        for i in 0..wide {
            meter.look()?;
            if layer.level {
                self.level(i, &mut own[i * high..][..high], meter)?;
            }
            if layer.upright {
                for cut in 1..wide {
                    meter.look()?;
                    let Some(to) = self.x.plus(i, cut) else {
                        continue;
                    };
                    let (before, after) = own.split_at_mut(to * high);
                    let (from, to) = (&before[i * high..][..high], &mut after[..high]);
                    for (j, (most, from)) in to.iter_mut().zip(from).enumerate() {
                        if *from >= 0 {
                            *most = (*most).max(from + self.holds(Some(cut - 1), self.y.rest(j)));
                        }
                    }
                }
            }
        }
        Ok(())
    }

    fn level(&self, i: usize, row: &mut [i64], meter: &mut Meter) -> Result<(), Stop> {
        let wide = self.x.rest(i);
        for j in 0..row.len() {
            if row[j] < 0 {
                continue;
            }
            meter.look()?;
            for cut in 1..row.len() {
                if let Some(to) = self.y.plus(j, cut) {
                    row[to] = row[to].max(row[j] + self.holds(wide, Some(cut - 1)));
                }
            }
        }
        Ok(())
    }

    /// What a part that is cut off holds.
    fn holds(&self, i: Option<usize>, j: Option<usize>) -> i64 {
        let (Some(i), Some(j)) = (i, j) else {
            return 0;
        };
        let at = self.board.at(self.layer, i, j);
        i64::try_from(self.worth[at]).unwrap_or(i64::MAX / 4)
    }
}
