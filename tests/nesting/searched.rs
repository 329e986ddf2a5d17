//! Certificates that rest on a search, made by a prover of this file alone: right ones are accepted,
//! and the same with one thing wrong are not.

use crate::reference::{Reference, least_cost, small_job};
use crate::{Dice, job, piece, stock};
use tuckwright::nest::{
    Certificate, CheckError, Claim, Job, Reason, SearchStep, Stages, check_bound,
    check_bound_within,
};

type Counts = Vec<u64>;

/// All that the sheets of each stock can give, without what another way gives too.
fn ways(job: &Job) -> Vec<(usize, Counts)> {
    let mut all = Vec::new();
    for (at, stock) in job.stocks.iter().enumerate() {
        let own = Reference::new(job, stock).sheet();
        let covers = |a: &Counts, b: &Counts| a != b && a.iter().zip(b).all(|(a, b)| a <= b);
        for counts in &own {
            if !own.iter().any(|other| covers(counts, other)) {
                all.push((at, counts.clone()));
            }
        }
    }
    all
}

fn worth(values: &[u64], counts: &[u64]) -> u64 {
    values.iter().zip(counts).map(|(v, c)| v * c).sum()
}

/// The most value of sheets within a budget, each worth its `best`.
fn most(sheets: &[(u64, u64)], best: &[u64], budget: u64) -> u64 {
    let Some((&(cost, count), rest)) = sheets.split_first() else {
        return 0;
    };
    let all = (0..=count.min(budget / cost))
        .map(|taken| taken * best[0] + most(rest, &best[1..], budget - taken * cost));
    all.max().unwrap_or(0)
}

/// What is left on the way.
#[derive(Clone)]
struct Left {
    /// Cost and number of each stock's sheets.
    sheets: Vec<(u64, u64)>,
    budget: u64,
    wanted: Counts,
    ways: Vec<(usize, Counts)>,
}

impl Left {
    fn new(job: &Job, budget: u64) -> Self {
        let sheets = job.stocks.iter();
        let sheets = sheets.map(|s| (s.cost, s.count.unwrap_or(1_000)));
        Self {
            sheets: sheets.collect(),
            budget,
            wanted: job.pieces.iter().map(|p| p.count).collect(),
            ways: ways(job),
        }
    }

    /// What all that is left holds at most.
    fn holds(&self, values: &[u64]) -> u64 {
        most(&self.sheets, &self.best(values), self.budget)
    }

    fn best(&self, values: &[u64]) -> Vec<u64> {
        let mut best = vec![0; self.sheets.len()];
        for (stock, counts) in &self.ways {
            best[*stock] = worth(values, counts).max(best[*stock]);
        }
        best
    }

    /// Values with which what is left holds less than is wanted.
    fn end(&self) -> Option<Counts> {
        let kinds = self.wanted.len();
        let single = (0..kinds).map(|at| (0..kinds).map(|k| u64::from(k == at)).collect());
        let mut all: Vec<Counts> = single.collect();
        all.push(vec![1; kinds]);
        let short = |values: &Counts| self.holds(values) < worth(values, &self.wanted);
        all.into_iter().find(short)
    }

    /// Takes out what is worth so little that the other sheets cannot hold the rest.
    fn prune(&mut self, values: &[u64]) {
        let (demand, best) = (worth(values, &self.wanted), self.best(values));
        let enough: Vec<Option<u64>> = (0..self.sheets.len())
            .map(|stock| {
                let mut sheets = self.sheets.clone();
                let budget = self.budget.checked_sub(sheets[stock].0)?;
                sheets[stock].1 = sheets[stock].1.checked_sub(1)?;
                Some(demand.saturating_sub(most(&sheets, &best, budget)))
            })
            .collect();
        let stays = |(stock, counts): &(usize, Counts)| {
            enough[*stock].is_some_and(|enough| worth(values, counts) >= enough)
        };
        self.ways.retain(stays);
    }

    /// Adds the steps that show that it does not suffice; false where it does.
    fn prove(mut self, dice: &mut Dice, steps: &mut Vec<SearchStep>) -> bool {
        for (_, counts) in &mut self.ways {
            let each = counts.iter_mut().zip(&self.wanted);
            each.for_each(|(c, w)| *c = (*c).min(*w));
        }
        loop {
            if dice.throw(0, 2) == 0 {
                let values: Counts = self.wanted.iter().map(|_| dice.throw(0, 3)).collect();
                let ends = self.holds(&values) < worth(&values, &self.wanted);
                self.prune(&values);
                let branch = None;
                steps.push(SearchStep { values, branch });
                if ends {
                    return true;
                }
            }
            if let Some(values) = self.end() {
                let branch = None;
                steps.push(SearchStep { values, branch });
                return true;
            }
            let usable = |(stock, counts): &&(usize, Counts)| {
                let (cost, count) = self.sheets[*stock];
                counts.iter().any(|&c| c > 0) && count > 0 && cost <= self.budget
            };
            let Some((stock, counts)) = self.ways.iter().find(usable).cloned() else {
                return false;
            };
            steps.push(SearchStep {
                values: vec![0; self.wanted.len()],
                branch: Some((stock, counts.clone())),
            });
            let mut with = self.clone();
            with.budget -= with.sheets[stock].0;
            with.sheets[stock].1 -= 1;
            let each = with.wanted.iter_mut().zip(&counts);
            each.for_each(|(w, c)| *w -= *c);
            if !with.prove(dice, steps) {
                return false;
            }
            let within = |own: &Counts| own.iter().zip(&counts).all(|(own, c)| own <= c);
            self.ways.retain(|(s, own)| *s != stock || !within(own));
        }
    }
}

fn searched(values: &[u64], claim: Claim, best: &[u64], steps: &[SearchStep]) -> Certificate {
    let reason = Reason::Search {
        groups: (0..values.len()).map(|p| vec![p]).collect(),
        values: values.to_vec(),
        best: best.to_vec(),
        steps: steps.to_vec(),
    };
    Certificate { claim, reason }
}

#[test]
fn a_search_proves_the_least_cost_and_no_more() {
    let mut dice = Dice(0x5ea7_c4ed_0dd5_eed1);
    let (mut costs, mut short, mut branched) = (0, 0, 0);
    for number in 0..500 {
        let mut job = small_job(&mut dice);
        job.narrowest = 0;
        if job.check().is_err() {
            continue;
        }
        let least = least_cost(&job);
        let all = job.stocks.iter().map(|s| s.count.map(|n| n * s.cost));
        let (claim, budget) = match (least, all.sum::<Option<u64>>()) {
            (Some(least), _) => (Claim::CostsAtLeast(least), least - 1),
            (None, Some(all)) => (Claim::NotEnough, all),
            (None, None) => panic!("{number}: sheets without an end suffice"),
        };
        let mut steps = Vec::new();
        // Without values every way of cutting a sheet is looked at; with them, those that are worth
        // enough.
        let mut left = Left::new(&job, budget);
        let areas: Counts = job.pieces.iter().map(|p| p.width * p.height).collect();
        let nothing = vec![0; areas.len()];
        let values = if number % 2 == 0 { areas } else { nothing };
        let best = left.best(&values);
        left.prune(&values);
        assert!(left.prove(&mut dice, &mut steps), "{number}: {job:#?}");
        let check = |claim, best: &[u64], steps: &[SearchStep]| {
            check_bound(&job, &searched(&values, claim, best, steps))
        };
        assert_eq!(
            check(claim, &best, &steps),
            Ok(claim),
            "{number}: {job:#?} {steps:#?}"
        );
        match least {
            Some(least) => {
                costs += 1;
                let dearer = Claim::CostsAtLeast(least + 1);
                assert!(check(dearer, &best, &steps).is_err(), "{number}");
                assert!(check(Claim::NotEnough, &best, &steps).is_err(), "{number}");
            }
            None => short += 1,
        }
        branched += usize::from(steps.len() > 1);
        for end in 0..steps.len() {
            assert!(
                check(claim, &best, &steps[..end]).is_err(),
                "{number}: {end}"
            );
        }
        let twice: Vec<SearchStep> = steps.iter().chain(&steps).cloned().collect();
        assert_eq!(check(claim, &best, &twice), Err(CheckError::DoesNotFollow));
        for at in 0..steps.len() {
            let mut other = steps.clone();
            other[at].values.push(0);
            let wrong = check(claim, &best, &other);
            assert_eq!(wrong, Err(CheckError::WrongLength), "{number}: {at}");
            let mut other = steps.clone();
            if steps[at].branch.is_some() {
                let branch = |change: fn(&mut (usize, Counts))| {
                    let mut other = steps.clone();
                    other[at].branch.iter_mut().for_each(change);
                    check(claim, &best, &other)
                };
                let wrong = Err(CheckError::WrongLength);
                assert_eq!(
                    branch(|(_, counts)| counts.push(0)),
                    wrong,
                    "{number}: {at}"
                );
                assert_eq!(branch(|(stock, _)| *stock += 2), wrong, "{number}: {at}");
            } else if at + 1 == steps.len() {
                other[at].values.fill(0);
                assert!(check(claim, &best, &other).is_err(), "{number}: {at}");
                // An end that goes on is none.
                let mut other = steps.clone();
                other[at].branch = Some((0, vec![0; job.pieces.len()]));
                let wrong = check(claim, &best, &other);
                assert_eq!(wrong, Err(CheckError::DoesNotFollow), "{number}: {at}");
            }
        }
        // A sheet that holds more than is said.
        for at in 0..best.len() {
            let mut less = best.clone();
            let holds = less[at];
            if holds == 0 {
                continue;
            }
            less[at] -= 1;
            let more = CheckError::HoldsMore { stock: at, holds };
            assert_eq!(check(claim, &less, &steps), Err(more), "{number}: {job:#?}");
        }
    }
    assert!(
        costs > 250 && short > 10 && branched > 50,
        "{costs} {short} {branched}"
    );
}

#[test]
fn a_sheet_holds_no_piece_more_often_than_it_is_wanted() {
    let mut dice = Dice(0x0b5e_55ed_5ea7_0001);
    let mut sum = 0;
    for number in 0..500 {
        let mut job = small_job(&mut dice);
        job.narrowest = 0;
        job.stocks.truncate(1);
        job.stages = [Stages::Free, Stages::Three, Stages::Two][number % 3];
        if job.check().is_err() {
            continue;
        }
        let values: Counts = job.pieces.iter().map(|_| dice.throw(1, 9)).collect();
        let sets = Reference::new(&job, &job.stocks[0]).sheet();
        let holds = sets
            .iter()
            .map(|counts| worth(&values, counts))
            .max()
            .unwrap_or(0);
        let with = |best| {
            let reason = Reason::Search {
                groups: (0..job.pieces.len()).map(|p| vec![p]).collect(),
                values: values.clone(),
                best: vec![best],
                steps: Vec::new(),
            };
            let claim = Claim::CostsAtLeast(1_000);
            check_bound(&job, &Certificate { claim, reason })
        };
        let stock = 0;
        for best in [0, holds - 1] {
            let more = Err(CheckError::HoldsMore { stock, holds });
            assert_eq!(with(best), more, "{number}: {values:?} {job:#?}");
        }
        assert_eq!(with(holds), Err(CheckError::DoesNotFollow));
        sum += holds;
    }
    assert!(sum > 3_000, "{sum}");
}

#[test]
fn a_group_is_of_pieces_that_are_equal_on_every_sheet() {
    // 60 x 100, 100 x 60 that may be turned, and another 60 x 100: each fills a sheet of 100 x 100.
    let mut job = job(
        vec![piece(60, 100, 2), piece(100, 60, 1), piece(60, 100, 3)],
        vec![stock(100, 100)],
        Stages::Free,
    );
    let with = |job: &Job, groups: &[&[usize]], least: u64| {
        let kinds = groups.len();
        let reason = Reason::Search {
            groups: groups.iter().map(|g| g.to_vec()).collect(),
            values: vec![1; kinds],
            best: vec![1],
            steps: vec![SearchStep {
                values: vec![1; kinds],
                branch: None,
            }],
        };
        let claim = Claim::CostsAtLeast(least);
        check_bound(job, &Certificate { claim, reason })
    };
    let six = Ok(Claim::CostsAtLeast(6));
    let wrong = Err(CheckError::WrongGroups);
    // All of a group are wanted, together.
    assert_eq!(with(&job, &[&[0], &[1], &[2]], 6), six);
    assert_eq!(with(&job, &[&[2, 0], &[1]], 6), six);
    assert_eq!(
        with(&job, &[&[0, 2], &[1]], 7),
        Err(CheckError::DoesNotFollow)
    );
    // Each piece is in one group, and the groups are of what there is.
    for groups in [
        &[&[0, 2][..]][..],
        &[&[0], &[1]],
        &[&[0, 2], &[1], &[]],
        &[&[0, 2], &[1], &[1]],
        &[&[0, 2, 2], &[1]],
        &[&[0, 2], &[1], &[3]],
        &[&[0, 2, 3], &[1]],
        &[&[3], &[0, 2], &[1]],
    ] {
        assert_eq!(with(&job, groups, 6), wrong, "{groups:?}");
    }
    // 100 x 60 is another piece unless both turn, and the paper lets them.
    let all: &[&[usize]] = &[&[0, 1, 2]];
    assert_eq!(with(&job, all, 6), wrong);
    job.pieces[0].turn = true;
    job.pieces[1].turn = true;
    assert_eq!(with(&job, &[&[0, 1], &[2]], 6), six);
    assert_eq!(with(&job, all, 6), wrong);
    job.pieces[2].turn = true;
    assert_eq!(with(&job, all, 6), six);
    let mut plain = stock(100, 100);
    plain.turn = false;
    job.stocks[0] = plain;
    assert_eq!(with(&job, all, 6), wrong);
}

#[test]
fn sheets_without_an_end_are_never_too_few() {
    let mut job = job(
        vec![piece(60, 100, 3)],
        vec![stock(100, 100), stock(50, 50)],
        Stages::Free,
    );
    let with = |job: &Job, claim| {
        let reason = Reason::Search {
            groups: vec![vec![0]],
            values: vec![1],
            best: vec![1, 0],
            steps: vec![SearchStep {
                values: vec![1],
                branch: None,
            }],
        };
        check_bound(job, &Certificate { claim, reason })
    };
    let none = Claim::NotEnough;
    assert_eq!(with(&job, none), Err(CheckError::DoesNotFollow));
    job.stocks[0].count = Some(2);
    assert_eq!(with(&job, none), Err(CheckError::DoesNotFollow));
    job.stocks[1].count = Some(7);
    assert_eq!(with(&job, none), Ok(none));
    job.stocks[0].count = Some(3);
    assert_eq!(with(&job, none), Err(CheckError::DoesNotFollow));
    // Costs and counts that are too large to be added up.
    job.stocks[0].count = Some(2);
    job.stocks[1].count = Some(u64::MAX);
    assert_eq!(with(&job, none), Err(CheckError::Overflow));
    job.stocks[1].count = Some(u64::MAX / 3);
    job.stocks[1].cost = 3;
    assert_eq!(with(&job, none), Err(CheckError::Overflow));
    job.stocks[1].cost = 4;
    assert_eq!(with(&job, none), Err(CheckError::Overflow));
    // Nothing is claimed, so nothing is to be shown.
    let nothing = Claim::CostsAtLeast(0);
    assert_eq!(with(&job, nothing), Ok(nothing));
}

/// What a replay may take is a million steps: 50 for each pair of patterns that is put together, and at each
/// step of the search 4 for each pattern and one more, times each group and one more.
#[test]
fn a_search_is_followed_for_a_million_steps() {
    // Three places in a row, for pieces of 10 x 10 and 10 x 9, or one piece that takes all of it.
    let row = job(
        vec![piece(10, 10, 2), piece(10, 9, 2), piece(30, 10, 1)],
        vec![stock(30, 10)],
        Stages::Free,
    );
    let turn = |(width, height)| (height, width);
    let mut column = row.clone();
    for piece in &mut column.pieces {
        (piece.width, piece.height) = turn((piece.width, piece.height));
    }
    (column.stocks[0].width, column.stocks[0].height) = (10, 30);
    // Pairs in two places: 1 of the lower pieces alone, 2 x 2 of both. In three: 1, and 2 x 3.
    let pairs = 1 + 4 + 1 + 6;
    // Ways of cutting a sheet: 2 and 1, 1 and 2, the large one.
    let first = 4 * (3 + 1) * (3 + 1);
    // With one 10 x 9 still wanted only that is left of the first two, and nothing of the third.
    let each = 4 * (1 + 1) * (3 + 1);
    let left = 1_000_000 - 50 * pairs - first;
    for job in [row, column] {
        let with = |idle: usize| {
            let step = |branch| SearchStep {
                values: vec![0; 3],
                branch,
            };
            let mut steps = vec![step(Some((0, vec![2, 1, 1])))];
            steps.resize(1 + idle, step(None));
            let claim = Claim::CostsAtLeast(9);
            check_bound_within(&job, &searched(&[0; 3], claim, &[0], &steps), 1_000)
        };
        // The step that is missing is counted too.
        let most = left / each - 1;
        assert_eq!(with(most), Err(CheckError::DoesNotFollow));
        assert_eq!(with(most + 1), Err(CheckError::TooMany));
    }
}

/// The last pair that a replay may put together is looked at: it alone holds all that is wanted.
#[test]
fn the_last_pair_of_a_search_counts() {
    // A row of 283 pieces of 1 x 6, with one of 283 x 5 below it. The row takes a pair for each half of each
    // length, and the whole sheet one.
    let job = job(
        vec![piece(1, 6, 283), piece(283, 5, 1)],
        vec![stock(283, 11)],
        Stages::Free,
    );
    let pairs = (2..=283).map(|length| length / 2).sum::<u64>() + 1;
    let with = |pairs: u64| {
        let claim = Claim::CostsAtLeast(2);
        check_bound_within(&job, &searched(&[1, 1], claim, &[283], &[]), 50 * pairs)
    };
    let (stock, holds) = (0, 284);
    assert_eq!(with(pairs), Err(CheckError::HoldsMore { stock, holds }));
    assert_eq!(with(pairs - 1), Err(CheckError::TooMany));
}
