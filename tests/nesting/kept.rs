//! Proofs that no larger offcut can be kept, made by hand, with one thing wrong each.

use crate::{job, piece, stock};
use tuckwright::nest::{
    Certificate, CheckError, Claim, Cutting, Divides, Extra, Job, Kept, KeptError, Part, Reason,
    RuledOut, Stages, VerifyError, What, check_kept, check_kept_within,
};

pub fn part(width: u64, height: u64, what: What) -> Part {
    Part {
        width,
        height,
        what,
    }
}

pub fn cut(width: u64, height: u64, piece: usize) -> Part {
    let turned = false;
    part(width, height, What::Piece { piece, turned })
}

pub fn left(width: u64, height: u64) -> Part {
    part(width, height, What::Offcut)
}

pub fn beside(width: u64, height: u64, parts: &[Part]) -> Part {
    let (divides, parts) = (Divides::Width, parts.to_vec());
    part(width, height, What::Split { divides, parts })
}

pub fn above(width: u64, height: u64, parts: &[Part]) -> Part {
    let (divides, parts) = (Divides::Height, parts.to_vec());
    part(width, height, What::Split { divides, parts })
}

pub fn cutting(stock: usize, times: u64, sheet: Part) -> Cutting {
    Cutting {
        stock,
        times,
        sheet,
    }
}

pub fn ruled_out(
    (width, height): (u64, u64),
    widens: Option<usize>,
    values: &[u64],
    best: &[u64],
    claim: Claim,
) -> RuledOut {
    let (values, best) = (values.to_vec(), best.to_vec());
    let reason = Reason::Values { values, best };
    RuledOut {
        extra: Extra {
            width,
            height,
            widens,
        },
        certificate: Certificate { claim, reason },
    }
}

pub const TWO: Claim = Claim::CostsAtLeast(2);

pub fn proved(cuttings: Vec<Cutting>, size: (u64, u64), ruled_out: Vec<RuledOut>) -> Kept {
    Kept {
        cuttings,
        least: 1,
        size,
        proved: true,
        ruled_out,
        stopped: None,
    }
}

/// A piece of 30 x 20 from 100 x 80 leaves 100 x 60: one tick more does not go beside it.
fn one_piece() -> (Job, Kept) {
    let job = job(vec![piece(30, 20, 1)], vec![stock(100, 80)], Stages::Free);
    let low = beside(100, 20, &[cut(30, 20, 0), left(70, 20)]);
    let sheet = above(100, 80, &[low, left(100, 60)]);
    // A sheet with the extra holds no piece beside it; without, no hundred of them.
    let over = ruled_out((100, 61), None, &[1, 100], &[100], TWO);
    let kept = proved(vec![cutting(0, 1, sheet)], (100, 60), vec![over]);
    (job, kept)
}

#[test]
fn what_is_kept_is_the_largest_offcut_of_the_cuttings() {
    let (job, kept) = one_piece();
    assert_eq!(check_kept(&job, &kept), Ok(()));
    let found = (100, 60);
    // By area alone: 6,000.
    for size in [(60, 100), (75, 80), (50, 120)] {
        let claim = Kept {
            size,
            ..kept.clone()
        };
        assert_eq!(check_kept(&job, &claim), Ok(()), "{size:?}");
    }
    for size in [(100, 59), (100, 61), (70, 20), (0, 0), (101, 60), (80, 80)] {
        let claim = Kept {
            size,
            ..kept.clone()
        };
        let wrong = Err(KeptError::WrongSize { found });
        assert_eq!(check_kept(&job, &claim), wrong, "{size:?}");
        let unproved = Kept {
            proved: false,
            ..claim
        };
        assert_eq!(check_kept(&job, &unproved), wrong, "{size:?}");
    }
    // Of several sheets the largest, wherever it stands; too narrow ones do not count.
    let mut three = job.clone();
    three.pieces[0].count = 3;
    let small = |w, h| {
        let low = beside(w, 20, &[cut(30, 20, 0), left(w - 30, 20)]);
        above(100, 80, &[low, left(w, h)])
    };
    let mut plan = vec![
        kept.cuttings[0].clone(),
        cutting(0, 1, {
            let column = above(30, 80, &[cut(30, 20, 0), left(30, 60)]);
            beside(100, 80, &[column, left(70, 80)])
        }),
        cutting(0, 1, small(100, 60)),
    ];
    for turn in 0..3 {
        plan.rotate_left(turn);
        let claim = |size, least| {
            let kept = Kept {
                least,
                proved: false,
                ..proved(plan.clone(), size, Vec::new())
            };
            check_kept(&three, &kept)
        };
        assert_eq!(claim((100, 60), 1), Ok(()));
        assert_eq!(claim((100, 60), 60), Ok(()));
        assert_eq!(claim((70, 80), 61), Ok(()));
        assert_eq!(claim((70, 80), 70), Ok(()));
        assert_eq!(claim((0, 0), 71), Ok(()));
        assert!(claim((70, 80), 1).is_err() && claim((0, 0), 70).is_err());
    }
    // Of two that are equally large the first is named, and nothing where nothing is left.
    let mut two = job.clone();
    two.pieces[0].count = 2;
    let level = cutting(0, 1, small(100, 60));
    two.pieces[0].turn = true;
    let (piece, turned) = (0, true);
    let high = part(20, 30, What::Piece { piece, turned });
    let narrow = above(20, 80, &[high, left(20, 50)]);
    let column = beside(100, 80, &[left(75, 80), left(5, 80), narrow]);
    let pair = [level, cutting(0, 1, column)];
    for (first, second, found) in [(0, 1, (100, 60)), (1, 0, (75, 80))] {
        let plan = vec![pair[first].clone(), pair[second].clone()];
        let wrong = Err(KeptError::WrongSize { found });
        assert_eq!(check_kept(&two, &proved(plan, (1, 1), Vec::new())), wrong);
    }
    let mut full = job.clone();
    full.stocks[0] = stock(30, 20);
    let plan = || vec![cutting(0, 1, cut(30, 20, 0))];
    let found = (0, 0);
    let wrong = Err(KeptError::WrongSize { found });
    assert_eq!(
        check_kept(&full, &proved(plan(), (1, 1), Vec::new())),
        wrong
    );
    // The cuttings are a plan at all.
    let mut claim = kept.clone();
    claim.cuttings[0].times = 2;
    let wrong = VerifyError::WrongCount {
        piece: 0,
        cut: 2,
        wanted: 1,
    };
    assert_eq!(check_kept(&job, &claim), Err(KeptError::Cuttings(wrong)));
}

#[test]
fn what_is_ruled_out_would_cost_more_than_the_cuttings() {
    let (mut job, kept) = one_piece();
    let with = |job: &Job, number: usize, claim| {
        let mut other = kept.clone();
        let good = other.ruled_out[0].clone();
        other.ruled_out.resize(number + 1, good);
        other.ruled_out[number].certificate.claim = claim;
        check_kept(job, &other)
    };
    for number in [0, 1] {
        let weak = Err(KeptError::DoesNotFollow { number });
        assert_eq!(with(&job, number, TWO), Ok(()));
        assert_eq!(with(&job, number, Claim::CostsAtLeast(1)), weak);
        assert_eq!(with(&job, number, Claim::CostsAtLeast(0)), weak);
        let error = CheckError::DoesNotFollow;
        let wrong = Err(KeptError::Certificate { number, error });
        assert_eq!(with(&job, number, Claim::CostsAtLeast(3)), wrong);
        assert_eq!(with(&job, number, Claim::NotEnough), wrong);
    }
    // One sheet at hand: two are more than there are.
    job.stocks[0].count = Some(1);
    assert_eq!(with(&job, 0, Claim::NotEnough), Ok(()));
    let number = 0;
    let error = CheckError::TooMany;
    assert_eq!(
        check_kept_within(&job, &kept, 0),
        Err(KeptError::Certificate { number, error })
    );
    let mut nowhere = kept.clone();
    nowhere.ruled_out[0].extra.widens = Some(1);
    assert_eq!(
        check_kept(&job, &nowhere),
        Err(KeptError::NoSuchPiece { number })
    );
}

#[test]
fn every_size_that_sums_of_sides_leave_is_ruled_out() {
    let (job, kept) = one_piece();
    let with = |extra: (u64, u64)| {
        let over = ruled_out(extra, None, &[1, 100], &[100], TWO);
        let kept = proved(kept.cuttings.clone(), (100, 60), vec![over]);
        check_kept(&job, &kept)
    };
    let missing = |width, height| Err(KeptError::NotRuledOut { width, height });
    let none = proved(kept.cuttings.clone(), (100, 60), Vec::new());
    assert_eq!(check_kept(&job, &none), missing(100, 80));
    for extra in [(100, 61), (100, 80), (80, 100), (61, 100)] {
        assert_eq!(with(extra), Ok(()), "{extra:?}");
    }
    // The same said to be the largest although 100 x 60 was there to be had.
    let column = above(30, 80, &[cut(30, 20, 0), left(30, 60)]);
    let sheet = beside(100, 80, &[column, left(70, 80)]);
    let over = ruled_out((100, 61), None, &[1, 100], &[100], TWO);
    let other = proved(vec![cutting(0, 1, sheet)], (70, 80), vec![over]);
    assert_eq!(check_kept(&job, &other), missing(100, 60));
    // Without a proof nothing is asked for.
    let unproved = Kept {
        proved: false,
        ..none
    };
    assert_eq!(check_kept(&job, &unproved), Ok(()));
}

/// Pieces of 30 x 20 and 100 x 50 from 100 x 80 leave 70 x 30.
fn two_pieces() -> (Job, Kept) {
    let pieces = vec![piece(30, 20, 1), piece(100, 50, 1)];
    let job = job(pieces, vec![stock(100, 80)], Stages::Free);
    let column = above(30, 30, &[cut(30, 20, 0), left(30, 10)]);
    let low = beside(100, 30, &[column, left(70, 30)]);
    let sheet = above(100, 80, &[low, cut(100, 50, 1)]);
    // 100 x 50 and 71 x 30 leave 29 beside it; 70 x 31 does not go above 100 x 50 at all.
    let wide = ruled_out((71, 30), None, &[1, 1_000, 100], &[1_100], TWO);
    let high = ruled_out((70, 31), None, &[1, 1_000, 400], &[1_003], TWO);
    let kept = proved(vec![cutting(0, 1, sheet)], (70, 30), vec![wide, high]);
    (job, kept)
}

#[test]
fn each_size_is_ruled_out_by_one_that_lies_in_it() {
    let (job, kept) = two_pieces();
    assert_eq!(check_kept(&job, &kept), Ok(()));
    let missing = |width, height| Err(KeptError::NotRuledOut { width, height });
    let without = |number| {
        let mut fewer = kept.clone();
        fewer.ruled_out.remove(number);
        check_kept(&job, &fewer)
    };
    assert_eq!(without(0), missing(100, 30));
    assert_eq!(without(1), missing(70, 60));
    // The lowest of each width stands for the higher ones: 70 x 30 is kept, 70 x 31 is not.
    let mut other = kept.clone();
    other.ruled_out.reverse();
    assert_eq!(check_kept(&job, &other), Ok(()));
    // A piece made wider says nothing about offcuts that lie by themselves.
    let mut other = kept.clone();
    other.ruled_out[1] = ruled_out((70, 31), Some(0), &[400, 1_000], &[1_000], TWO);
    assert_eq!(check_kept(&job, &other), missing(70, 60));
    // Offcuts narrower than is wanted are not asked for: 10 high is none.
    let mut other = kept.clone();
    other.least = 30;
    assert_eq!(check_kept(&job, &other), Ok(()));
    other.least = 31;
    other.size = (0, 0);
    other.ruled_out.remove(0);
    assert_eq!(check_kept(&job, &other), Ok(()));
    other.ruled_out.clear();
    assert_eq!(check_kept(&job, &other), missing(100, 60));
    // Nor what the trimmer does not hold, though a proof may speak of narrower strips and of pieces
    // that leave them.
    let mut coarse = job.clone();
    coarse.narrowest = 10;
    let mut other = kept;
    other.ruled_out[0].extra.width = 99;
    assert_eq!(check_kept(&coarse, &other), Ok(()));
    coarse.narrowest = 11;
    let narrow = VerifyError::TooNarrow { cutting: 0 };
    assert_eq!(
        check_kept(&coarse, &other),
        Err(KeptError::Cuttings(narrow))
    );
}

#[test]
fn a_strip_of_one_tick_is_an_offcut() {
    // 9 x 5 from 10 x 6, with 1 x 6 and 9 x 1 left; 10 x 1 could be.
    let job = job(vec![piece(9, 5, 1)], vec![stock(10, 6)], Stages::Free);
    let column = above(9, 6, &[cut(9, 5, 0), left(9, 1)]);
    let sheet = beside(10, 6, &[column, left(1, 6)]);
    for least in [0, 1] {
        let kept = Kept {
            least,
            ..proved(vec![cutting(0, 1, sheet.clone())], (9, 1), Vec::new())
        };
        let (width, height) = (10, 1);
        assert_eq!(
            check_kept(&job, &kept),
            Err(KeptError::NotRuledOut { width, height })
        );
    }
}

/// Two papers, a sheet of each is used; a third is not.
#[test]
fn sheets_that_are_used_are_all_there_are() {
    let pieces = vec![piece(30, 20, 1), piece(70, 100, 1)];
    let mut job = job(
        pieces,
        vec![stock(100, 80), stock(70, 100), stock(200, 200)],
        Stages::Free,
    );
    job.stocks[0].turn = false;
    job.stocks[0].cost = 3;
    let low = beside(100, 20, &[cut(30, 20, 0), left(70, 20)]);
    let plan = vec![
        cutting(0, 1, above(100, 80, &[low, left(100, 60)])),
        cutting(1, 1, cut(70, 100, 1)),
    ];
    let more = |extra, best: [u64; 3], claim| {
        let over = ruled_out(extra, None, &[1, 1_000, 1_000], &best, claim);
        check_kept(&job, &proved(plan.clone(), (100, 60), vec![over]))
    };
    // The first holds the extra or a dozen small pieces, the second 70 x 100 and nothing beside it.
    let best = [1_000, 1_000, 1_000_000];
    assert_eq!(more((100, 61), best, Claim::NotEnough), Ok(()));
    assert_eq!(more((100, 61), best, Claim::CostsAtLeast(5)), Ok(()));
    let number = 0;
    let weak = Err(KeptError::DoesNotFollow { number });
    assert_eq!(more((100, 61), best, Claim::CostsAtLeast(4)), weak);
    // 61 x 100 does not lie in 100 x 80: that paper does not turn.
    let missing = |width, height| Err(KeptError::NotRuledOut { width, height });
    assert_eq!(
        more((61, 100), [1_000, 1_000, 1_000_000], Claim::NotEnough),
        missing(100, 80)
    );
    // Of one kind of sheet as many as there are may be used for the same cost.
    let mut one = job.clone();
    one.pieces.pop();
    one.stocks.remove(1);
    let plan = vec![plan[0].clone()];
    let with = |one: &Job, cost, best: u64| {
        let claim = Claim::CostsAtLeast(cost);
        let over = ruled_out((100, 61), None, &[1, 1_000], &[best, 1_000_000], claim);
        check_kept(one, &proved(plan.clone(), (100, 60), vec![over]))
    };
    assert_eq!(with(&one, 4, 1_000), Ok(()));
    assert_eq!(with(&one, 6, 1_000), Ok(()));
    let error = CheckError::DoesNotFollow;
    let wrong = Err(KeptError::Certificate { number, error });
    assert_eq!(with(&one, 7, 1_000), wrong, "two sheets give it");
    assert_eq!(with(&one, 3, 1_000), weak);
    one.stocks[0].count = Some(1);
    assert_eq!(with(&one, 7, 1_000), Ok(()), "there is no second sheet");
}
