//! Tests an answer's cuttings against the job. Shares no code with what found them: it walks the
//! trees and adds up.

use super::answer::{Answer, Claim, Cutting, Divides, Fill, Part, Verdict, What};
use super::job::{Job, Stages};
use thiserror::Error;

/// What is wrong with an answer. `cutting` is a place in its list.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum VerifyError {
    #[error("cutting {cutting} names a sheet that is not in the job")]
    NoSuchStock { cutting: usize },
    #[error("cutting {cutting} names a piece that is not in the job")]
    NoSuchPiece { cutting: usize },
    #[error("cutting {cutting} is used for no sheet")]
    NoTimes { cutting: usize },
    #[error("cutting {cutting} does not start from the trimmed sheet")]
    WrongSheet { cutting: usize },
    #[error("a part of cutting {cutting} has no size, or is as large as what it was cut from")]
    WrongPart { cutting: usize },
    #[error("the parts of a split in cutting {cutting} do not make up the whole")]
    DoNotMakeUp { cutting: usize },
    #[error("a split in cutting {cutting} has too few parts, or a part split the same way")]
    WrongSplit { cutting: usize },
    #[error("cutting {cutting} leaves a strip that the trimmer does not hold")]
    TooNarrow { cutting: usize },
    #[error("cutting {cutting} has more stages than the job allows")]
    TooManyStages { cutting: usize },
    #[error("piece {piece} of cutting {cutting} has the wrong size or direction")]
    WrongPiece { cutting: usize, piece: usize },
    #[error("piece {piece} is cut {cut} times; {wanted} are wanted")]
    WrongCount {
        piece: usize,
        cut: u128,
        wanted: u64,
    },
    #[error("{used} sheets of stock {stock} are used; there are {there}")]
    TooManySheets {
        stock: usize,
        used: u128,
        there: u64,
    },
    #[error("{alike} of piece {piece} come from stock {stock}; at most {most} may")]
    TooManyAlike {
        piece: usize,
        stock: usize,
        alike: u128,
        most: u64,
    },
    #[error("the verdict does not agree with the cuttings, the bound and the certificate")]
    WrongVerdict,
    #[error("the pieces of the fill are worth {worth}, not what it says")]
    WrongValue { worth: u128 },
}

/// Whether the cuttings give every piece as often as it is wanted, in its direction, by straight
/// cuts that the trimmer can make, from sheets that are there; and whether the verdict agrees with
/// cost, bound and claim. The certificate itself is replayed by [`super::check_bound`].
///
/// # Errors
/// The first fault.
pub fn verify(job: &Job, answer: &Answer) -> Result<(), VerifyError> {
    let plan = !answer.cuttings.is_empty();
    let mut cost = 0u128;
    if plan {
        cost = verify_cuttings(job, &answer.cuttings)?;
    }
    let bound = u128::from(answer.lower_bound);
    let claimed = match answer.certificate.claim {
        Claim::CostsAtLeast(least) => least == answer.lower_bound,
        Claim::NotEnough => answer.verdict == Verdict::NotEnough,
    };
    let agrees = match answer.verdict {
        Verdict::Proved => plan && cost == bound,
        Verdict::Found => plan && cost > bound,
        Verdict::NotEnough => !plan && answer.certificate.claim == Claim::NotEnough,
        Verdict::Undecided => !plan,
    };
    if agrees && claimed {
        Ok(())
    } else {
        Err(VerifyError::WrongVerdict)
    }
}

/// As [`verify`], for cuttings alone; gives their cost.
///
/// # Errors
/// The first fault.
pub fn verify_cuttings(job: &Job, cuttings: &[Cutting]) -> Result<u128, VerifyError> {
    let mut cut = vec![0u128; job.pieces.len()];
    let mut alike = vec![vec![0u128; job.pieces.len()]; job.stocks.len()];
    let mut used = vec![0u128; job.stocks.len()];
    let mut cost = 0u128;
    for (at, cutting) in cuttings.iter().enumerate() {
        let walk = Walk::new(job, cutting.stock, at)?;
        if cutting.times == 0 {
            return Err(VerifyError::NoTimes { cutting: at });
        }
        let counts = walk.sheet(&cutting.sheet)?;
        let times = u128::from(cutting.times);
        for (piece, count) in counts.into_iter().enumerate() {
            cut[piece] += times * u128::from(count);
            alike[cutting.stock][piece] += times * u128::from(count);
        }
        used[cutting.stock] += times;
        cost += times * u128::from(job.stocks[cutting.stock].cost);
    }
    for (piece, p) in job.pieces.iter().enumerate() {
        if cut[piece] != u128::from(p.count) {
            let (cut, wanted) = (cut[piece], p.count);
            return Err(VerifyError::WrongCount { piece, cut, wanted });
        }
        for (stock, alike) in alike.iter().enumerate() {
            if let Some(most) = p.most_alike.filter(|&most| alike[piece] > u128::from(most)) {
                let alike = alike[piece];
                return Err(VerifyError::TooManyAlike {
                    piece,
                    stock,
                    alike,
                    most,
                });
            }
        }
    }
    for (stock, s) in job.stocks.iter().enumerate() {
        let used = used[stock];
        if let Some(there) = s.count.filter(|&there| used > u128::from(there)) {
            return Err(VerifyError::TooManySheets { stock, used, there });
        }
    }
    Ok(cost)
}

/// Whether a fill can be cut from its sheet and is worth what it says.
///
/// # Errors
/// The first fault.
pub fn verify_fill(job: &Job, fill: &Fill) -> Result<(), VerifyError> {
    let counts = Walk::new(job, fill.stock, 0)?.sheet(&fill.sheet)?;
    let each = job.pieces.iter().zip(counts);
    let worth = each.map(|(piece, count)| u128::from(piece.worth()) * u128::from(count));
    let worth: u128 = worth.sum();
    if worth == u128::from(fill.value) {
        Ok(())
    } else {
        Err(VerifyError::WrongValue { worth })
    }
}

/// One sheet of a job.
struct Walk<'a> {
    job: &'a Job,
    stock: usize,
    cutting: usize,
}

impl<'a> Walk<'a> {
    fn new(job: &'a Job, stock: usize, cutting: usize) -> Result<Self, VerifyError> {
        if stock >= job.stocks.len() {
            return Err(VerifyError::NoSuchStock { cutting });
        }
        Ok(Self {
            job,
            stock,
            cutting,
        })
    }

    /// How often each piece is cut from the sheet.
    fn sheet(&self, sheet: &Part) -> Result<Vec<u64>, VerifyError> {
        let cutting = self.cutting;
        if self.job.stocks[self.stock].trimmed() != Some((sheet.width, sheet.height)) {
            return Err(VerifyError::WrongSheet { cutting });
        }
        let mut counts = vec![0; self.job.pieces.len()];
        // Parts to look at, each with the splits above it and the direction of the last.
        let mut open = vec![(sheet, 0u32, None)];
        while let Some((part, depth, last)) = open.pop() {
            match &part.what {
                What::Offcut => {}
                What::Piece { piece, turned } => {
                    self.piece(part, *piece, *turned)?;
                    counts[*piece] += 1;
                }
                What::Split { divides, parts } => {
                    if last == Some(*divides) {
                        return Err(VerifyError::WrongSplit { cutting });
                    }
                    self.split(part, *divides, parts)?;
                    self.stages(depth, parts)?;
                    open.extend(parts.iter().map(|p| (p, depth + 1, Some(*divides))));
                }
            }
        }
        Ok(counts)
    }

    fn piece(&self, part: &Part, piece: usize, turned: bool) -> Result<(), VerifyError> {
        let cutting = self.cutting;
        let Some(p) = self.job.pieces.get(piece) else {
            return Err(VerifyError::NoSuchPiece { cutting });
        };
        let size = if turned {
            (p.height, p.width)
        } else {
            (p.width, p.height)
        };
        let may_turn = p.turn && self.job.stocks[self.stock].turn;
        if size != (part.width, part.height) || turned && !may_turn {
            return Err(VerifyError::WrongPiece { cutting, piece });
        }
        Ok(())
    }

    /// The parts have the whole's other measure, and with the gaps they make up this one.
    fn split(&self, whole: &Part, divides: Divides, parts: &[Part]) -> Result<(), VerifyError> {
        let cutting = self.cutting;
        let (length, across) = match divides {
            Divides::Width => (whole.width, whole.height),
            Divides::Height => (whole.height, whole.width),
        };
        let mut at = 0u128;
        for (number, part) in parts.iter().enumerate() {
            let (own, other) = match divides {
                Divides::Width => (part.width, part.height),
                Divides::Height => (part.height, part.width),
            };
            if other != across || own == 0 || own >= length {
                return Err(VerifyError::WrongPart { cutting });
            }
            if own < self.job.narrowest {
                return Err(VerifyError::TooNarrow { cutting });
            }
            at += u128::from(own);
            if number > 0 {
                at += u128::from(self.job.gap);
            }
        }
        let length = u128::from(length);
        if parts.is_empty() || at > length || length - at > u128::from(self.job.gap) {
            return Err(VerifyError::DoNotMakeUp { cutting });
        }
        if at < length && self.job.narrowest > 1 {
            return Err(VerifyError::TooNarrow { cutting });
        }
        Ok(())
    }

    /// `depth` splits lie above this one. One more than the job's stages may take waste off a
    /// single piece by a single cut.
    fn stages(&self, depth: u32, parts: &[Part]) -> Result<(), VerifyError> {
        let most = match self.job.stages {
            Stages::Free => return Ok(()),
            Stages::Three => 3,
            Stages::Two => 2,
        };
        let is_piece = |p: &&Part| matches!(p.what, What::Piece { .. });
        let is_offcut = |p: &&Part| p.what == What::Offcut;
        let pieces = parts.iter().filter(is_piece).count();
        let offcuts = parts.iter().filter(is_offcut).count();
        let trims_one = pieces == 1 && offcuts <= 1 && pieces + offcuts == parts.len();
        if depth < most || depth == most && trims_one {
            Ok(())
        } else {
            let cutting = self.cutting;
            Err(VerifyError::TooManyStages { cutting })
        }
    }
}
