//! A job made ready for the search: equal pieces together, one board for each stock.

use super::answer::Stop;
use super::board::{Board, Spot, Way, layers};
use super::job::{Job, MOST_CELLS, Stock};
use super::ladder::Ladder;
use super::limits::Meter;

/// The most pairs of parts that the boards of a model hold together, and those made on one way down:
/// about 8 bytes each.
pub(super) const MOST_PAIRS: usize = 24_000_000;
/// A search looks at all positions beside waste while they have no more pairs than this.
const FEW_PAIRS: usize = 50_000;
/// The most cells of one table, all layers together: 8 bytes each, and more where layouts are kept.
const MOST_IN_TABLE: u64 = 40_000_000;
/// Pieces that are the same to the search.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// Places in the job's list.
    pub members: Vec<usize>,
    /// How many are wanted, all members together.
    pub count: u64,
}

/// A job for the search.
#[derive(Clone, Debug)]
pub(super) struct Model<'a> {
    pub job: &'a Job,
    pub kinds: Vec<Kind>,
    /// One for each stock, for bounds; `None` where no piece fits.
    pub boards: Vec<Option<Board>>,
}

impl<'a> Model<'a> {
    /// `any_number`: as many of each piece as one likes. `None` if there are more positions for cuts
    /// than memory holds.
    ///
    /// # Errors
    /// A limit was met.
    pub fn new(job: &'a Job, any_number: bool, meter: &mut Meter) -> Result<Option<Self>, Stop> {
        let kinds = kinds(job, any_number);
        let wanted: Vec<u64> = kinds.iter().map(|k| k.count).collect();
        let boards = boards(job, &kinds, &wanted, Grid::Bound, MOST_PAIRS, meter)?;
        Ok(boards.map(|boards| Self { job, kinds, boards }))
    }

    /// Boards for what is still wanted: they have fewer positions for cuts. None at all if they would
    /// hold more than `most` pairs.
    ///
    /// # Errors
    /// A limit was met.
    pub fn boards_for(
        &self,
        wanted: &[u64],
        grid: Grid,
        most: usize,
        meter: &mut Meter,
    ) -> Result<Vec<Option<Board>>, Stop> {
        let boards = boards(self.job, &self.kinds, wanted, grid, most, meter)?;
        Ok(boards.unwrap_or_else(|| vec![None; self.boards.len()]))
    }

    /// The same for all that is asked for.
    ///
    /// # Errors
    /// A limit was met.
    pub fn boards_of(&self, grid: Grid, meter: &mut Meter) -> Result<Vec<Option<Board>>, Stop> {
        let wanted: Vec<u64> = self.kinds.iter().map(|k| k.count).collect();
        self.boards_for(&wanted, grid, MOST_PAIRS, meter)
    }

    /// Width and height (ticks) of a kind.
    pub fn size(&self, kind: usize, turned: bool) -> (u64, u64) {
        let piece = &self.job.pieces[self.kinds[kind].members[0]];
        if turned {
            (piece.height, piece.width)
        } else {
            (piece.width, piece.height)
        }
    }
}

/// Which lengths a board knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Grid {
    /// Those that matter, whatever the trimmer holds.
    Bound,
    /// Those that matter, and where a narrowest strip is given what is really there, if these are few.
    Search,
    /// As for a search, however many they are: to fill a sheet with any number of each piece.
    Fill,
    /// All sums of sides: a cell for every two of them.
    AllSums,
}

/// A board for each stock; `None` if they hold more than `most` pairs together.
fn boards(
    job: &Job,
    kinds: &[Kind],
    wanted: &[u64],
    grid: Grid,
    most: usize,
    meter: &mut Meter,
) -> Result<Option<Vec<Option<Board>>>, Stop> {
    let mut boards: Vec<Option<Board>> = Vec::with_capacity(job.stocks.len());
    let mut left = most;
    for (at, stock) in job.stocks.iter().enumerate() {
        let same = |s: &Stock| (s.trimmed(), s.turn) == (stock.trimmed(), stock.turn);
        let twin = job.stocks[..at].iter().position(same);
        let board = match twin.and_then(|same| boards.get(same)) {
            Some(board) => board.clone(),
            None => match board(job, stock, kinds, wanted, grid, left, meter) {
                Ok(board) => board,
                Err(Unmade::TooFine) => return Ok(None),
                Err(Unmade::Stop(stop)) => return Err(stop),
            },
        };
        let Some(rest) = left.checked_sub(board.as_ref().map_or(0, Board::pairs)) else {
            return Ok(None);
        };
        left = rest;
        boards.push(board);
    }
    Ok(Some(boards))
}

fn kinds(job: &Job, any_number: bool) -> Vec<Kind> {
    let turns_everywhere = job.stocks.iter().all(|s| s.turn);
    let key = |at: usize| {
        let p = &job.pieces[at];
        let size = if p.turn && turns_everywhere {
            (p.width.min(p.height), p.width.max(p.height))
        } else {
            (p.width, p.height)
        };
        let turn = p.turn && p.width != p.height;
        (
            size,
            turn,
            p.most_alike.map(|most| (at, most)),
            any_number.then(|| p.worth()),
        )
    };
    let mut kinds: Vec<(_, Kind)> = Vec::new();
    for (at, piece) in job.pieces.iter().enumerate() {
        let key = key(at);
        let count = if any_number { u64::MAX } else { piece.count };
        match kinds.iter_mut().find(|(k, _)| *k == key) {
            Some((_, kind)) => {
                kind.members.push(at);
                kind.count = kind.count.saturating_add(count);
            }
            None => {
                let members = vec![at];
                kinds.push((key, Kind { members, count }));
            }
        }
    }
    kinds.into_iter().map(|(_, kind)| kind).collect()
}

/// Why there is no board.
enum Unmade {
    TooFine,
    Stop(Stop),
}

impl From<Stop> for Unmade {
    fn from(stop: Stop) -> Self {
        Unmade::Stop(stop)
    }
}

/// Where pieces may lie: in the cell above them; with a narrowest strip, in those that are exactly as
/// large or have waste on one side. `None` if there are too many.
fn spots(ways: &[Way], x: &Ladder, y: &Ladder, narrowest: Option<u32>) -> Option<Vec<Spot>> {
    let mut spots = Vec::new();
    for (at, way) in ways.iter().enumerate() {
        let (i, j) = (x.above(way.width)?, y.above(way.height)?);
        let mut spot = |cell: (usize, usize)| spots.push(Spot { cell, way: at });
        let Some(narrowest) = narrowest else {
            spot((i, j));
            continue;
        };
        let holds = |length: u32, side: u32| length == side || length >= side + narrowest;
        if y.points[j] == way.height {
            let wide = (i..x.len()).filter(|&i| holds(x.points[i], way.width));
            wide.for_each(|i| spot((i, j)));
        }
        if x.points[i] == way.width {
            let high = (j..y.len()).filter(|&j| y.points[j] != way.height);
            high.filter(|&j| holds(y.points[j], way.height))
                .for_each(|j| spot((i, j)));
        }
    }
    spots.sort_unstable();
    (spots.len() <= MOST_PAIRS / 8).then_some(spots)
}

fn board(
    job: &Job,
    stock: &Stock,
    kinds: &[Kind],
    wanted: &[u64],
    grid: Grid,
    most: usize,
    meter: &mut Meter,
) -> Result<Option<Board>, Unmade> {
    let Some((width, height)) = stock.trimmed() else {
        return Ok(None);
    };
    // Sides are at most `LONGEST_SIDE`: the job was checked.
    let grown = |side: u64| u32::try_from(side + job.gap).map_err(|_| Unmade::TooFine);
    let (width, height) = (grown(width)?, grown(height)?);
    let mut ways = Vec::new();
    let (mut across, mut down) = (Vec::new(), Vec::new());
    for (number, kind) in kinds.iter().enumerate() {
        if wanted[number] == 0 {
            continue;
        }
        let piece = &job.pieces[kind.members[0]];
        let (mut wide, mut high) = (Vec::new(), Vec::new());
        for (w, h, turned) in piece.ways(stock) {
            let (w, h) = (grown(w)?, grown(h)?);
            if w <= width && h <= height {
                wide.push(w);
                high.push(h);
                ways.push(Way {
                    kind: number,
                    turned,
                    width: w,
                    height: h,
                });
            }
        }
        across.push((wide, wanted[number]));
        down.push((high, wanted[number]));
    }
    if ways.is_empty() {
        return Ok(None);
    }
    let strict = job.narrowest > 1 && matches!(grid, Grid::Search | Grid::Fill);
    let narrowest = grown(job.narrowest)?;
    let mut complete = true;
    let mut ladder = |length: u32, sides: &[(Vec<u32>, u64)], most: usize| {
        let ladder = if strict {
            let few = match grid {
                Grid::Fill => most,
                _ => most.min(FEW_PAIRS),
            };
            let all = Ladder::strict(length, sides, narrowest, true, few, meter)?;
            complete &= all.is_some();
            match all {
                None => Ladder::strict(length, sides, narrowest, false, most, meter)?,
                all => all,
            }
        } else if grid == Grid::AllSums {
            Ladder::of_all_sums(length, sides, most, meter)?
        } else {
            Ladder::new(length, sides, most, meter)?
        };
        ladder.ok_or(Unmade::TooFine)
    };
    let x = ladder(width, &across, most)?;
    let y = ladder(height, &down, most.saturating_sub(x.pairs()))?;
    let (layers, roots) = layers(job.stages);
    let cells = x.len() as u64 * y.len() as u64;
    if cells > MOST_CELLS || cells * layers.len() as u64 > MOST_IN_TABLE {
        return Err(Unmade::TooFine);
    }
    let spots = spots(&ways, &x, &y, strict.then_some(narrowest)).ok_or(Unmade::TooFine)?;
    Ok(Some(Board {
        x,
        y,
        ways,
        spots,
        strict,
        complete,
        gap: job.gap,
        layers,
        roots,
    }))
}
