//! The problem that a question is asked of: bounds, groups, rows; nothing of what they mean.
//!
//! Numbers are ticks. A [`Problem`] is well formed by construction: ids are in range, terms are
//! sorted, and no sum over a row can leave an `i128`. The search may therefore add without asking;
//! the checker, which trusts nobody, asks all the same.

use thiserror::Error;

/// The values an unknown may take (ticks, both ends included).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bounds {
    pub least: i64,
    pub most: i64,
}

/// Where to look for an unknown's value first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hint {
    /// Small values.
    Least,
    /// Large values.
    Most,
    /// This value (ticks), or the nearest one possible.
    At(i64),
}

impl Hint {
    pub fn within(self, bounds: Bounds) -> i64 {
        match self {
            Hint::Least => bounds.least,
            Hint::Most => bounds.most,
            Hint::At(value) => value.max(bounds.least).min(bounds.most),
        }
    }
}

/// One of the two bounds of an unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Least,
    Most,
}

/// `sum of coefficient * unknown <= most`, in force where every guard `(group, alternative)` is
/// taken.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Row {
    /// Sorted by unknown, no zeros, no repeats.
    pub terms: Vec<(u32, i64)>,
    pub most: i64,
    /// Sorted by group, no repeats.
    pub guards: Vec<(u32, u32)>,
}

impl Row {
    /// The row with its terms sorted and combined. `None` where a combined coefficient leaves an
    /// `i64`.
    #[must_use]
    pub fn new(terms: impl IntoIterator<Item = (u32, i64)>, most: i64) -> Option<Self> {
        let mut sorted: Vec<(u32, i64)> = terms.into_iter().collect();
        sorted.sort_by_key(|term| term.0);
        let mut terms: Vec<(u32, i64)> = Vec::with_capacity(sorted.len());
        for (unknown, coefficient) in sorted {
            match terms.last_mut() {
                Some(last) if last.0 == unknown => last.1 = last.1.checked_add(coefficient)?,
                _ => terms.push((unknown, coefficient)),
            }
        }
        terms.retain(|term| term.1 != 0);
        Some(Self {
            terms,
            most,
            guards: Vec::new(),
        })
    }

    /// A row that no plan satisfies while this alternative is taken.
    #[must_use]
    pub fn never(group: u32, alternative: u32) -> Self {
        Self {
            terms: Vec::new(),
            most: -1,
            guards: vec![(group, alternative)],
        }
    }

    /// The same row under guards, sorted.
    #[must_use]
    pub fn guarded(mut self, guards: impl IntoIterator<Item = (u32, u32)>) -> Self {
        self.guards = guards.into_iter().collect();
        self.guards.sort_unstable();
        self.guards.dedup();
        self
    }
}

/// Why a row was not taken into a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum ProblemError {
    #[error("a row names unknown {unknown}, which does not exist")]
    NoSuchUnknown { unknown: u32 },
    #[error("a row names alternative {alternative} of group {group}, which does not exist")]
    NoSuchAlternative { group: u32, alternative: u32 },
    #[error("a row's terms or guards are not sorted, or hold a zero or a repeat")]
    NotNormal,
    #[error("a row can reach numbers too large to add exactly")]
    TooLarge,
}

/// No sum over a row may pass this; far from the end of an `i128`, so that a sum and one more
/// term still fit.
const LARGEST_SUM: i128 = 1 << 124;

/// Unknowns between bounds, groups of alternatives (exactly one taken), and rows.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Problem {
    unknowns: Vec<Bounds>,
    groups: Vec<u32>,
    rows: Vec<Row>,
}

impl Problem {
    /// A problem without rows; `groups` holds each group's number of alternatives.
    #[must_use]
    pub fn new(unknowns: Vec<Bounds>, groups: Vec<u32>) -> Self {
        Self {
            unknowns,
            groups,
            rows: Vec::new(),
        }
    }

    #[must_use]
    pub fn unknowns(&self) -> &[Bounds] {
        &self.unknowns
    }

    /// Each group's number of alternatives.
    #[must_use]
    pub fn groups(&self) -> &[u32] {
        &self.groups
    }

    #[must_use]
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Adds a row and returns its number.
    ///
    /// # Errors
    /// Where the row is not in normal form, names something that does not exist, or can reach
    /// numbers beyond 2^124.
    pub fn push_row(&mut self, row: Row) -> Result<u32, ProblemError> {
        let mut sum = i128::from(row.most).abs();
        let mut before = None;
        for &(unknown, coefficient) in &row.terms {
            let bounds = self
                .unknowns
                .get(unknown as usize)
                .ok_or(ProblemError::NoSuchUnknown { unknown })?;
            if coefficient == 0 || before.is_some_and(|earlier| earlier >= unknown) {
                return Err(ProblemError::NotNormal);
            }
            before = Some(unknown);
            let reach = i128::from(bounds.least)
                .abs()
                .max(i128::from(bounds.most).abs());
            // Both factors are at most 2^63, and so is the number of terms far below 2^60.
            sum = reach
                .checked_mul(i128::from(coefficient).abs())
                .and_then(|part| sum.checked_add(part))
                .filter(|&sum| sum <= LARGEST_SUM)
                .ok_or(ProblemError::TooLarge)?;
        }
        for (at, &(group, alternative)) in row.guards.iter().enumerate() {
            if self
                .groups
                .get(group as usize)
                .is_none_or(|&count| alternative >= count)
            {
                return Err(ProblemError::NoSuchAlternative { group, alternative });
            }
            if at > 0 && row.guards[at - 1].0 >= group {
                return Err(ProblemError::NotNormal);
            }
        }
        let id = u32::try_from(self.rows.len()).map_err(|_| ProblemError::TooLarge)?;
        self.rows.push(row);
        Ok(id)
    }

    /// Takes the last row away again.
    pub(super) fn pop_row(&mut self) -> Option<Row> {
        self.rows.pop()
    }
}

/// Values and alternatives that satisfy a problem.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Witness {
    /// One for each unknown (ticks).
    pub values: Vec<i64>,
    /// One alternative for each group.
    pub taken: Vec<u32>,
}
