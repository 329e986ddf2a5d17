//! Trees of cuts with one thing wrong each, and their neighbours with nothing wrong: the verifier
//! draws the line at the very tick.

use crate::{job, piece, stock};
use tuckwright::nest::{
    Answer, Certificate, Claim, Cutting, Divides, Fill, Job, Part, Reason, Stages, Trim, Verdict,
    VerifyError, What, verify, verify_cuttings, verify_fill,
};

fn cut(width: u64, height: u64, piece: usize) -> Part {
    let turned = false;
    let what = What::Piece { piece, turned };
    Part {
        width,
        height,
        what,
    }
}

fn turned(width: u64, height: u64, piece: usize) -> Part {
    let what = What::Piece {
        piece,
        turned: true,
    };
    Part {
        width,
        height,
        what,
    }
}

fn left(width: u64, height: u64) -> Part {
    let what = What::Offcut;
    Part {
        width,
        height,
        what,
    }
}

fn split(width: u64, height: u64, divides: Divides, parts: &[Part]) -> Part {
    let parts = parts.to_vec();
    let what = What::Split { divides, parts };
    Part {
        width,
        height,
        what,
    }
}

fn cutting(stock: usize, times: u64, sheet: Part) -> Cutting {
    Cutting {
        stock,
        times,
        sheet,
    }
}

/// One piece of 40 x 60 from a sheet of 100 x 60.
fn wide(gap: u64, narrowest: u64) -> Job {
    let pieces = vec![piece(40, 60, 1)];
    let mut job = job(pieces, vec![stock(100, 60)], Stages::Free);
    (job.gap, job.narrowest) = (gap, narrowest);
    job
}

fn sides_swapped(part: &Part) -> Part {
    let what = match &part.what {
        What::Split { divides, parts } => What::Split {
            divides: divides.other(),
            parts: parts.iter().map(sides_swapped).collect(),
        },
        other => other.clone(),
    };
    Part {
        width: part.height,
        height: part.width,
        what,
    }
}

/// The sheet, and the same with all that is wide high.
fn both_ways(job: &Job, sheet: &Part) -> Result<u128, VerifyError> {
    let as_said = verify_cuttings(job, &[cutting(0, 1, sheet.clone())]);
    let mut other = job.clone();
    for p in &mut other.pieces {
        (p.width, p.height) = (p.height, p.width);
    }
    for s in &mut other.stocks {
        (s.width, s.height) = (s.height, s.width);
    }
    let swapped = verify_cuttings(&other, &[cutting(0, 1, sides_swapped(sheet))]);
    assert_eq!(as_said, swapped);
    as_said
}

/// A split by upright cuts: the piece first, then what is said.
fn beside(job: &Job, others: &[Part]) -> Result<u128, VerifyError> {
    let mut parts = vec![cut(40, 60, 0)];
    parts.extend_from_slice(others);
    both_ways(job, &split(100, 60, Divides::Width, &parts))
}

const SHORT: Result<u128, VerifyError> = Err(VerifyError::DoNotMakeUp { cutting: 0 });
const WRONG: Result<u128, VerifyError> = Err(VerifyError::WrongPart { cutting: 0 });
const NARROW: Result<u128, VerifyError> = Err(VerifyError::TooNarrow { cutting: 0 });
const DEEP: Result<u128, VerifyError> = Err(VerifyError::TooManyStages { cutting: 0 });

#[test]
fn parts_make_up_the_whole_to_the_tick() {
    let plain = wide(0, 0);
    assert_eq!(beside(&plain, &[left(60, 60)]), Ok(1));
    assert_eq!(beside(&plain, &[left(59, 60)]), SHORT);
    assert_eq!(beside(&plain, &[left(61, 60)]), SHORT);
    assert_eq!(beside(&plain, &[left(20, 60), left(40, 60)]), Ok(1));
    assert_eq!(beside(&plain, &[left(20, 60), left(39, 60)]), SHORT);
    // A blade of 3 takes its part between two parts, and up to 3 at the end.
    let blade = wide(3, 0);
    assert_eq!(beside(&blade, &[left(58, 60)]), SHORT);
    for rest in 54..=57 {
        assert_eq!(beside(&blade, &[left(rest, 60)]), Ok(1), "{rest}");
    }
    assert_eq!(beside(&blade, &[left(53, 60)]), SHORT);
    assert_eq!(beside(&blade, &[left(20, 60), left(34, 60)]), Ok(1));
    assert_eq!(beside(&blade, &[left(20, 60), left(35, 60)]), SHORT);
    assert_eq!(beside(&blade, &[left(20, 60), left(30, 60)]), SHORT);
}

#[test]
fn a_part_is_smaller_than_what_it_was_cut_from_and_as_high() {
    let plain = wide(0, 0);
    for high in [59, 61] {
        assert_eq!(beside(&plain, &[left(60, high)]), WRONG, "{high}");
    }
    assert_eq!(beside(&plain, &[left(60, 60), left(0, 60)]), WRONG);
    let whole = split(100, 60, Divides::Width, &[left(100, 60)]);
    assert_eq!(both_ways(&plain, &whole), WRONG);
    let wider = split(100, 60, Divides::Width, &[left(101, 60)]);
    assert_eq!(both_ways(&plain, &wider), WRONG);
    // One cut that takes less than the blade off one edge leaves a single part.
    let mut job = job(vec![piece(97, 60, 1)], vec![stock(100, 60)], Stages::Free);
    job.gap = 3;
    let single = split(100, 60, Divides::Width, &[cut(97, 60, 0)]);
    assert_eq!(both_ways(&job, &single), Ok(1));
    // A split into nothing is none, even where the blade could take all of it.
    job.gap = 60;
    job.stocks[0].width = 160;
    job.pieces[0].width = 96;
    let empty = split(4, 60, Divides::Height, &[]);
    let sheet = split(160, 60, Divides::Width, &[cut(96, 60, 0), empty]);
    assert_eq!(both_ways(&job, &sheet), SHORT);
    let sheet = split(160, 60, Divides::Width, &[cut(96, 60, 0), left(4, 60)]);
    assert_eq!(both_ways(&job, &sheet), Ok(1));
}

#[test]
fn no_strip_is_narrower_than_the_trimmer_holds() {
    let strips = [left(8, 60), left(52, 60)];
    assert_eq!(beside(&wide(0, 8), &strips), Ok(1));
    assert_eq!(beside(&wide(0, 9), &strips), NARROW);
    // What the last cut takes away is a strip too; with no narrowest strip, or one of a tick, it
    // may be as narrow as it is.
    for (narrowest, expected) in [(0, Ok(1)), (1, Ok(1)), (2, NARROW)] {
        assert_eq!(beside(&wide(3, narrowest), &[left(56, 60)]), expected);
        assert_eq!(beside(&wide(3, narrowest), &[left(57, 60)]), Ok(1));
    }
}

#[test]
fn a_part_of_a_split_is_not_split_the_same_way() {
    let again = |divides| {
        let parts = match divides {
            Divides::Width => [left(20, 60), left(40, 60)],
            Divides::Height => [left(60, 20), left(60, 40)],
        };
        split(60, 60, divides, &parts)
    };
    let plain = wide(0, 0);
    assert_eq!(beside(&plain, &[again(Divides::Height)]), Ok(1));
    assert_eq!(
        beside(&plain, &[again(Divides::Width)]),
        Err(VerifyError::WrongSplit { cutting: 0 })
    );
}

/// A chain of splits, each in the other direction; the last one has these parts beside its first
/// piece. Sheets are 100 x 100.
fn chain(splits: u32, last: &[Part], first: Part) -> Part {
    let (mut width, mut height) = (100, 100);
    let mut sizes = Vec::new();
    for depth in 0..splits {
        sizes.push((width, height));
        if depth % 2 == 0 {
            width -= 20;
        } else {
            height -= 20;
        }
    }
    let mut inner = first;
    for (number, &(w, h)) in sizes.iter().enumerate().rev() {
        let divides = [Divides::Width, Divides::Height][number % 2];
        let rest = match divides {
            Divides::Width => left(20, h),
            Divides::Height => left(w, 20),
        };
        let mut parts = vec![inner];
        if number + 1 == sizes.len() {
            parts.extend_from_slice(last);
        } else {
            parts.push(rest);
        }
        inner = split(w, h, divides, &parts);
    }
    inner
}

fn staged(stages: Stages, size: (u64, u64), count: u64, sheet: &Part) -> Result<u128, VerifyError> {
    let job = job(
        vec![piece(size.0, size.1, count)],
        vec![stock(100, 100)],
        stages,
    );
    both_ways(&job, sheet)
}

#[test]
fn one_cut_more_than_the_stages_takes_waste_off_a_single_piece() {
    // Three splits: 100 x 100, 80 x 100, 80 x 80, which leaves 60 x 80 of it.
    let trims = chain(3, &[left(20, 80)], cut(60, 80, 0));
    let before = chain(3, &[cut(60, 80, 0)], left(20, 80));
    let bare = chain(3, &[left(60, 80)], left(20, 80));
    let two_left = chain(3, &[left(10, 80), left(10, 80)], cut(60, 80, 0));
    let two = chain(3, &[cut(40, 80, 0)], cut(40, 80, 0));
    for (stages, most) in [(Stages::Two, false), (Stages::Three, true)] {
        assert_eq!(staged(stages, (60, 80), 1, &trims), Ok(1));
        assert_eq!(staged(stages, (60, 80), 1, &before), Ok(1));
        let deep = staged(stages, (60, 80), 1, &two_left);
        assert_eq!(deep, if most { Ok(1) } else { DEEP });
        let deep = staged(stages, (40, 80), 2, &two);
        assert_eq!(deep, if most { Ok(1) } else { DEEP });
        let deep = staged(stages, (60, 80), 1, &bare);
        let missing = VerifyError::WrongCount {
            piece: 0,
            cut: 0,
            wanted: 1,
        };
        assert_eq!(deep, if most { Err(missing) } else { DEEP });
    }
    // Four splits: the last leaves 60 x 60.
    let trims = chain(4, &[left(60, 20)], cut(60, 60, 0));
    let two_left = chain(4, &[left(60, 10), left(60, 10)], cut(60, 60, 0));
    let five = chain(5, &[left(20, 60)], cut(40, 60, 0));
    assert_eq!(staged(Stages::Two, (60, 60), 1, &trims), DEEP);
    assert_eq!(staged(Stages::Three, (60, 60), 1, &trims), Ok(1));
    assert_eq!(staged(Stages::Three, (60, 60), 1, &two_left), DEEP);
    assert_eq!(staged(Stages::Three, (40, 60), 1, &five), DEEP);
    assert_eq!(staged(Stages::Free, (40, 60), 1, &five), Ok(1));
    // A piece with a part beside it that is cut on is no single piece.
    let cut_on = split(20, 80, Divides::Height, &[cut(20, 40, 1), left(20, 40)]);
    let sheet = chain(3, &[cut_on], cut(60, 80, 0));
    let pieces = || vec![piece(60, 80, 1), piece(20, 40, 1)];
    let with = |stages| both_ways(&job(pieces(), vec![stock(100, 100)], stages), &sheet);
    assert_eq!(with(Stages::Two), DEEP);
    assert_eq!(with(Stages::Three), Ok(1));
    // A blade as wide as the waste leaves the piece alone.
    let mut wasted = job(vec![piece(60, 60, 1)], vec![stock(100, 100)], Stages::Two);
    wasted.gap = 20;
    let alone = split(80, 60, Divides::Width, &[cut(60, 60, 0)]);
    let strip = split(80, 80, Divides::Height, &[alone]);
    let sheet = split(100, 80, Divides::Width, &[strip]);
    wasted.stocks[0].height = 80;
    assert_eq!(both_ways(&wasted, &sheet), Ok(1));
}

#[test]
fn a_piece_has_its_size_and_its_direction() {
    let wrong = Err(VerifyError::WrongPiece {
        cutting: 0,
        piece: 0,
    });
    let with = |part: &Part, may_turn: bool, paper_turns: bool| {
        let mut job = job(
            vec![piece(40, 60, 1)],
            vec![stock(part.width, part.height)],
            Stages::Free,
        );
        job.pieces[0].turn = may_turn;
        job.stocks[0].turn = paper_turns;
        verify_cuttings(&job, &[cutting(0, 1, part.clone())])
    };
    for (may_turn, paper_turns) in [(false, false), (false, true), (true, false), (true, true)] {
        assert_eq!(with(&cut(40, 60, 0), may_turn, paper_turns), Ok(1));
        let expected = if may_turn && paper_turns {
            Ok(1)
        } else {
            wrong.clone()
        };
        assert_eq!(with(&turned(60, 40, 0), may_turn, paper_turns), expected);
        for part in [
            cut(60, 40, 0),
            turned(40, 60, 0),
            cut(41, 60, 0),
            cut(40, 59, 0),
        ] {
            assert_eq!(with(&part, may_turn, paper_turns), wrong, "{part:?}");
        }
    }
    assert_eq!(
        with(&cut(40, 60, 1), true, true),
        Err(VerifyError::NoSuchPiece { cutting: 0 })
    );
}

#[test]
fn a_cutting_starts_from_a_trimmed_sheet_that_is_there() {
    let mut job = job(vec![piece(90, 50, 2)], vec![stock(100, 60)], Stages::Free);
    job.stocks[0].trim = Trim {
        left: 7,
        right: 3,
        top: 4,
        bottom: 6,
    };
    let twice = |stock, times, part| verify_cuttings(&job, &[cutting(stock, times, part)]);
    assert_eq!(twice(0, 2, cut(90, 50, 0)), Ok(2));
    let wrong = Err(VerifyError::WrongSheet { cutting: 0 });
    for (width, height) in [(100, 60), (91, 50), (89, 50), (90, 51), (90, 49)] {
        assert_eq!(twice(0, 2, left(width, height)), wrong);
    }
    assert_eq!(
        twice(1, 2, cut(90, 50, 0)),
        Err(VerifyError::NoSuchStock { cutting: 0 })
    );
    let none = [cutting(0, 2, cut(90, 50, 0)), cutting(0, 0, cut(90, 50, 0))];
    assert_eq!(
        verify_cuttings(&job, &none),
        Err(VerifyError::NoTimes { cutting: 1 })
    );
}

#[test]
fn every_piece_is_cut_as_often_as_it_is_wanted_from_sheets_that_are_there() {
    // Two papers: 2 pieces on a sheet of the first at 3 each, one on a sheet of the second at 5.
    let mut job = job(
        vec![piece(50, 60, 7)],
        vec![stock(100, 60), stock(50, 60)],
        Stages::Two,
    );
    (job.stocks[0].cost, job.stocks[1].cost) = (3, 5);
    let pair = || split(100, 60, Divides::Width, &[cut(50, 60, 0), cut(50, 60, 0)]);
    let half = || split(100, 60, Divides::Width, &[left(50, 60), cut(50, 60, 0)]);
    let plan = |pairs: u64, halves: u64, singles: u64| {
        let all = [
            cutting(0, pairs, pair()),
            cutting(0, halves, half()),
            cutting(1, singles, cut(50, 60, 0)),
        ];
        all.into_iter().filter(|c| c.times > 0).collect::<Vec<_>>()
    };
    assert_eq!(verify_cuttings(&job, &plan(2, 1, 2)), Ok(3 * 3 + 2 * 5));
    for (pairs, halves, singles, cut) in [(2, 1, 1, 6), (2, 1, 3, 8), (3, 1, 1, 8), (0, 0, 0, 0)] {
        let wrong = VerifyError::WrongCount {
            piece: 0,
            cut,
            wanted: 7,
        };
        assert_eq!(
            verify_cuttings(&job, &plan(pairs, halves, singles)),
            Err(wrong)
        );
    }
    job.stocks[0].count = Some(3);
    job.stocks[1].count = Some(2);
    assert_eq!(verify_cuttings(&job, &plan(2, 1, 2)), Ok(19));
    job.stocks[0].count = Some(2);
    let many = VerifyError::TooManySheets {
        stock: 0,
        used: 3,
        there: 2,
    };
    assert_eq!(verify_cuttings(&job, &plan(2, 1, 2)), Err(many));
    // Alike are counted over all sheets of one paper, not over all papers.
    job.stocks[0].count = None;
    job.pieces[0].most_alike = Some(5);
    assert_eq!(verify_cuttings(&job, &plan(2, 1, 2)), Ok(19));
    let alike = |stock, alike| {
        Err(VerifyError::TooManyAlike {
            piece: 0,
            stock,
            alike,
            most: 4,
        })
    };
    job.pieces[0].most_alike = Some(4);
    job.stocks[1].count = None;
    assert_eq!(verify_cuttings(&job, &plan(2, 1, 2)), alike(0, 5));
    assert_eq!(verify_cuttings(&job, &plan(1, 0, 5)), alike(1, 5));
    assert_eq!(verify_cuttings(&job, &plan(2, 0, 3)), Ok(21));
}

#[test]
fn a_verdict_agrees_with_cost_bound_and_claim() {
    let job = job(vec![piece(40, 60, 2)], vec![stock(40, 60)], Stages::Free);
    let plan = vec![cutting(0, 2, cut(40, 60, 0))];
    let agrees = |verdict, plan: &[Cutting], lower_bound, claim| {
        let reason = Reason::Values {
            values: vec![1],
            best: vec![1],
        };
        let answer = Answer {
            verdict,
            cuttings: plan.to_vec(),
            lower_bound,
            certificate: Certificate { claim, reason },
            first_fit: None,
            stopped: None,
        };
        match verify(&job, &answer) {
            Ok(()) => true,
            Err(VerifyError::WrongVerdict) => false,
            Err(other) => panic!("{other}"),
        }
    };
    let none: &[Cutting] = &[];
    let least = Claim::CostsAtLeast;
    for bound in 0..5 {
        let proved = agrees(Verdict::Proved, &plan, bound, least(bound));
        assert_eq!(proved, bound == 2);
        let found = agrees(Verdict::Found, &plan, bound, least(bound));
        assert_eq!(found, bound < 2);
        assert!(!agrees(Verdict::Proved, none, bound, least(bound)));
        assert!(!agrees(Verdict::Found, none, bound, least(bound)));
        assert!(agrees(Verdict::Undecided, none, bound, least(bound)));
        assert!(!agrees(Verdict::Undecided, &plan, bound, least(bound)));
        assert!(!agrees(Verdict::NotEnough, none, bound, least(bound)));
        assert!(!agrees(Verdict::NotEnough, &plan, bound, least(bound)));
    }
    assert!(!agrees(Verdict::Proved, &plan, 2, least(1)));
    assert!(!agrees(Verdict::Proved, &plan, 2, Claim::NotEnough));
    assert!(!agrees(Verdict::Found, &plan, 1, least(2)));
    assert!(!agrees(Verdict::Found, &plan, 1, Claim::NotEnough));
    assert!(!agrees(Verdict::Undecided, none, 1, Claim::NotEnough));
    assert!(agrees(Verdict::NotEnough, none, 0, Claim::NotEnough));
    assert!(!agrees(Verdict::NotEnough, &plan, 0, Claim::NotEnough));
}

#[test]
fn a_fill_is_worth_what_its_pieces_are() {
    let mut job = job(
        vec![piece(50, 60, 1), piece(20, 60, 1)],
        vec![stock(100, 60)],
        Stages::Free,
    );
    job.pieces[1].value = Some(7);
    let parts = [cut(50, 60, 0), cut(20, 60, 1), cut(20, 60, 1), left(10, 60)];
    let sheet = split(100, 60, Divides::Width, &parts);
    let fill = |stock, value| {
        verify_fill(
            &job,
            &Fill {
                stock,
                value,
                proved: true,
                sheet: sheet.clone(),
            },
        )
    };
    let worth = 50 * 60 + 2 * 7;
    assert_eq!(fill(0, worth), Ok(()));
    for said in [worth - 1, worth + 1, 0] {
        let worth = u128::from(worth);
        assert_eq!(fill(0, said), Err(VerifyError::WrongValue { worth }));
    }
    assert_eq!(fill(1, worth), Err(VerifyError::NoSuchStock { cutting: 0 }));
}
