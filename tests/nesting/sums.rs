//! Certificates made by hand: how much a sheet holds, what sheets hold together, and from which
//! number on a claim follows.

use crate::{Dice, job, piece, stock};
use std::collections::{BTreeSet, HashMap};
use tuckwright::nest::{
    Certificate, CheckError, Claim, Divides, Job, Reason, SearchStep, Stages, Trim, check_bound,
    check_bound_within,
};

const ALL: [Stages; 3] = [Stages::Free, Stages::Three, Stages::Two];

pub fn certificate(values: &[u64], best: &[u64], claim: Claim) -> Certificate {
    let (values, best) = (values.to_vec(), best.to_vec());
    let reason = Reason::Values { values, best };
    Certificate { claim, reason }
}

/// What one sheet of the job's first stock holds: the checker tells it where a certificate says
/// less.
fn holds(job: &Job, values: &[u64]) -> u64 {
    let best = vec![0; job.stocks.len()];
    let anything = certificate(values, &best, Claim::CostsAtLeast(0));
    match check_bound(job, &anything) {
        Ok(_) => 0,
        Err(CheckError::HoldsMore { stock: 0, holds }) => holds,
        Err(other) => panic!("{other}"),
    }
}

/// The best value of a part of a sheet with a cut at every tick, any number of each piece.
struct Plain<'a> {
    job: &'a Job,
    values: &'a [u64],
    known: HashMap<Part, u64>,
}

/// Sides, the direction of the next cut with the stages that are left; `None`: any cuts.
type Part = (u64, u64, Option<(Divides, u32)>);

impl Plain<'_> {
    fn sheet(&mut self) -> u64 {
        let (width, height) = self.job.stocks[0].trimmed().unwrap();
        let stages = match self.job.stages {
            Stages::Free => return self.part((width, height, None)),
            Stages::Three => 3,
            Stages::Two => 2,
        };
        let upright = self.part((width, height, Some((Divides::Width, stages))));
        upright.max(self.part((width, height, Some((Divides::Height, stages)))))
    }

    fn part(&mut self, part: Part) -> u64 {
        if let Some(&known) = self.known.get(&part) {
            return known;
        }
        let (width, height, stages) = part;
        let mut most = 0;
        for (p, &value) in self.job.pieces.iter().zip(self.values) {
            for (w, h, _) in p.ways(&self.job.stocks[0]) {
                let fits = match stages {
                    Some((Divides::Width, 0)) => h == height && w <= width,
                    Some((Divides::Height, 0)) => w == width && h <= height,
                    _ => (w, h) == (width, height),
                };
                if fits {
                    most = most.max(value);
                }
            }
        }
        let directions: &[Divides] = match stages {
            None => &[Divides::Width, Divides::Height],
            Some((_, 0)) => &[],
            Some((Divides::Width, _)) => &[Divides::Width],
            Some((Divides::Height, _)) => &[Divides::Height],
        };
        for &divides in directions {
            let upright = divides == Divides::Width;
            let length = if upright { width } else { height };
            let size = |along| match upright {
                true => (along, height),
                false => (width, along),
            };
            let deeper = stages.map(|(_, left)| (divides.other(), left - 1));
            for at in 1..length {
                let (w, h) = size(at);
                let first = self.part((w, h, deeper));
                let rest = (length - at).saturating_sub(self.job.gap);
                let mut second = 0;
                if rest > 0 {
                    let (w, h) = size(rest);
                    second = self.part((w, h, stages)).max(self.part((w, h, deeper)));
                }
                most = most.max(first + second);
            }
        }
        self.known.insert(part, most);
        most
    }
}

#[test]
fn a_sheet_holds_what_a_cut_at_every_tick_finds() {
    let mut dice = Dice(0x51de_0f0a_b0a2_d001);
    let mut sums = [0; 3];
    for number in 0..600 {
        let pieces = (0..dice.throw(1, 4)).map(|_| {
            let mut p = piece(dice.throw(1, 8), dice.throw(1, 8), 20);
            p.turn = dice.throw(0, 1) == 1;
            p
        });
        let pieces = pieces.collect();
        let sheet = stock(dice.throw(8, 14), dice.throw(8, 14));
        let mut job = job(pieces, vec![sheet], ALL[number % 3]);
        job.gap = dice.throw(0, 4) / 2;
        job.stocks[0].turn = dice.throw(0, 3) > 0;
        job.stocks[0].trim = Trim {
            left: dice.throw(0, 4) / 4,
            top: dice.throw(0, 4) / 4,
            ..Trim::default()
        };
        if job.check().is_err() {
            continue;
        }
        let values: Vec<u64> = (job.pieces.iter())
            .map(|p| p.width * p.height + dice.throw(0, 9))
            .collect();
        let expected = Plain {
            job: &job,
            values: &values,
            known: HashMap::new(),
        }
        .sheet();
        let found = holds(&job, &values);
        assert_eq!(found, expected, "{number}: {values:?} {job:#?}");
        sums[number % 3] += found;
        // What is said of the sheet may be more, and not less.
        let said = |best| {
            let claim = Claim::CostsAtLeast(0);
            check_bound(&job, &certificate(&values, &[best], claim))
        };
        assert!(said(found).is_ok() && said(found + 1).is_ok());
        assert!(found == 0 || said(found - 1).is_err());
    }
    assert!(sums[0] > 5_000 && sums[1] > 5_000 && sums[2] > 5_000);
}

/// All sums of sides within the counts, up to a length.
fn positions(sides: &[(Vec<u64>, u64)], length: u64) -> usize {
    let mut sums = BTreeSet::from([0]);
    for (sides, count) in sides {
        for _ in 0..*count {
            let more: Vec<u64> = (sums.iter())
                .flat_map(|sum| sides.iter().map(move |side| sum + side))
                .filter(|&sum| sum <= length)
                .collect();
            sums.extend(more);
        }
    }
    sums.len()
}

/// Whether a certificate is replayed with so many steps and some to spare, and not with one less.
fn steps_needed(job: &Job, reason: &Reason, expected: u64, spare: u64) -> bool {
    let with = |steps| {
        let certificate = Certificate {
            claim: Claim::CostsAtLeast(1),
            reason: reason.clone(),
        };
        check_bound_within(job, &certificate, steps)
    };
    let enough = with(expected + spare);
    assert_ne!(enough, Err(CheckError::TooMany), "{expected} {job:#?}");
    expected == 0 || with(expected - 1) == Err(CheckError::TooMany)
}

#[test]
fn cuts_lie_at_sums_of_sides_within_the_counts() {
    let mut dice = Dice(0x0c07_5a7e_5005_1de5);
    for number in 0..400 {
        let stages = ALL[number % 3];
        let pieces = (0..dice.throw(1, 3)).map(|_| {
            let mut p = piece(dice.throw(4, 20), dice.throw(4, 20), dice.throw(1, 3));
            p.turn = dice.throw(0, 2) == 1;
            p
        });
        let pieces = pieces.collect();
        let (width, height) = (dice.throw(18, 50), dice.throw(18, 50));
        let mut job = job(pieces, vec![stock(width, height)], stages);
        job.gap = dice.throw(0, 3);
        if job.check().is_err() {
            continue;
        }
        let (width, height) = (width + job.gap, height + job.gap);
        let (mut across, mut down, mut lain) = (Vec::new(), Vec::new(), 0);
        for p in &job.pieces {
            let ways = p.ways(&job.stocks[0]);
            let ways = ways.map(|(w, h, _)| (w + job.gap, h + job.gap));
            let ways: Vec<_> = ways.filter(|&(w, h)| w <= width && h <= height).collect();
            across.push((ways.iter().map(|way| way.0).collect(), p.count));
            down.push((ways.iter().map(|way| way.1).collect(), p.count));
            lain += ways.len() as u64;
        }
        let wide = positions(&across, width) as u64;
        let high = positions(&down, height) as u64;
        // Every part is cut in two everywhere; in stages every piece is tried everywhere, for both
        // directions.
        let expected = match stages {
            Stages::Free => wide * high * (wide + high) / 4,
            _ => wide * high * 2 * lain,
        };
        let reason = Reason::Values {
            values: vec![1; job.pieces.len()],
            best: vec![0],
        };
        assert!(
            steps_needed(&job, &reason, expected, 0),
            "{number}: {job:#?}"
        );
        if stages == Stages::Free {
            let expected = wide * high * (wide + high) / 4;
            let reason = Reason::Search {
                groups: (0..job.pieces.len()).map(|p| vec![p]).collect(),
                values: vec![1; job.pieces.len()],
                best: vec![1_000],
                steps: Vec::new(),
            };
            // Patterns that are put together take steps of their own.
            let spare = 1_000_000;
            let needed = steps_needed(&job, &reason, expected, spare);
            assert!(needed, "{number}: {job:#?}");
        }
    }
}

#[test]
fn a_bound_by_area_needs_no_working_out() {
    let mut job = job(vec![piece(10, 7, 9)], vec![stock(100, 60)], Stages::Free);
    let area = |job: &Job| {
        let gap = job.gap;
        ((10 + gap) * (7 + gap), (100 + gap) * (60 + gap))
    };
    for gap in [0, 3] {
        job.gap = gap;
        let (own, whole) = area(&job);
        let by_area = |value, best| {
            let certificate = certificate(&[value], &[best], Claim::CostsAtLeast(1));
            check_bound_within(&job, &certificate, 0)
        };
        assert_eq!(by_area(own, whole), Ok(Claim::CostsAtLeast(1)));
        assert_eq!(by_area(own - 1, whole + 1), Ok(Claim::CostsAtLeast(1)));
        assert_eq!(by_area(own + 1, whole), Err(CheckError::TooMany));
        assert_eq!(by_area(own, whole - 1), Err(CheckError::TooMany));
        // Two sheets, one of which is worked out.
        let mut two = job.clone();
        two.stocks.push(stock(50, 60));
        let small = (50 + gap) * (60 + gap);
        let both = |steps, best: [u64; 2]| {
            let certificate = certificate(&[own], &best, Claim::CostsAtLeast(1));
            check_bound_within(&two, &certificate, steps)
        };
        assert!(both(0, [whole, small]).is_ok());
        assert_eq!(both(0, [whole, small - 1]), Err(CheckError::TooMany));
        let found = both(u64::MAX, [whole, 0]);
        assert!(matches!(found, Err(CheckError::HoldsMore { stock: 1, .. })));
    }
    // One value above its area spoils it for all.
    let mut two = job;
    two.pieces.push(piece(5, 5, 1));
    let certificate = certificate(&[1, 1_000], &[10_000], Claim::CostsAtLeast(1));
    assert_eq!(
        check_bound_within(&two, &certificate, 0),
        Err(CheckError::TooMany)
    );
}

#[test]
fn several_pieces_are_wanted_for_what_they_are_worth_together() {
    // 3 x 5 + 2 x 4 = 23; four sheets hold 5 each, five hold 25.
    let job = job(
        vec![piece(10, 10, 3), piece(10, 9, 2)],
        vec![stock(10, 10)],
        Stages::Two,
    );
    let at = |least, best| {
        let claim = Claim::CostsAtLeast(least);
        check_bound(&job, &certificate(&[5, 4], &[best], claim))
    };
    assert_eq!(at(5, 5), Ok(Claim::CostsAtLeast(5)));
    assert_eq!(at(6, 5), Err(CheckError::DoesNotFollow));
    assert_eq!(at(4, 6), Ok(Claim::CostsAtLeast(4)));
    assert_eq!(at(5, 6), Err(CheckError::DoesNotFollow));
    let more = CheckError::HoldsMore { stock: 0, holds: 5 };
    assert_eq!(at(5, 4), Err(more));
}

#[test]
fn a_sheet_that_no_piece_fits_holds_nothing() {
    for stages in ALL {
        let stocks = vec![stock(9, 30), stock(10, 10)];
        let mut job = job(vec![piece(10, 9, 1)], stocks, stages);
        let said = |job: &Job, best: [u64; 2]| {
            check_bound(job, &certificate(&[1_000], &best, Claim::CostsAtLeast(1)))
        };
        assert!(said(&job, [0, 1_000]).is_ok());
        job.pieces[0].turn = true;
        let more = CheckError::HoldsMore {
            stock: 0,
            holds: 1_000,
        };
        assert_eq!(said(&job, [0, 1_000]), Err(more));
    }
}

#[test]
fn each_list_of_a_certificate_has_its_own_length() {
    let mut job = job(
        vec![piece(10, 10, 3), piece(10, 9, 2)],
        vec![stock(10, 10), stock(12, 10)],
        Stages::Free,
    );
    let claim = Claim::CostsAtLeast(0);
    let wrong = Err(CheckError::WrongLength);
    for values in 0..5 {
        for best in 0..5 {
            let right = values == 2 && best == 2;
            let own = certificate(&vec![0; values], &vec![0; best], claim);
            let expected = if right { Ok(claim) } else { wrong.clone() };
            assert_eq!(check_bound(&job, &own), expected);
            let reason = Reason::Search {
                groups: vec![vec![0], vec![1]],
                values: vec![0; values],
                best: vec![0; best],
                steps: vec![SearchStep {
                    values: vec![0; 2],
                    branch: None,
                }],
            };
            assert_eq!(check_bound(&job, &Certificate { claim, reason }), expected);
        }
    }
    job.pieces[0].count = 0;
    let certificate = certificate(&[0, 0], &[0, 0], claim);
    assert_eq!(check_bound(&job, &certificate), Err(CheckError::NotValid));
}

#[test]
fn values_that_no_sheet_can_count_are_refused() {
    let over = |job: &Job, values: &[u64]| {
        let best = [u64::MAX];
        let anything = certificate(values, &best, Claim::CostsAtLeast(0));
        match check_bound(job, &anything) {
            Ok(_) => false,
            Err(CheckError::Overflow) => true,
            Err(other) => panic!("{other}"),
        }
    };
    // By area two pieces fit, and they lie one way: 2 x 2 x value is to stay within 2^64.
    let mut one = job(vec![piece(10, 10, 2)], vec![stock(15, 15)], Stages::Free);
    assert!(!over(&one, &[(1 << 62) - 1]));
    assert!(over(&one, &[1 << 62]));
    // Two ways: 2 x 3 x value. 15 x 15 holds 10 x 9 two and a half times.
    one.pieces[0].height = 9;
    one.pieces[0].turn = true;
    let most = u64::MAX / 6;
    assert!(!over(&one, &[most]));
    assert!(over(&one, &[most + 1]));
    // Once each way, and 3 x value is the last number that can be counted.
    one.stocks[0] = stock(10, 10);
    assert!(!over(&one, &[u64::MAX / 3]));
    assert!(over(&one, &[u64::MAX / 3 + 1]));
    one.stocks[0] = stock(15, 15);
    // The blade is part of every piece: 13 x 12 in 18 x 18.
    one.gap = 3;
    assert!(!over(&one, &[most]));
    assert!(over(&one, &[most + 1]));
    // The worst of all pieces counts, not the last; one that does not fit does not.
    let large = 1 << 63;
    let mut two = job(
        vec![piece(10, 10, 1), piece(16, 10, 1), piece(15, 15, 1)],
        vec![stock(15, 15), stock(16, 16)],
        Stages::Free,
    );
    let said = |job: &Job, values: &[u64]| {
        let best = [u64::MAX, u64::MAX];
        check_bound(job, &certificate(values, &best, Claim::CostsAtLeast(0)))
    };
    assert_eq!(said(&two, &[large, 0, 1]), Err(CheckError::Overflow));
    two.stocks[1].width = 17;
    two.stocks[0].count = Some(1);
    assert_eq!(said(&two, &[0, large, 0]), Err(CheckError::Overflow));
    assert!(said(&two, &[0, 1 << 61, 0]).is_ok());
}

/// As many parts as a replay may hold, 6,000 x 6,000: it works them out. With one position more for cuts it gives
/// way, however many steps it may take.
#[test]
fn as_many_parts_as_a_replay_may_hold() {
    // Seven of 1 x 1 reach 1 to 7, and with one of the others, of which no two go side by side, all lengths
    // from 6,000 on: 8 + 749 x 8. Few cuts lie in the lower half of any part, so that this is done soon.
    let others = (0..749).map(|n| piece(6_000 + 8 * n, 6_000 + 8 * n, 1));
    let pieces = others.chain([piece(1, 1, 7)]).collect();
    let whole = 6_000 + 8 * 748 + 7;
    let mut job = job(pieces, vec![stock(whole, whole)], Stages::Free);
    let holds = |job: &Job| {
        let values = vec![1; job.pieces.len()];
        check_bound(job, &certificate(&values, &[0], Claim::CostsAtLeast(1)))
    };
    let held = holds(&job);
    assert!(
        matches!(held, Err(CheckError::HoldsMore { stock: 0, .. })),
        "{held:?}"
    );
    job.pieces.push(piece(whole + 1, 6_000, 1));
    job.stocks[0].width = whole + 1;
    assert_eq!(holds(&job), Err(CheckError::TooMany));
}
