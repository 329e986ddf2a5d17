//! Small styles of strips on bags of 111 x 146 mm: which rows their rules become, number by number.

use super::common::{read, style};
use tuckwright::album::Album;
use tuckwright::length::Length;
use tuckwright::program::expand::{Expanded, RowSource, expand};
use tuckwright::program::rows::Loose;
use tuckwright::program::{ExpandError, Row, UnknownId};
use tuckwright::solve::{Limits, solve};
use tuckwright::style::Style;
use tuckwright::style::expr::Number;

/// A strip on each leaf, and these rules.
pub fn strips(rules: &str) -> Style {
    let mut words = String::from("style = 'strips'\ntitle = 'Strips'\n");
    if rules.contains("near") {
        words += "[quantity]\nnear = { value = '10 mm', why = 'a strip is no smaller' }\n";
    }
    if rules.contains("ring.") {
        words +=
            "[[choice]]\nname = 'ring'\nfrom = 'rings'\nprefer = 'small inside'\nwhy = 'a ring'\n";
    }
    for side in ["width", "height"] {
        words += &format!(
            "[[unknown]]\nname = 'strip.{side}'\nfor = ['leaf in leaves']\nprefer = 'large'\n{}why = 'cut size'\n",
            if rules.contains("near") {
                "least = 'near'\n"
            } else {
                ""
            }
        );
    }
    style(&(words + rules))
}

/// A rule for each leaf, with everything after its name.
pub fn rule(name: &str, rest: &str) -> String {
    let given = ["ring.inside", "ring.wire"].map(|column| match rest.contains(column) {
        true => format!("'given({column})', "),
        false => String::new(),
    });
    let given = match given.concat() {
        none if none.is_empty() => none,
        all => format!("when = [{all}]\n"),
    };
    format!(
        "[[rule]]\nname = '{name}'\nfor = ['leaf in leaves']\nbecause = 'it is so'\nsource = 'common practice'\n{given}{rest}\n"
    )
}

pub fn require(what: &str) -> Style {
    strips(&rule("a", &format!("require = '{what}'")))
}

/// Leaves by their number, on bags of this size, with what else an album says.
pub fn album_of(leaves: &[u32], size: &str, more: &str) -> Album {
    let mut words = String::from("album = 'Strips'\nruler = '1 mm'\n");
    for (at, count) in leaves.iter().enumerate() {
        words += &format!(
            "[[leaf]]\nname = 'leaf {at}'\nbag = 'flat bag'\nfront_mat = 'none'\nback_mat = 'none'\ncount = {count}\n"
        );
    }
    words += &format!("[[bag]]\nname = 'flat bag'\nsize = '{size}'\nbottom = 'pinch'\n{more}");
    read(&words)
}

pub fn album() -> Album {
    album_of(&[3], "111 x 146 mm", "")
}

pub const RINGS: &str =
    "[[ring]]\nname = 'large'\ninside = '25 mm'\n[[ring]]\nname = 'small'\ninside = '18 mm'\n";

pub fn laid(style: &Style, album: &Album) -> Expanded {
    expand(style, album).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// Rows as terms, right side and guards.
type Plain = (Vec<(u32, i64)>, i64, Vec<(u32, u32)>);

fn plain(row: &Row) -> Plain {
    let terms = row.terms.iter().map(|&(id, times)| (id.0, times));
    let guards = row.guards.iter().map(|g| (g.group.0, g.alternative));
    (terms.collect(), row.most, guards.collect())
}

/// The rows of the first rule.
fn rows(style: &Style, album: &Album) -> Vec<Plain> {
    let expanded = laid(style, album);
    let program = &expanded.program;
    assert_eq!(program.rows.len(), expanded.row_steps.len());
    assert_eq!(program.rows.len(), expanded.row_sources.len());
    let own = &program.rows[program.instances[0].rows.clone()];
    own.iter().map(plain).collect()
}

fn row(terms: &[(u32, i64)], most: i64) -> Plain {
    (terms.to_vec(), most, Vec::new())
}

#[test]
fn numbers_are_compared_up_to_equality() {
    for count in 2..=4i64 {
        for (relation, holds) in [("<=", count <= 3), (">=", count >= 3), ("=", count == 3)] {
            let style = require(&format!("leaf.count {relation} 3"));
            let album = album_of(&[count as u32], "111 x 146 mm", "");
            let most = if holds { 0 } else { -1 };
            assert_eq!(rows(&style, &album), [row(&[], most)], "{count} {relation}");
            let expanded = laid(&style, &album);
            assert_eq!(expanded.row_sources[0], RowSource::Numbers);
            assert_eq!(expanded.row_steps[0], Number::from_integer(1));
            let fits = matches!(
                solve(&expanded.program, &Limits::default()).verdict,
                tuckwright::solve::Verdict::FitsBest
            );
            assert_eq!(fits, holds);
        }
    }
}

#[test]
fn a_row_keeps_the_whole_part_of_its_right_side() {
    let of = |what: &str| rows(&require(what), &album());
    let (w, h) = (0, 1);
    assert_eq!(of("strip.width <= leaf.width"), [row(&[(w, 1)], 111)]);
    assert_eq!(of("strip.width >= leaf.width"), [row(&[(w, -1)], -111)]);
    assert_eq!(
        of("strip.width = leaf.width"),
        [row(&[(w, 1)], 111), row(&[(w, -1)], -111)]
    );
    let sides: Vec<_> = laid(&require("strip.width = leaf.width"), &album()).row_sources;
    let sides = sides.iter().map(|source| match source {
        RowSource::Form { side, .. } => *side,
        _ => 0,
    });
    assert_eq!(sides.collect::<Vec<_>>(), [1, -1]);
    // 55 1/2, each side rounded to the safe one.
    assert_eq!(of("2 * strip.width <= leaf.width"), [row(&[(w, 1)], 55)]);
    assert_eq!(of("2 * strip.width >= leaf.width"), [row(&[(w, -1)], -56)]);
    // 111 is three times 37; 146 is not.
    let both = &[(w, 1), (h, 2)];
    assert_eq!(
        of("3 * strip.width + 6 * strip.height <= leaf.width"),
        [row(both, 37)]
    );
    assert_eq!(
        of("3 * strip.width + 6 * strip.height <= leaf.height"),
        [row(both, 48)]
    );
    // In sixths: 3 w + 2 h <= 666; in one unit of it a sixth of a step.
    let parts = require("strip.width / 2 + strip.height / 3 <= leaf.width");
    assert_eq!(rows(&parts, &album()), [row(&[(w, 3), (h, 2)], 666)]);
    let steps = laid(&parts, &album()).row_steps[0];
    assert_eq!(steps, Number::new(1, 6));
    let thrice = require("3 * strip.width + 6 * strip.height <= leaf.width");
    assert_eq!(laid(&thrice, &album()).row_steps[0], Number::new(3, 1));
    // What stands on both sides goes.
    assert_eq!(
        of("strip.width + strip.height <= leaf.width + strip.width"),
        [row(&[(h, 1)], 111)]
    );
    assert_eq!(
        of("strip.width - strip.width <= leaf.width"),
        [row(&[], 111)]
    );
}

#[test]
fn what_varies_stands_at_its_worse_end() {
    let varied = album_of(&[3], "111 ± 1 x 146 ± 2 mm", "");
    let of = |what: &str| rows(&require(what), &varied);
    assert_eq!(of("strip.width <= leaf.width"), [row(&[(0, 1)], 110)]);
    assert_eq!(of("strip.width >= leaf.width"), [row(&[(0, -1)], -112)]);
    // Once for all of a comparison: half of 144.
    assert_eq!(
        of("strip.width <= leaf.height - leaf.height / 2"),
        [row(&[(0, 1)], 72)]
    );
    assert_eq!(
        of("strip.width <= leaf.height - leaf.width"),
        [row(&[(0, 1)], 32)]
    );
    // What varies makes nothing equal; that is said once, not for each leaf.
    let equal = require("strip.width = leaf.width");
    let two = album_of(&[3, 4], "111 ± 1 x 146 mm", "");
    let errors = expand(&equal, &two).expect_err("the width varies");
    assert!(
        matches!(&errors[..], [ExpandError::UncertainEqual { rule, .. }] if rule == "a"),
        "{errors:?}"
    );
    let less = require("strip.width = leaf.width - near");
    assert!(expand(&less, &two).is_err(), "a part of it varies");
    let exact = album_of(&[3, 4], "111 x 146 mm", "");
    assert_eq!(rows(&equal, &exact).len(), 2);
}

#[test]
fn a_value_that_may_change_is_an_unknown_and_no_constant() {
    let varied = album_of(&[3], "111 ± 1 x 146 ± 2 mm", "");
    let expanded = laid(&require("strip.width <= leaf.height - leaf.width"), &varied);
    let RowSource::Form { form, side } = &expanded.row_sources[0] else {
        panic!("it compares lengths");
    };
    let given = |positive: bool| {
        let mut each = form.givens.iter();
        let (given, _) = each
            .find(|(_, n)| (*n > Number::from_integer(0)) == positive)
            .expect("both");
        *given
    };
    let of = |open: &[(bool, u32)]| {
        let open = open
            .iter()
            .map(|&(positive, id)| (given(positive), UnknownId(id)));
        let loose = Loose::of(&expanded.model, form, *side, &open.collect()).expect("small");
        let terms: Vec<_> = loose
            .terms
            .iter()
            .map(|(id, n)| (id.0, *n.numer()))
            .collect();
        (terms, *loose.constant.numer() / 1_000_000)
    };
    // Width + the bag's width - its height: 112 and 144 at their worse ends.
    assert_eq!(of(&[]), (vec![(0, 1)], 112 - 144));
    assert_eq!(of(&[(true, 8)]), (vec![(0, 1), (8, 1)], -144));
    assert_eq!(of(&[(false, 9)]), (vec![(0, 1), (9, -1)], 112));
    assert_eq!(
        of(&[(true, 8), (false, 9)]),
        (vec![(0, 1), (8, 1), (9, -1)], 0)
    );
    assert_eq!(of(&[(true, 0), (false, 9)]), (vec![(0, 2), (9, -1)], 0));
}

#[test]
fn numbers_that_are_too_large_are_refused() {
    let style = require("strip.width * 999999999 * 999999999 * 999999999 <= leaf.width");
    let errors = expand(&style, &album()).expect_err("it is too large");
    assert!(matches!(&errors[..], [ExpandError::TooLarge { .. }]));
}

#[test]
fn fractions_are_whole_up_to_the_finest() {
    let step = Length::from_nm(1);
    let loose = |terms: &[(u32, Number)], constant: Number| {
        let mut loose = Loose {
            constant,
            ..Loose::default()
        };
        for &(id, n) in terms {
            loose.terms.add(UnknownId(id), n).expect("it is small");
        }
        loose
    };
    let finest = 1i128 << 40;
    let one = Number::from_integer(1);
    // Half of a part is lost where the right side is as fine as can be, and nothing is finer.
    let whole = loose(&[(0, one)], Number::new(-1, finest)).whole(step);
    assert_eq!(whole, Some((vec![(UnknownId(0), 1)], 0, one)));
    let whole = loose(&[(0, one)], Number::new(1, finest)).whole(step);
    assert_eq!(whole, Some((vec![(UnknownId(0), 1)], -1, one)));
    let finer = loose(&[(0, one)], Number::new(1, finest + 1)).whole(step);
    assert_eq!(finer, None);
    let fine = Number::new(1, finest);
    let whole = loose(&[(0, fine)], -one).whole(step);
    let per_step = Number::from_integer(finest);
    assert_eq!(
        whole,
        Some((vec![(UnknownId(0), 1)], 1 << 40, per_step.recip()))
    );
    let finer = loose(&[(0, Number::new(1, finest + 1))], -one);
    assert_eq!(finer.whole(step), None);
    let both = loose(&[(0, fine), (1, fine)], -one).whole(step);
    let terms = vec![(UnknownId(0), 1), (UnknownId(1), 1)];
    assert_eq!(both, Some((terms, 1 << 40, per_step.recip())));
    // What two denominators share counts once: quarters and sixths are twelfths.
    let twelfths = loose(
        &[(0, Number::new(1, 4)), (1, Number::new(5, 6))],
        Number::from_integer(-7),
    );
    let terms = vec![(UnknownId(0), 3), (UnknownId(1), 10)];
    assert_eq!(twelfths.whole(step), Some((terms, 84, Number::new(1, 12))));
    // No unknown at all: the right side in whole steps.
    let none = loose(&[], Number::from_integer(7)).whole(Length::from_nm(2));
    assert_eq!(none, Some((Vec::new(), -4, one)));
    // Nothing is kept of what adds up to nothing.
    let mut sum = Loose::default();
    for n in [1, 2, -3] {
        sum.terms
            .add(UnknownId(0), Number::from_integer(n))
            .expect("small");
        sum.terms
            .add(UnknownId(1), Number::from_integer(n.abs()))
            .expect("small");
    }
    let six = Number::from_integer(6);
    assert!(sum.terms.iter().eq(&[(UnknownId(1), six)]));
}

#[test]
fn each_item_of_a_choice_has_its_row_and_all_of_them_what_the_weakest_asks() {
    let album = album_of(&[3], "111 x 146 mm", RINGS);
    let guarded = |most, at| (vec![(0, 1)], most, vec![(0, at)]);
    // The small ring is preferred, so it stands first.
    let style = require("strip.width <= ring.inside");
    assert_eq!(
        rows(&style, &album),
        [guarded(18, 0), guarded(25, 1), row(&[(0, 1)], 25)]
    );
    let sources = laid(&style, &album).row_sources;
    assert!(matches!(&sources[0], RowSource::Form { side: 1, .. }));
    assert_eq!(sources[2], RowSource::Follows);
    let at_least = require("strip.width >= ring.inside");
    let guarded = |most, at| (vec![(0, -1)], most, vec![(0, at)]);
    assert_eq!(
        rows(&at_least, &album),
        [guarded(-18, 0), guarded(-25, 1), row(&[(0, -1)], -18)]
    );
    let sources = laid(&at_least, &album).row_sources;
    assert!(matches!(&sources[0], RowSource::Form { side: -1, .. }));
    let turned = require("ring.inside >= strip.width");
    assert_eq!(rows(&turned, &album), rows(&style, &album));
    // With two rows for each ring none follows alike from all.
    let equal = require("strip.width = ring.inside");
    let equal: Vec<_> = rows(&equal, &album).iter().map(|r| r.2.len()).collect();
    assert_eq!(equal, [1; 4]);
    // A ring that does not say its wire is not held to the rule, so nothing follows for all; one ring
    // alone needs no guard.
    let wire = require("strip.width <= ring.wire + ring.inside");
    let some = format!("{RINGS}wire = '2 mm'\n");
    let some = album_of(&[3], "111 x 146 mm", &some);
    assert_eq!(rows(&wire, &some), [(vec![(0, 1)], 20, vec![(0, 0)])]);
    let alone = "[[ring]]\nname = 'small'\ninside = '18 mm'\n";
    let alone = album_of(&[3], "111 x 146 mm", alone);
    assert_eq!(rows(&style, &alone), [row(&[(0, 1)], 18)]);
    // Two rows of one ring are not one of each.
    let wire = require("strip.width = ring.wire + ring.inside");
    let guarded = |times, most| (vec![(0, times)], most, vec![(0, 0)]);
    assert_eq!(rows(&wire, &some), [guarded(1, 20), guarded(-1, -20)]);
    // A way of an `either` has no weakest item.
    let way = strips(&rule("a", "either = ['strip.width <= leaf.width']"));
    assert_eq!(rows(&way, &album), [guarded(1, 111)]);
    let either = strips(&rule(
        "a",
        "either = ['strip.width <= ring.inside', 'strip.width <= leaf.width']",
    ));
    let either = rows(&either, &album);
    assert_eq!(
        either,
        [
            (vec![(0, 1)], 18, vec![(0, 0), (1, 0)]),
            (vec![(0, 1)], 25, vec![(0, 1), (1, 0)]),
            (vec![(0, 1)], 111, vec![(1, 1)]),
        ]
    );
}
