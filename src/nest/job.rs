//! What is asked: pieces, sheets at hand, and what the trimmer can do. All lengths are whole ticks.

use thiserror::Error;

/// The most pieces that one job may ask for, all counts together.
pub const MOST_PIECES: u64 = 1_000_000_000;
/// The most kinds of piece in one job, and the most stocks.
pub const MOST_KINDS: usize = 1_000;
/// The longest side of a sheet or a piece (ticks), trim and gap included.
pub const LONGEST_SIDE: u64 = 1 << 20;
/// The most cells (cut positions across times cut positions down) that are looked at for a stock; one
/// with more is cut by the plain way alone.
pub const MOST_CELLS: u64 = 36_000_000;

/// Pieces of one size.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Piece {
    /// What the maker calls it; only for those who read the answer.
    pub name: String,
    /// Width (ticks), at least 1.
    pub width: u64,
    /// Height (ticks), at least 1.
    pub height: u64,
    /// How many are wanted, at least 1. [`super::fill`] does not read it.
    pub count: u64,
    /// Whether it may lie turned by a quarter, where the stock allows it too.
    pub turn: bool,
    /// What one is worth to [`super::fill`]; its area where nothing is said. The fewest sheets do
    /// not depend on it.
    pub value: Option<u64>,
    /// The most of these that may come from one stock, all its sheets together: pieces that look
    /// alike are spread over papers. Nothing said: any number.
    pub most_alike: Option<u64>,
}

/// What is cut off the four edges before anything else (ticks), the blade's own width included.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Trim {
    pub left: u64,
    pub right: u64,
    pub top: u64,
    pub bottom: u64,
}

/// Sheets of one size and paper; an offcut is a stock with one sheet.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Stock {
    /// What the maker calls it; only for those who read the answer.
    pub name: String,
    /// Width (ticks), at least 1.
    pub width: u64,
    /// Height (ticks), at least 1.
    pub height: u64,
    /// How many there are; nothing said: as many as are wanted.
    pub count: Option<u64>,
    /// What one sheet costs, at least 1. The answer has the least cost in all: the fewest sheets
    /// where every sheet costs the same.
    pub cost: u64,
    /// Whether pieces may lie turned on it: no for paper that is printed with a direction.
    pub turn: bool,
    /// Edges that are cut off first.
    pub trim: Trim,
}

/// How often the direction of the cuts may change on one sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stages {
    /// Rips across the whole sheet, in one direction that each sheet chooses; then each strip cut
    /// across; then, for one piece at a time, one cut more that only takes waste off.
    Two,
    /// As two, and each block is ripped again before that last cut.
    #[default]
    Three,
    /// Any straight cuts, edge to edge of what lies on the trimmer.
    Free,
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Job {
    pub pieces: Vec<Piece>,
    pub stocks: Vec<Stock>,
    pub stages: Stages,
    /// What the blade takes away with every cut (ticks).
    pub gap: u64,
    /// The narrowest strip that the trimmer holds (ticks): no cut leaves less than this on either
    /// side, waste included. 0 and 1 forbid nothing. Trimming the sheet's edges is not held to it.
    pub narrowest: u64,
}

/// What is wrong with a job. Numbers are places in its lists and ticks.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum JobError {
    #[error("there are no pieces")]
    NoPieces,
    #[error("there are no sheets to cut from")]
    NoStocks,
    #[error("more than {MOST_KINDS} sizes of piece or sheet")]
    TooManyKinds,
    #[error("piece {piece} is asked for 0 times")]
    ZeroCount { piece: usize },
    #[error("piece {piece} has a side of 0")]
    ZeroSide { piece: usize },
    #[error("sheet {stock} has a side of 0, or its trim leaves nothing of it")]
    NothingLeft { stock: usize },
    #[error("sheet {stock} costs nothing; a cost is at least 1")]
    ZeroCost { stock: usize },
    #[error("a side of piece {piece} is longer than {LONGEST_SIDE} ruler steps")]
    PieceTooLong { piece: usize },
    #[error("a side of sheet {stock} is longer than {LONGEST_SIDE} ruler steps")]
    SheetTooLong { stock: usize },
    /// The piece fits none of the stocks. `stock` is the one that it exceeds least; `turned` says
    /// which way up it does; `over` is by how much (width, height), at least one of them not 0.
    #[error("piece {piece} is larger than sheet {stock} by {} x {}", over.0, over.1)]
    PieceTooLarge {
        piece: usize,
        stock: usize,
        turned: bool,
        over: (u64, u64),
    },
    #[error("piece {piece} is narrower than the trimmer holds by {by}")]
    TooNarrow { piece: usize, by: u64 },
    /// Cutting the piece from any sheet leaves a strip that the trimmer does not hold; `left` is
    /// what is left of `stock` beside it and below it.
    #[error("piece {piece} leaves a strip of sheet {stock} that the trimmer does not hold")]
    LeavesSliver {
        piece: usize,
        stock: usize,
        left: (u64, u64),
    },
    #[error("more than {MOST_PIECES} pieces in all")]
    TooManyPieces,
    #[error("the values or costs add up to more than can be counted exactly")]
    TooMuch,
}

impl Stock {
    /// Width and height (ticks) after trimming; `None` if the trim leaves nothing.
    #[must_use]
    pub fn trimmed(&self) -> Option<(u64, u64)> {
        let width = self.width.checked_sub(self.trim.left)?;
        let width = width.checked_sub(self.trim.right)?;
        let height = self.height.checked_sub(self.trim.top)?;
        let height = height.checked_sub(self.trim.bottom)?;
        (width > 0 && height > 0).then_some((width, height))
    }
}

impl Piece {
    /// What it is worth to a fill: its value, or its area (square ticks). Sides are in bounds.
    #[must_use]
    pub fn worth(&self) -> u64 {
        self.value.unwrap_or(self.width * self.height)
    }

    /// The ways up that `stock` allows: (width, height, turned).
    pub fn ways<'a>(&'a self, stock: &Stock) -> impl Iterator<Item = (u64, u64, bool)> + use<'a> {
        let both = self.turn && stock.turn && self.width != self.height;
        let turned = both.then_some((self.height, self.width, true));
        std::iter::once((self.width, self.height, false)).chain(turned)
    }
}

impl Job {
    /// Everything that is wrong with the job, at once.
    ///
    /// # Errors
    /// See [`JobError`].
    pub fn check(&self) -> Result<(), Vec<JobError>> {
        let mut wrong = Vec::new();
        if self.pieces.is_empty() {
            wrong.push(JobError::NoPieces);
        }
        if self.stocks.is_empty() {
            wrong.push(JobError::NoStocks);
        }
        if self.pieces.len().max(self.stocks.len()) > MOST_KINDS {
            wrong.push(JobError::TooManyKinds);
        }
        let mut pieces = 0u64;
        for (piece, p) in self.pieces.iter().enumerate() {
            let shortest = p.width.min(p.height);
            if p.count == 0 {
                wrong.push(JobError::ZeroCount { piece });
            }
            if shortest == 0 {
                wrong.push(JobError::ZeroSide { piece });
            } else if shortest < self.narrowest {
                let by = self.narrowest - shortest;
                wrong.push(JobError::TooNarrow { piece, by });
            }
            if p.width.max(p.height).saturating_add(self.gap) > LONGEST_SIDE {
                wrong.push(JobError::PieceTooLong { piece });
            }
            pieces = pieces.saturating_add(p.count);
        }
        if pieces > MOST_PIECES {
            wrong.push(JobError::TooManyPieces);
        }
        for (stock, s) in self.stocks.iter().enumerate() {
            if s.trimmed().is_none() {
                wrong.push(JobError::NothingLeft { stock });
            }
            if s.cost == 0 {
                wrong.push(JobError::ZeroCost { stock });
            }
            if s.width.max(s.height).saturating_add(self.gap) > LONGEST_SIDE {
                wrong.push(JobError::SheetTooLong { stock });
            }
        }
        let dearest = self.stocks.iter().map(|s| s.cost).max().unwrap_or(0);
        let worthiest = self.pieces.iter().filter_map(|p| p.value).max();
        // A fill holds at most one piece a square tick.
        let most = u128::from(LONGEST_SIDE).pow(2);
        if u128::from(dearest) * u128::from(MOST_PIECES) > u128::from(u64::MAX / 4)
            || u128::from(worthiest.unwrap_or(0)) * most > u128::from(u64::MAX / 4) * 1024
        {
            wrong.push(JobError::TooMuch);
        }
        if wrong.is_empty() {
            wrong.extend((0..self.pieces.len()).filter_map(|p| self.too_large(p)));
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }

    /// What a cut leaves beside something, `beside` being all there is: whether the trimmer holds it.
    pub(super) fn holds(&self, beside: u64) -> bool {
        beside == 0 || self.narrowest <= 1 || beside >= self.gap + self.narrowest
    }

    fn too_large(&self, piece: usize) -> Option<JobError> {
        let mut nearest: Option<(u64, JobError)> = None;
        let mut sliver = None;
        for (at, stock) in self.stocks.iter().enumerate() {
            let (across, down) = stock.trimmed()?;
            for (width, height, turned) in self.pieces[piece].ways(stock) {
                let over = (width.saturating_sub(across), height.saturating_sub(down));
                let sum = over.0 + over.1;
                if sum == 0 {
                    let left = (across - width, down - height);
                    if self.holds(left.0) && self.holds(left.1) {
                        return None;
                    }
                    let stock = at;
                    sliver = Some(JobError::LeavesSliver { piece, stock, left });
                } else if nearest.as_ref().is_none_or(|(least, _)| sum < *least) {
                    let stock = at;
                    let error = JobError::PieceTooLarge {
                        piece,
                        stock,
                        turned,
                        over,
                    };
                    nearest = Some((sum, error));
                }
            }
        }
        sliver.or(nearest.map(|(_, error)| error))
    }
}
