//! Programs of whole numbers: every certificate is replayed; small programs are tried point by point.

use crate::Dice;
use crate::enumerate::{self, Outcome};
use crate::points::{Point, holds, must_rows, points};
use std::time::Duration;
use tuckwright::solve::mps::write_mps;
use tuckwright::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Stage, Unknown, UnknownId,
};
use tuckwright::solve::{
    Certificate, Change, Limits, Repair, Solution, StageOutcome, Verdict, check, minimal_conflicts,
    musts_program, repairs, solve, stage_program,
};

/// No clock decides.
fn limits(nodes: u64) -> Limits {
    Limits {
        nodes,
        clock: Duration::from_secs(3_600),
        ..Limits::default()
    }
}

/// How large the numbers are, and whether every name exists.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Small enough for every point to be tried.
    Small,
    /// As sizes in ruler steps are.
    Usual,
    /// Up to the ends of their type.
    Huge,
    /// Huge, and names of things that do not exist.
    Malformed,
}

struct Maker<'d> {
    dice: &'d mut Dice,
    kind: Kind,
    program: Program,
    /// Groups that belong to no instance: every row may name them.
    supplies: usize,
}

impl Maker<'_> {
    fn number(&mut self, small: i64, usual: i64) -> i64 {
        let most = match self.kind {
            Kind::Small => small,
            Kind::Usual => usual,
            Kind::Huge | Kind::Malformed => match self.dice.between(0, 3) {
                0 => small,
                1 => usual,
                2 => 1 << 40,
                _ => return self.dice.between(i64::MIN, i64::MAX),
            },
        };
        self.dice.between(-most, most)
    }

    /// A place in a list of so many; beyond it now and then in a malformed program.
    fn place(&mut self, many: usize) -> u32 {
        let beyond = i64::from(self.kind == Kind::Malformed && self.dice.chance(10));
        self.dice.between(0, (many as i64 - 1).max(0) + beyond) as u32
    }

    fn unknown(&mut self) {
        let at = self.program.unknowns.len();
        let least = self.number(2, 100);
        let most = match self.kind {
            Kind::Small => least + self.dice.between(0, 4),
            Kind::Usual => least + self.dice.between(-1, 2_000),
            _ => self.number(9, 2_000),
        };
        self.program.unknowns.push(Unknown {
            name: format!("x{at}"),
            least,
            most,
            open: self.dice.chance(10),
        });
    }

    fn group(&mut self) -> u32 {
        let at = self.program.groups.len();
        let least = i64::from(self.kind != Kind::Malformed);
        let alternatives = 0..self.dice.between(least, 3);
        self.program.groups.push(Group {
            name: format!("g{at}"),
            alternatives: alternatives.map(|n| format!("a{n}")).collect(),
        });
        at as u32
    }

    fn terms(&mut self, most: i64) -> Vec<(UnknownId, i64)> {
        let mut terms: Vec<(UnknownId, i64)> = Vec::new();
        for _ in 0..self.dice.between(0, most) {
            let at = self.place(self.program.unknowns.len());
            terms.push((UnknownId(at), self.number(3, 12)));
        }
        if self.kind != Kind::Malformed {
            terms.sort_unstable();
            terms.dedup_by_key(|term| term.0);
            terms.retain(|term| term.1 != 0);
        }
        terms
    }

    fn guards(&mut self, own: Option<u32>) -> Vec<Guard> {
        let mut groups: Vec<u32> = own.filter(|_| self.dice.chance(85)).into_iter().collect();
        let many = match self.kind {
            Kind::Malformed => self.program.groups.len(),
            _ => self.supplies,
        };
        if many > 0 && self.dice.chance(35) {
            groups.push(self.place(many));
        }
        groups.sort_unstable();
        groups.dedup();
        let mut guards = Vec::new();
        for group in groups {
            let of = self.program.groups.get(group as usize);
            let many = of.map_or(1, |it| it.alternatives.len());
            let alternative = self.place(many);
            let group = GroupId(group);
            guards.push(Guard { group, alternative });
        }
        guards
    }

    fn instance(&mut self, force: Force) -> InstanceId {
        let own = self.dice.chance(25).then(|| self.group());
        let from = self.program.rows.len();
        for _ in 0..self.dice.between(1, 3) {
            let row = Row {
                terms: self.terms(3),
                most: self.number(5, 3_000),
                guards: self.guards(own),
            };
            if self.dice.chance(25) && row.most != i64::MIN {
                let negated = |&(at, times): &(UnknownId, i64)| Some((at, times.checked_neg()?));
                let terms: Option<Vec<_>> = row.terms.iter().map(negated).collect();
                self.program.rows.extend(terms.map(|terms| Row {
                    terms,
                    most: -row.most,
                    guards: row.guards.clone(),
                }));
            }
            self.program.rows.push(row);
        }
        let mut rows = from..self.program.rows.len();
        if self.kind == Kind::Malformed && self.dice.chance(10) {
            rows.end += 1;
        }
        self.program.instances.push(Instance {
            rule: self.program.instances.len(),
            force,
            rows,
            group: own.map(GroupId),
        });
        InstanceId(self.program.instances.len() as u32 - 1)
    }

    fn program(mut self) -> Program {
        let most = if self.kind == Kind::Small { 3 } else { 8 };
        for _ in 0..self.dice.between(1, most) {
            self.unknown();
        }
        for _ in 0..self.dice.between(0, 2) {
            self.group();
        }
        self.supplies = self.program.groups.len();
        let mut stages = Vec::new();
        let most = if self.kind == Kind::Small { 5 } else { 12 };
        for _ in 0..self.dice.between(1, most) {
            let wish = self.dice.chance(40);
            let id = self.instance(if wish { Force::Wish } else { Force::Must });
            if wish {
                stages.push(Stage::Keep(id));
            }
        }
        for _ in 0..self.dice.between(0, 3) {
            stages.push(Stage::Best {
                name: String::new(),
                objective: self.terms(3),
            });
        }
        for at in 0..self.program.unknowns.len() as u32 {
            let times = if self.dice.chance(50) { 1 } else { -1 };
            stages.push(Stage::Best {
                name: String::new(),
                objective: vec![(UnknownId(at), times)],
            });
        }
        for at in 0..self.program.groups.len() as u32 {
            stages.push(Stage::Choose(GroupId(at)));
        }
        if self.kind == Kind::Malformed {
            let many = self.program.instances.len();
            stages.push(Stage::Keep(InstanceId(self.place(many))));
            let many = self.program.groups.len();
            stages.push(Stage::Choose(GroupId(self.place(many))));
        }
        if self.dice.chance(70) {
            self.dice.shuffle(&mut stages);
        }
        self.program.first_stages = self.dice.between(0, 2) as usize;
        self.program.stages = stages;
        self.program
    }
}

fn drawn(dice: &mut Dice) -> (Kind, Program) {
    let kind = *dice.pick(&[
        Kind::Small,
        Kind::Small,
        Kind::Usual,
        Kind::Huge,
        Kind::Malformed,
    ]);
    let program = Program::default();
    let maker = Maker {
        dice,
        kind,
        program,
        supplies: 0,
    };
    (kind, maker.program())
}

fn replayed(program: &Program, certificates: &[Certificate]) {
    for certificate in certificates {
        let replayed = check::replay(&certificate.problem, &certificate.proof);
        assert_eq!(replayed, Ok(()), "{program:?}");
        assert!(certificate.is_about(program), "{program:?}");
    }
}

/// Whether a row holds, in numbers that do not overflow.
fn keeps(row: &Row, solution: &Solution) -> bool {
    let taken = |it: &Guard| solution.taken[it.group.0 as usize] == Some(it.alternative);
    let sum = row
        .terms
        .iter()
        .map(|&(at, times)| i128::from(times) * i128::from(solution.values[at.0 as usize]));
    !row.guards.iter().all(taken) || sum.sum::<i128>() <= i128::from(row.most)
}

/// Solves a program; the answer is checked without the solver.
pub fn solved(bytes: &[u8]) {
    let mut dice = Dice::of(bytes);
    let (kind, program) = drawn(&mut dice);
    let nodes = *dice.pick(&[2_000, 2_000, 0, 1, 5, 40]);
    let solution = solve(&program, &limits(nodes));
    replayed(&program, &solution.certificates);
    let expected = (kind == Kind::Small).then(|| enumerate::solve(&program));
    match &solution.verdict {
        Verdict::FitsBest | Verdict::FitsFound { .. } => {
            for (at, instance) in program.instances.iter().enumerate() {
                let kept = solution.is_kept(&program, InstanceId(at as u32));
                assert!(kept || instance.force == Force::Wish, "{program:?}");
                let rows = instance.rows.clone().filter(|_| kept);
                for row in rows {
                    assert!(keeps(&program.rows[row], &solution), "{program:?}");
                }
            }
            let bounds = program.unknowns.iter().zip(&solution.values);
            for (unknown, value) in bounds {
                assert!(
                    (unknown.least..=unknown.most).contains(value),
                    "{program:?}"
                );
            }
            for at in 0..program.stages.len() {
                if let Some(model) = stage_program(&program, &solution, at) {
                    let _ = write_mps(&model);
                }
            }
        }
        Verdict::Conflict(_) => {
            let musts = musts_program(&program);
            let _ = write_mps(&musts);
            if let Some(expected) = &expected {
                assert_eq!(*expected, None, "{program:?}");
            }
        }
        Verdict::Undecided { .. } => assert!(kind != Kind::Small || nodes < 2_000, "{program:?}"),
    }
    if let (Verdict::FitsBest, Some(expected)) = (&solution.verdict, expected) {
        let expected = expected.unwrap_or_else(|| panic!("nothing fits: {program:?}"));
        assert_eq!(outcomes(&solution), expected, "{program:?}");
    }
    if nodes < 2_000 && kind != Kind::Malformed {
        let again = solve(&program, &limits(nodes));
        assert_eq!(again, solution, "{program:?}");
    }
    conflicts(&program, kind);
}

fn outcomes(solution: &Solution) -> Vec<Outcome> {
    let each = solution.stages.iter().map(|stage| match stage {
        StageOutcome::Kept => Outcome::Kept,
        StageOutcome::Dropped { .. } => Outcome::Dropped,
        StageOutcome::Best { value, .. } => Outcome::Best(*value),
        StageOutcome::Chosen { alternative, .. } => Outcome::Chosen(*alternative),
        StageOutcome::Absent => Outcome::Absent,
        StageOutcome::Unsettled { why, .. } => panic!("proved best, yet unsettled: {why:?}"),
    });
    each.collect()
}

/// Rows of some instances, with those of none.
fn rows_of<'p>(program: &'p Program, these: &[InstanceId]) -> Vec<&'p Row> {
    let owned = |at: usize| {
        program
            .instances
            .iter()
            .position(|it| it.rows.contains(&at))
    };
    let rows = program.rows.iter().enumerate();
    let all = rows
        .filter(|(at, _)| owned(*at).is_none_or(|owner| these.contains(&InstanceId(owner as u32))));
    all.map(|(_, row)| row).collect()
}

fn conflicts(program: &Program, kind: Kind) {
    let found = minimal_conflicts(program, &limits(2_000), 20);
    if kind != Kind::Small {
        return;
    }
    let fits = !points(program, &must_rows(program)).is_empty();
    assert!(!fits || found.conflicts.is_empty(), "{program:?}");
    assert!(
        fits || !found.complete || !found.conflicts.is_empty(),
        "{program:?}"
    );
    for conflict in &found.conflicts {
        let all = rows_of(program, &conflict.instances);
        assert!(points(program, &all).is_empty(), "{program:?}");
        for out in &conflict.instances {
            let mut rest = conflict.instances.clone();
            rest.retain(|id| id != out);
            let holds = !points(program, &rows_of(program, &rest)).is_empty();
            assert!(holds || !conflict.proved_minimal, "{program:?}");
        }
    }
}

/// The cheapest changes of a small program, against every point of it.
pub fn repaired(bytes: &[u8]) {
    let mut dice = Dice::of(bytes);
    let kind = *dice.pick(&[
        Kind::Small,
        Kind::Small,
        Kind::Small,
        Kind::Usual,
        Kind::Huge,
    ]);
    let mut program = {
        let program = Program::default();
        let dice = &mut dice;
        let maker = Maker {
            dice,
            kind,
            program,
            supplies: 0,
        };
        maker.program()
    };
    let mut changes = Vec::new();
    for _ in 0..dice.between(1, 3) {
        let unknown = UnknownId(program.unknowns.len() as u32);
        let most = dice.between(1, 4);
        program.unknowns.push(Unknown {
            name: format!("change {}", unknown.0),
            least: 0,
            most,
            open: false,
        });
        let price = dice.between(1, 4);
        changes.push(Change { unknown, price });
        for _ in 0..dice.between(1, 3) {
            let at = dice.between(0, program.rows.len() as i64 - 1) as usize;
            let row = &mut program.rows[at];
            if row.terms.iter().all(|term| term.0 < changes[0].unknown) {
                row.terms.push((unknown, -dice.between(1, 3)));
            }
        }
    }
    let found = repairs(&program, &changes, &limits(2_000), 20);
    if kind != Kind::Small {
        return;
    }
    let all = points(&program, &must_rows(&program));
    let amount = |point: &Point, change: &Change| point.values[change.unknown.0 as usize];
    let price = |point: &Point| -> i64 { changes.iter().map(|c| c.price * amount(point, c)).sum() };
    let least = all.iter().map(price).min();
    let told: i128 = found.parts.iter().map(|part| part.cheapest.price).sum();
    if found.complete && found.hopeless.is_none() {
        assert_eq!(least.map(i128::from), Some(told), "{program:?} {found:?}");
    }
    if found.hopeless.is_some() {
        assert_eq!(least, None, "{program:?}");
    }
    // The cheapest of all parts together, and each set with the others at their cheapest, suffice.
    let suffices = |amounts: &[(UnknownId, i64)]| {
        let is = |point: &&Point| {
            changes.iter().all(|c| {
                let said = amounts.iter().find(|(id, _)| *id == c.unknown);
                amount(point, c) == said.map_or(0, |(_, n)| *n)
            }) && must_rows(&program).iter().all(|row| holds(row, point))
        };
        all.iter().any(|point| is(&point))
    };
    if found.hopeless.is_some() || found.parts.is_empty() {
        return;
    }
    for (at, part) in found.parts.iter().enumerate() {
        for own in std::iter::once(&part.cheapest).chain(&part.sets) {
            let others = found.parts.iter().enumerate().filter(|(n, _)| *n != at);
            let others = others.map(|(_, part)| &part.cheapest);
            let both = std::iter::once(own).chain(others);
            let amounts: Vec<_> = both.flat_map(|it: &Repair| it.amounts.clone()).collect();
            assert!(suffices(&amounts), "{program:?} {found:?}");
        }
    }
}
