//! Proofs that the last cut of all, which takes waste off a single piece, leaves no larger offcut.

use crate::kept::{TWO, above, beside, cut, cutting, left, part, proved, ruled_out};
use crate::{job, piece, stock};
use tuckwright::nest::{CheckError, Job, Kept, KeptError, Stages, What, check_kept};

/// In two stages 2 x 9 and 8 x 2 from 10 x 9 leave 8 x 7; the last cut of all could take a strip off
/// 2 x 9. With everything wide high where `swap` says so.
fn last_cut(swap: bool) -> (Job, Kept) {
    let size = |w, h| if swap { (h, w) } else { (w, h) };
    let of = |w, h| {
        let (w, h) = size(w, h);
        piece(w, h, 1)
    };
    let (wide, high) = size(10, 9);
    let job = job(
        vec![of(2, 9), of(8, 2)],
        vec![stock(wide, high)],
        Stages::Two,
    );
    let one = |w, h, at| {
        let (w, h) = size(w, h);
        cut(w, h, at)
    };
    let rest = |w, h| {
        let (w, h) = size(w, h);
        left(w, h)
    };
    let sheet = if swap {
        let low = beside(9, 8, &[one(8, 2, 1), rest(8, 7)]);
        above(9, 10, &[one(2, 9, 0), low])
    } else {
        let right = above(8, 9, &[one(8, 2, 1), rest(8, 7)]);
        beside(10, 9, &[one(2, 9, 0), right])
    };
    // 9 x 7 with 2 x 9 or with 8 x 2, never with both.
    let alone = ruled_out(size(9, 7), None, &[10, 10, 100], &[110], TWO);
    let wider = ruled_out(size(9, 9), Some(0), &[100, 10], &[100], TWO);
    let kept = proved(vec![cutting(0, 1, sheet)], size(8, 7), vec![alone, wider]);
    (job, kept)
}

#[test]
fn the_last_cut_of_all_is_ruled_out_for_each_piece() {
    for swap in [false, true] {
        let size = |w, h| if swap { (h, w) } else { (w, h) };
        let (job, kept) = last_cut(swap);
        assert_eq!(check_kept(&job, &kept), Ok(()), "{swap}");
        let missing = |w, h| {
            let (width, height) = size(w, h);
            Err(KeptError::LastCutNotRuledOut {
                piece: 0,
                width,
                height,
            })
        };
        let with = |(w, h): (u64, u64), least| {
            let mut other = kept.clone();
            other.ruled_out[1].extra.width = size(w, h).0;
            other.ruled_out[1].extra.height = size(w, h).1;
            other.least = least;
            if least > 7 {
                other.size = (0, 0);
            }
            check_kept(&job, &other)
        };
        // 2 x 9 with a strip of 7 x 9 = 63 is more than 8 x 7 = 56; with 6 x 9 = 54 it is less.
        assert_eq!(with((9, 9), 1), Ok(()));
        assert_eq!(with((10, 9), 1), missing(9, 9));
        // One that is smaller than the piece is no strip beside it.
        assert_eq!(with((9, 8), 1), missing(9, 9));
        // Where 8 is the narrowest that counts the strip is 8 wide.
        assert_eq!(with((10, 9), 8), Ok(()));
        assert_eq!(with((10, 8), 8), missing(10, 9));
        // In free cuts every strip lies by itself.
        let mut free = job.clone();
        free.stages = Stages::Free;
        let mut other = kept.clone();
        other.ruled_out.pop();
        assert_eq!(check_kept(&free, &other), Ok(()));
        assert_eq!(check_kept(&job, &other), missing(9, 9));
        free.stages = Stages::Three;
        assert_eq!(check_kept(&free, &other), missing(9, 9));
        // What widens the other piece does not count for this one.
        let (w, h) = size(9, 9);
        other
            .ruled_out
            .push(ruled_out((w, h), Some(1), &[10, 100], &[100], TWO));
        assert_eq!(check_kept(&job, &other), missing(9, 9));
        // Nor does what lies by itself.
        other.ruled_out.pop();
        other
            .ruled_out
            .push(ruled_out((w, h), None, &[10, 10, 100], &[100], TWO));
        assert_eq!(check_kept(&job, &other), missing(9, 9));
    }
}

#[test]
fn a_strip_beside_a_piece_counts_only_where_both_fit_the_sheet() {
    // 4 x 18 from 20 x 40 leaves 16 x 40; 4 x 18 with a strip of 36 would be 40 x 18.
    for (may_turn, paper_turns) in [(true, false), (false, true), (false, false)] {
        let mut job = job(vec![piece(4, 18, 1)], vec![stock(20, 40)], Stages::Two);
        job.pieces[0].turn = may_turn;
        job.stocks[0].turn = paper_turns;
        let column = above(4, 40, &[cut(4, 18, 0), left(4, 22)]);
        let sheet = beside(20, 40, &[column, left(16, 40)]);
        let over = ruled_out((17, 40), None, &[1, 100], &[100], TWO);
        let kept = proved(vec![cutting(0, 1, sheet)], (16, 40), vec![over]);
        assert_eq!(check_kept(&job, &kept), Ok(()));
    }
    // The blade lies between both: with a blade of 1, 2 x 9 and 6 x 2 from 9 x 9 leave 6 x 6 = 36, and
    // 2 x 9 with a strip of 5 x 9 takes 8.
    let at = |gap: u64, width: u64| {
        let mut job = job(
            vec![piece(2, 9, 1), piece(width - 2 - gap, 2, 1)],
            vec![stock(width, 9)],
            Stages::Two,
        );
        job.gap = gap;
        let right = width - 2 - gap;
        let parts = [cut(right, 2, 1), left(right, 7 - gap)];
        let sheet = beside(width, 9, &[cut(2, 9, 0), above(right, 9, &parts)]);
        let alone = ruled_out((right + 1, 7 - gap), None, &[10, 10, 100], &[110], TWO);
        let kept = proved(vec![cutting(0, 1, sheet)], (right, 7 - gap), vec![alone]);
        check_kept(&job, &kept)
    };
    for (gap, width, wider) in [(0, 10, 9), (1, 9, 8), (2, 10, 8)] {
        let missing = KeptError::LastCutNotRuledOut {
            piece: 0,
            width: wider,
            height: 9,
        };
        assert_eq!(at(gap, width), Err(missing), "{gap}");
    }
}

#[test]
fn a_piece_that_is_wanted_twice_is_widened_once() {
    // Two of 2 x 9 and one of 8 x 2 from 12 x 9 leave 8 x 7.
    let pieces = vec![piece(2, 9, 2), piece(8, 2, 1)];
    let job = job(pieces, vec![stock(12, 9)], Stages::Two);
    let right = above(8, 9, &[cut(8, 2, 1), left(8, 7)]);
    let sheet = beside(12, 9, &[cut(2, 9, 0), cut(2, 9, 0), right]);
    let alone = ruled_out((9, 7), None, &[10, 10, 100], &[120], TWO);
    // 9 x 9, the other 2 x 9 and 8 x 2: the widened one stands last.
    let wider = |values: &[u64], best| ruled_out((9, 9), Some(0), values, &[best], TWO);
    let with = |wider| {
        let kept = proved(
            vec![cutting(0, 1, sheet.clone())],
            (8, 7),
            vec![alone.clone(), wider],
        );
        check_kept(&job, &kept)
    };
    assert_eq!(with(wider(&[10, 10, 100], 110)), Ok(()));
    let number = 1;
    let error = CheckError::DoesNotFollow;
    // Without 8 x 2, which is what does not go in, there is room: one of 2 x 9 is still wanted.
    let wrong = Err(KeptError::Certificate { number, error });
    assert_eq!(with(wider(&[10, 0, 100], 110)), wrong);
    let error = CheckError::WrongLength;
    let wrong = Err(KeptError::Certificate { number, error });
    assert_eq!(with(wider(&[100, 10], 110)), wrong);
}

#[test]
fn a_strip_is_as_long_as_the_side_of_its_piece() {
    // 2 x 9 alone from 20 x 9: all that is left is 9 high, which is waste where 10 is the least.
    let alone = job(vec![piece(2, 9, 1)], vec![stock(20, 9)], Stages::Two);
    let sheet = beside(20, 9, &[cut(2, 9, 0), left(18, 9)]);
    let waste = Kept {
        least: 10,
        ..proved(vec![cutting(0, 1, sheet)], (0, 0), Vec::new())
    };
    assert_eq!(check_kept(&alone, &waste), Ok(()));
    // With 12 x 5 beside it nothing is left that is 9 wide and 9 high. Such a strip beside 2 x 9 would
    // be as high as is wanted.
    let pieces = vec![piece(2, 9, 1), piece(12, 5, 1)];
    let job = job(pieces, vec![stock(20, 9)], Stages::Two);
    let low = beside(18, 5, &[cut(12, 5, 1), left(6, 5)]);
    let right = above(18, 9, &[low, left(18, 4)]);
    let sheet = beside(20, 9, &[cut(2, 9, 0), right]);
    let alone = ruled_out((9, 9), None, &[1, 1_000, 100], &[1_001], TWO);
    let wider = ruled_out((11, 9), Some(0), &[100, 1_000], &[1_000], TWO);
    let mut kept = Kept {
        least: 9,
        ..proved(vec![cutting(0, 1, sheet)], (0, 0), vec![alone, wider])
    };
    assert_eq!(check_kept(&job, &kept), Ok(()));
    kept.ruled_out.pop();
    let missing = KeptError::LastCutNotRuledOut {
        piece: 0,
        width: 11,
        height: 9,
    };
    assert_eq!(check_kept(&job, &kept), Err(missing));
}

#[test]
fn a_strip_beside_a_turned_piece_is_ruled_out_too() {
    // 2 x 9, turned, above 1 x 8 on 9 x 10 leaves 8 x 8. A strip of more would be 8 x 9, and 10 x 9 with
    // the piece lies on the sheet turned only, where it takes all of it. On 9 x 12 it is 8 x 10, and
    // 11 x 9.
    let cases = [
        (10, (8, 8), (9, 8), (7, 10), (10, 9)),
        (12, (8, 10), (9, 10), (7, 12), (11, 9)),
    ];
    for (down, size, low, high, (width, height)) in cases {
        let mut job = job(
            vec![piece(2, 9, 1), piece(1, 8, 1)],
            vec![stock(9, down)],
            Stages::Two,
        );
        job.pieces[0].turn = true;
        let (piece, turned) = (0, true);
        let long = part(9, 2, What::Piece { piece, turned });
        let mut column = cut(1, 8, 1);
        if down > 10 {
            column = above(1, down - 2, &[column, left(1, down - 10)]);
        }
        let under = beside(9, down - 2, &[column, left(8, down - 2)]);
        let sheet = above(9, down, &[long, under]);
        let extra = |size| ruled_out(size, None, &[20, 10, 100], &[120], TWO);
        let wider = ruled_out((width, height), Some(0), &[100, 10], &[100], TWO);
        let all = vec![extra(low), extra(high), wider];
        let mut kept = proved(vec![cutting(0, 1, sheet)], size, all);
        assert_eq!(check_kept(&job, &kept), Ok(()));
        kept.ruled_out.pop();
        let piece = 0;
        let missing = KeptError::LastCutNotRuledOut {
            piece,
            width,
            height,
        };
        assert_eq!(check_kept(&job, &kept), Err(missing));
    }
}
