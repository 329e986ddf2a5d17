//! Answers a [`Program`]: exact, deterministic, proved.
//!
//! ```text
//! program   what is asked                    mps       and as a file for other solvers
//! problem   bounds, groups, rows             proof     refutations as data
//! search    decides one problem              check     replays, and shares no code with search
//!   engine, scope, lp                        conflict  irreducible conflicts
//! stages    the ordered preferences          held      why an unknown stops where it does
//!   book, owners, grounds, certificate       export    a stage's question, for another solver
//! apart     again with other right sides      extent    how much is told
//! limits    how long it may take              solution  what is answered
//! enumerate all minimal conflicts            repair    the cheapest changes that make it hold
//!   desk, duals                                price, changes
//! ```
//!
//! Numbers are ticks, and whole. Floats occur in `lp` alone, and only propose. Whatever is returned
//! was accepted by [`check`] first: values row by row, "cannot be better", "cannot be kept" and
//! "does not fit" by replaying a [`proof`]. A limit that is met never becomes "does not fit".
//!
//! This room imports nothing of the crate.

mod apart;
mod book;
mod certificate;
mod changes;
pub mod check;
pub mod conflict;
mod desk;
mod duals;
mod engine;
mod enumerate;
mod export;
mod extent;
mod grounds;
mod held;
mod limits;
mod lp;
pub mod mps;
mod owners;
mod price;
pub mod problem;
pub mod program;
pub mod proof;
mod repair;
mod scope;
mod search;
mod solution;
mod stages;

pub use apart::{Answered, Apart, Counts, Memory, Settled, solve_apart};
pub use changes::{Change, Repair, RepairPart, Repairs};
pub use enumerate::{Conflicts, MinimalConflict, minimal_conflicts};
pub use export::{musts_program, stage_program};
pub use extent::Extent;
pub use limits::{Limits, Why};
pub use problem::Hint;
pub use repair::repairs;
pub use search::{Answer, decide};
pub use solution::{
    Certificate, Claim, Conflict, Held, Holder, Origin, Solution, StageOutcome, Stats, Verdict,
};

use book::Book;
use grounds::Grounds;
use limits::Meter;
use owners::Owners;
use program::{Force, Program, Stage};
use scope::Scope;
use search::{Reply, Solver};
use stages::Run;

/// Solves a program: musts first, then its stages in order.
///
/// The same program always gives the same answer unless the clock of `limits` was met, and the
/// verdict says so. Nothing in a program makes this panic; numbers too large to be added exactly
/// give [`Verdict::Undecided`].
#[must_use]
pub fn solve(program: &Program, limits: &Limits) -> Solution {
    solve_as_far(program, limits, &Extent::All)
}

/// As [`solve`], but it is told only of some sizes why they stop.
#[must_use]
pub fn solve_as_far(program: &Program, limits: &Limits, extent: &Extent) -> Solution {
    let mut run = match open(program, limits, extent) {
        Ok(run) => run,
        Err(solution) => return *solution,
    };
    let stages = (0..program.stages.len()).map(|at| run.stage(at));
    let stages = stages.collect();
    run.finish(stages)
}

/// Settles whether the musts hold; what comes next are the stages.
///
/// # Errors
/// The musts conflict, or a limit was met: that is the answer.
fn open<'a>(
    program: &'a Program,
    limits: &'a Limits,
    extent: &'a Extent,
) -> Result<Run<'a>, Box<Solution>> {
    let owners = Owners::new(program);
    let mut book =
        Book::open(program, |row| owners.is_must(row)).map_err(|why| Box::new(undecided(why)))?;
    if is_malformed(program) {
        return Err(undecided(Why::Malformed).into());
    }
    look_towards_the_stages(program, &mut book.solver);
    let scope = Scope::whole(&book.solver.engine);
    let reply = book.solver.ask(&scope, 0, &mut Meter::new(limits));
    if let Reply::Unsettled(why) = reply {
        return Err(undecided(why).into());
    }
    let run = Run {
        program,
        limits,
        owners,
        extent,
        grounds: Grounds::default(),
        witness: book.solver.found.clone(),
        book,
        kept: program
            .instances
            .iter()
            .map(|it| it.force == Force::Must)
            .collect(),
        held_by: vec![None; program.unknowns.len()],
        certificates: Vec::new(),
        met: Vec::new(),
        stats: Stats {
            questions: 1,
            ..Stats::default()
        },
    };
    match reply {
        Reply::Fails(proof) => Err(run.conflict(proof).into()),
        _ => Ok(run),
    }
}

fn is_malformed(program: &Program) -> bool {
    let is_wrong = |instance: &crate::solve::program::Instance| {
        instance.rows.end > program.rows.len()
            || instance.group.is_some_and(|id| {
                let group = program.groups.get(id.0 as usize);
                group.is_none_or(|it| instance.force == Force::Wish && it.alternatives.is_empty())
            })
    };
    program.instances.iter().any(is_wrong) || shares_rows(program)
}

/// Whether a row of a wish is another instance's, too: given up with the one, it would be asked for by
/// the other.
fn shares_rows(program: &Program) -> bool {
    let mut owned: Vec<Option<bool>> = vec![None; program.rows.len()];
    program.instances.iter().any(|instance| {
        let wish = instance.force == Force::Wish;
        instance.rows.clone().any(|row| {
            let before = owned.get_mut(row).and_then(|it| it.replace(wish));
            before.is_some_and(|before| wish || before)
        })
    })
}

/// Hints for the first witness: each unknown towards the first stage that names it. The unknowns
/// of the first stages tie the album together.
fn look_towards_the_stages(program: &Program, solver: &mut Solver) {
    for (at, stage) in program.stages.iter().enumerate().rev() {
        let Stage::Best { objective, .. } = stage else {
            continue;
        };
        for &(unknown, times) in objective {
            let place = unknown.0 as usize;
            if place < solver.hints.len() {
                solver.hints[place] = if times > 0 { Hint::Most } else { Hint::Least };
                solver.first[place] |= at < program.first_stages;
            }
        }
    }
}

fn undecided(why: Why) -> Solution {
    Solution {
        verdict: Verdict::Undecided { why },
        values: Vec::new(),
        taken: Vec::new(),
        stages: Vec::new(),
        held_by: Vec::new(),
        unlimited: Vec::new(),
        certificates: Vec::new(),
        stats: Stats::default(),
    }
}

impl Run<'_> {
    /// Reduces a proof that the musts cannot hold to few of them.
    fn conflict(mut self, proof: proof::Proof) -> Solution {
        // The rows of the first proof conflict already; the others' owners need not be looked at.
        let used = proof::rows_used(&proof);
        let origins: Vec<Origin> = used
            .iter()
            .map(|&at| self.book.origins[at as usize])
            .collect();
        let core = held::named_core(&self.book, &origins, &self.owners, self.limits);
        let (holders, proof, proved_minimal) = match core {
            Some(core) => (core.holders, core.proof, core.proved_minimal),
            // The first proof stands, whatever a later question met.
            None => (self.owners.holders(&origins), proof, false),
        };
        let certificate = self.book.certify(Claim::Conflict, proof);
        let certificate = match self.certify(certificate) {
            Ok(certificate) => certificate,
            Err(why) => return undecided(why),
        };
        let mut instances = Vec::new();
        let mut rows = Vec::new();
        for holder in holders {
            match holder {
                Holder::Instance(id) => instances.push(id),
                Holder::Row(id) => rows.push(id),
                Holder::Stage(_) | Holder::Bound => {}
            }
        }
        self.stats.nodes = self.book.solver.visited;
        Solution {
            verdict: Verdict::Conflict(Conflict {
                instances,
                rows,
                proved_minimal,
                certificate,
            }),
            certificates: self.certificates,
            stats: self.stats,
            ..undecided(Why::Refused)
        }
    }

    fn finish(mut self, stages: Vec<StageOutcome>) -> Solution {
        if check::witness(self.book.solver.engine.problem(), &self.witness).is_err() {
            return undecided(Why::Refused);
        }
        self.stats.witnesses_checked += 1;
        self.stats.nodes = self.book.solver.visited;
        let unlimited = self
            .program
            .unknowns
            .iter()
            .zip(&self.witness.values)
            .enumerate()
            .filter(|(_, (unknown, value))| unknown.open && **value == unknown.most)
            .map(|(at, _)| crate::solve::program::UnknownId(at as u32))
            .collect();
        let taken = self.witness.taken.iter().enumerate().map(|(at, &taken)| {
            let owner = self
                .owners
                .wish_of_group(crate::solve::program::GroupId(at as u32));
            owner.is_none_or(|wish| self.kept[wish]).then_some(taken)
        });
        Solution {
            verdict: if self.met.is_empty() {
                Verdict::FitsBest
            } else {
                Verdict::FitsFound {
                    reproducible: self.met.iter().all(|why| why.is_reproducible()),
                }
            },
            taken: taken.collect(),
            values: self.witness.values,
            stages,
            held_by: self.held_by,
            unlimited,
            certificates: self.certificates,
            stats: self.stats,
        }
    }
}
