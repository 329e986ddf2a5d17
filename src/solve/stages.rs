//! The ordered preferences, settled one after the other.
//!
//! One engine holds the whole album. A stage looks only at the part that its unknowns and groups
//! reach through rows still live; what is settled is added as rows, so that every proof goes back
//! to the program's own rows and to earlier stages by name.

use super::book::{Book, Bookmark, at_least, row_of};
use super::check;
use super::extent::Extent;
use super::grounds::Grounds;
use super::limits::{Limits, Meter, Why};
use super::owners::Owners;
use super::problem::Hint;
use super::problem::{Row, Witness};
use super::program::{GroupId, InstanceId, Program, Stage, UnknownId};
use super::proof::Proof;
use super::scope::{self, Scope, Seed};
use super::search::Reply;
use super::solution::{Certificate, Claim, Held, Origin, StageOutcome, Stats};

/// One independent part of an objective: its terms divided by their common divisor.
struct Share {
    terms: Vec<(u32, i64)>,
    divisor: i128,
}

/// The state of a solution in the making.
pub(super) struct Run<'a> {
    pub program: &'a Program,
    pub limits: &'a Limits,
    pub owners: Owners,
    /// Musts, kept wishes and what the stages settled.
    pub book: Book,
    pub extent: &'a Extent,
    /// For explanations.
    pub grounds: Grounds,
    /// Satisfies `book` at any time.
    pub witness: Witness,
    pub kept: Vec<bool>,
    pub held_by: Vec<Option<Held>>,
    pub certificates: Vec<Certificate>,
    pub met: Vec<Why>,
    pub stats: Stats,
}

impl Run<'_> {
    pub fn stage(&mut self, at: usize) -> StageOutcome {
        let program = self.program;
        let outcome = match &program.stages[at] {
            _ if self.limits.is_over() => Err(Why::Clock),
            Stage::Keep(instance) => self.keep(at, *instance),
            Stage::Best { objective, .. } => self.best(at, objective),
            Stage::Choose(group) => self.choose(at, *group),
        };
        outcome.unwrap_or_else(|why| {
            self.met.push(why);
            StageOutcome::Unsettled { why, taken: None }
        })
    }

    /// Whether what the first stages are about is fixed, so that it ties nothing together any more.
    pub fn first_is_settled(&self) -> bool {
        let engine = &self.book.solver.engine;
        let first = &self.program.stages[..self.program.first_stages];
        first.iter().all(|stage| match stage {
            Stage::Keep(_) => true,
            Stage::Best { objective, .. } => {
                let mut terms = objective.iter();
                terms.all(|(unknown, _)| engine.is_fixed(unknown.0))
            }
            Stage::Choose(group) => engine.is_decided(group.0),
        })
    }

    /// Adds a certificate that the checker accepts.
    pub fn certify(&mut self, certificate: Option<Certificate>) -> Result<usize, Why> {
        let certificate = certificate
            .filter(|it| it.is_about(self.program))
            .filter(|it| check::replay(&it.problem, &it.proof).is_ok())
            .ok_or(Why::Refused)?;
        self.stats.proofs_checked += 1;
        self.stats.proof_nodes += certificate.proof.nodes.len();
        let steps = certificate.proof.nodes.iter().map(|node| node.steps.len());
        self.stats.proof_steps += steps.sum::<usize>();
        self.certificates.push(certificate);
        Ok(self.certificates.len() - 1)
    }

    /// The part reached from the seeds, in one scope.
    fn reach(&mut self, seeds: &[Seed]) -> Scope {
        let solver = &mut self.book.solver;
        let mut whole = Scope::default();
        for part in scope::reach(&solver.engine, seeds, &mut solver.places) {
            whole.unknowns.extend(part.unknowns);
            whole.groups.extend(part.groups);
            whole.rows.extend(part.rows);
        }
        whole.unknowns.sort_unstable();
        whole.groups.sort_unstable();
        whole.rows.sort_unstable();
        whole
    }

    /// Looks near the present witness first, but for the terms of an objective.
    fn aim(&mut self, scope: &Scope, objective: &[(u32, i64)]) {
        let solver = &mut self.book.solver;
        for &unknown in &scope.unknowns {
            solver.hints[unknown as usize] = Hint::At(self.witness.values[unknown as usize]);
        }
        for &group in &scope.groups {
            solver.favoured[group as usize] = self.witness.taken[group as usize];
        }
        for &(unknown, coefficient) in objective {
            solver.hints[unknown as usize] = if coefficient > 0 {
                Hint::Most
            } else {
                Hint::Least
            };
        }
    }

    /// Asks whether the rows added since the mark can hold beside the rest.
    fn ask(&mut self, scope: &Scope, mark: Bookmark) -> Reply {
        self.stats.questions += 1;
        let mut meter = Meter::new(self.limits);
        self.book.solver.ask(scope, mark.trail, &mut meter)
    }

    /// Takes over the values found for a scope.
    fn adopt(&mut self, scope: &Scope) {
        let found = &self.book.solver.found;
        for &unknown in &scope.unknowns {
            self.witness.values[unknown as usize] = found.values[unknown as usize];
        }
        for &group in &scope.groups {
            self.witness.taken[group as usize] = found.taken[group as usize];
        }
    }

    fn keep(&mut self, stage: usize, id: InstanceId) -> Result<StageOutcome, Why> {
        let program = self.program;
        let place = id.0 as usize;
        let instance = program.instances.get(place).ok_or(Why::Malformed)?;
        if self.kept[place] {
            return Ok(StageOutcome::Kept);
        }
        let mark = self.book.mark();
        let mut rows = Vec::new();
        for at in instance.rows.clone() {
            rows.push(row_of(program, at)?);
        }
        for (row, origin) in &rows {
            if let Err(why) = self.book.push(row.clone(), *origin) {
                self.book.undo(mark);
                return Err(why);
            }
        }
        if !self.witness_keeps(&rows, instance.group) {
            let mut seeds = Vec::new();
            for (row, _) in &rows {
                seeds.extend(row.terms.iter().map(|term| Seed::Unknown(term.0)));
                seeds.extend(row.guards.iter().map(|guard| Seed::Group(guard.0)));
            }
            let scope = self.reach(&seeds);
            self.aim(&scope, &[]);
            match self.ask(&scope, mark) {
                Reply::Holds => self.adopt(&scope),
                Reply::Fails(proof) => {
                    let certificate = self.book.certify(Claim::Dropped { stage }, proof);
                    self.book.undo(mark);
                    let certificate = self.certify(certificate)?;
                    return Ok(StageOutcome::Dropped { certificate });
                }
                Reply::Unsettled(why) => {
                    self.book.undo(mark);
                    return Err(why);
                }
            }
        }
        self.book.settle()?;
        self.kept[place] = true;
        self.grounds.kept.push(id);
        Ok(StageOutcome::Kept)
    }

    /// Whether the present values satisfy a wish, under some alternative of its own group.
    fn witness_keeps(&mut self, rows: &[(Row, Origin)], group: Option<GroupId>) -> bool {
        let (own, count) = match group {
            Some(id) => (
                Some(id.0 as usize),
                self.book
                    .solver
                    .engine
                    .problem()
                    .groups()
                    .get(id.0 as usize),
            ),
            None => (None, None),
        };
        for alternative in 0..count.copied().unwrap_or(1) {
            let taken = |&(group, at): &(u32, u32)| {
                if own == Some(group as usize) {
                    alternative == at
                } else {
                    self.witness.taken[group as usize] == at
                }
            };
            let holds = rows.iter().all(|(row, _)| {
                !row.guards.iter().all(taken) || self.value(&row.terms) <= i128::from(row.most)
            });
            if holds {
                if let Some(own) = own {
                    self.witness.taken[own] = alternative;
                }
                return true;
            }
        }
        false
    }

    /// A sum at the witness. The rows' sums were found to fit an `i128` when they were added; so
    /// were an objective's before it is used here.
    fn value(&self, terms: &[(u32, i64)]) -> i128 {
        terms
            .iter()
            .map(|&(unknown, times)| {
                i128::from(times) * i128::from(self.witness.values[unknown as usize])
            })
            .sum()
    }

    fn best(&mut self, stage: usize, objective: &[(UnknownId, i64)]) -> Result<StageOutcome, Why> {
        let whole = Row::new(
            objective.iter().map(|&(unknown, times)| (unknown.0, times)),
            0,
        )
        .ok_or(Why::TooLarge)?;
        // Tests ids and sizes once, also for the negated rows that follow.
        let mark = self.book.mark();
        self.book.push(whole.clone(), Origin::Assumed)?;
        self.book.undo(mark);

        let seeds: Vec<Seed> = whole
            .terms
            .iter()
            .map(|term| Seed::Unknown(term.0))
            .collect();
        let solver = &mut self.book.solver;
        let mut parts = scope::reach(&solver.engine, &seeds, &mut solver.places);
        // What is fixed already is one more part, for which there is nothing to search.
        parts.insert(0, Scope::default());
        let engine = &self.book.solver.engine;
        let terms = whole.terms.iter().map(|term| term.0);
        let settled: Vec<u32> = terms.filter(|&at| engine.is_fixed(at)).collect();
        let mut value = 0i128;
        let mut proved = true;
        let mut certificates = Vec::new();
        for (at, part) in parts.iter().enumerate() {
            let mut terms: Vec<(u32, i64)> = whole.terms.clone();
            terms.retain(|&(unknown, _)| match at {
                0 => settled.contains(&unknown),
                _ => part.unknowns.binary_search(&unknown).is_ok(),
            });
            if terms.is_empty() {
                continue;
            }
            let divisor = terms
                .iter()
                .fold(0, |sum, term| num_integer::gcd(sum, i128::from(term.1)));
            for term in &mut terms {
                term.1 = (i128::from(term.1) / divisor) as i64;
            }
            let share = Share { terms, divisor };
            let improved = self.improve(stage, &share, part);
            let reached = self.value(&share.terms);
            self.fix(stage, &share, reached, improved.is_ok())?;
            match improved {
                Ok(certificate) => certificates.push(certificate),
                Err(why) => {
                    proved = false;
                    self.met.push(why);
                }
            }
            value += reached * divisor;
        }
        if let [(unknown, times)] = whole.terms[..]
            && proved
            && self.extent.tells(UnknownId(unknown))
            && self.held_by[unknown as usize].is_none()
        {
            self.held_by[unknown as usize] =
                self.held(stage, unknown, times > 0, certificates.first().copied());
        }
        Ok(StageOutcome::Best {
            value,
            proved,
            certificates,
        })
    }

    /// The objective stays where it is: at least (a preference), and at most (if proved).
    fn fix(&mut self, stage: usize, share: &Share, reached: i128, proved: bool) -> Result<(), Why> {
        let reached = i64::try_from(reached).map_err(|_| Why::TooLarge)?;
        let origin = Origin::Optimum { stage };
        self.book.push(at_least(&share.terms, reached)?, origin)?;
        if proved {
            let row = Row::new(share.terms.iter().copied(), reached).ok_or(Why::TooLarge)?;
            self.book.push(row, origin)?;
        }
        self.book.settle()
    }

    /// Moves the witness to the best value of a share, and proves it; else the limit that was met.
    fn improve(&mut self, stage: usize, share: &Share, scope: &Scope) -> Result<usize, Why> {
        let mut low = self.value(&share.terms);
        let mut high: i128 = share
            .terms
            .iter()
            .map(|&(unknown, times)| {
                let bounds = self.book.solver.engine.bounds(unknown);
                let at = if times > 0 { bounds.most } else { bounds.least };
                i128::from(times) * i128::from(at)
            })
            .sum();
        let mut refuted: Option<(i128, Proof)> = None;
        let mut attempt = 0;
        loop {
            // The propagated bound is the optimum more often than not; then one tick; then halves.
            let target = match attempt {
                _ if low >= high => low + 1,
                0 => high,
                1 => low + 1,
                _ => low + (high - low + 1) / 2,
            };
            attempt += 1;
            if let Some((at, proof)) = refuted.take_if(|it| it.0 == low + 1) {
                // The row is added again for its number and its origin.
                let mark = self.book.mark();
                self.assume_at_least(share, at)?;
                let claim = Claim::Best {
                    stage,
                    value: low * share.divisor,
                };
                let certificate = self.book.certify(claim, proof);
                self.book.undo(mark);
                return self.certify(certificate);
            }
            let mark = self.book.mark();
            let row = self.assume_at_least(share, target)?;
            let mut asked = scope.clone();
            asked.rows.push(row);
            self.aim(scope, &share.terms);
            let reply = self.ask(&asked, mark);
            self.book.undo(mark);
            match reply {
                Reply::Holds => {
                    self.adopt(scope);
                    low = self.value(&share.terms);
                }
                Reply::Fails(proof) => {
                    high = target - 1;
                    refuted = Some((target, proof));
                }
                Reply::Unsettled(why) => return Err(why),
            }
        }
    }

    fn assume_at_least(&mut self, share: &Share, target: i128) -> Result<u32, Why> {
        let target = i64::try_from(target).map_err(|_| Why::TooLarge)?;
        self.book
            .push(at_least(&share.terms, target)?, Origin::Assumed)
    }

    fn choose(&mut self, stage: usize, id: GroupId) -> Result<StageOutcome, Why> {
        let group = id.0;
        let count = self.program.groups.get(id.0 as usize);
        let count = count.ok_or(Why::Malformed)?.alternatives.len() as u32;
        if let Some(owner) = self.owners.wish_of_group(id)
            && !self.kept[owner]
        {
            return Ok(StageOutcome::Absent);
        }
        let mut skipped = Vec::new();
        let mut unsettled = None;
        for alternative in 0..count {
            if self.witness.taken[group as usize] == alternative {
                break;
            }
            let mark = self.book.mark();
            for other in (0..count).filter(|&other| other != alternative) {
                self.book.push(Row::never(group, other), Origin::Assumed)?;
            }
            let scope = self.reach(&[Seed::Group(group)]);
            self.aim(&scope, &[]);
            self.book.solver.favoured[group as usize] = alternative;
            match self.ask(&scope, mark) {
                Reply::Holds => {
                    self.adopt(&scope);
                    self.book.undo(mark);
                    break;
                }
                Reply::Unsettled(why) => {
                    self.book.undo(mark);
                    unsettled = Some(why);
                    break;
                }
                Reply::Fails(proof) => {
                    let claim = Claim::Skipped { stage, alternative };
                    let certificate = self.book.certify(claim, proof);
                    self.book.undo(mark);
                    skipped.push(self.certify(certificate)?);
                    self.rule_out(stage, group, alternative)?;
                    self.book.settle()?;
                }
            }
        }
        let alternative = self.witness.taken[group as usize];
        for other in (0..count).filter(|&other| other != alternative) {
            self.rule_out(stage, group, other)?;
        }
        self.book.settle()?;
        Ok(match unsettled {
            None => StageOutcome::Chosen {
                alternative,
                skipped,
            },
            Some(why) => {
                self.met.push(why);
                StageOutcome::Unsettled {
                    why,
                    taken: Some(alternative),
                }
            }
        })
    }

    fn rule_out(&mut self, stage: usize, group: u32, alternative: u32) -> Result<(), Why> {
        if self.book.solver.engine.is_open(group, alternative) {
            let row = Row::never(group, alternative);
            self.book.push(row, Origin::Choice { stage })?;
        }
        Ok(())
    }
}
