//! What a plan is held to by the text of its rules, on small styles of strips.

use super::strips::{RINGS, album, album_of, laid, require, rule, strips};
use std::collections::{BTreeMap, BTreeSet};
use tuckwright::album::Album;
use tuckwright::length::Length;
use tuckwright::plan::verify::{Finished, Line, VerifyError, inspect, verify};
use tuckwright::plan::{dropped, picks};
use tuckwright::program::expand::Expanded;
use tuckwright::program::model::{ChoiceKey, Scope};
use tuckwright::program::prefer::DEFINITION;
use tuckwright::program::{Force, InstanceId};
use tuckwright::solve::{Limits, solve};
use tuckwright::style::Style;
use tuckwright::style::expr::Number;

/// A plan that is verified: what it is made of.
struct Made {
    style: Style,
    expanded: Expanded,
    values: Vec<i64>,
    picks: BTreeMap<ChoiceKey, usize>,
    dropped: BTreeSet<InstanceId>,
}

impl Made {
    fn new(style: Style, album: &Album) -> Self {
        let expanded = laid(&style, album);
        let solution = solve(&expanded.program, &Limits::default());
        Self {
            values: solution.values.clone(),
            picks: picks(&expanded, &solution),
            dropped: dropped(&expanded, &solution),
            expanded,
            style,
        }
    }

    fn finished(&self) -> Finished<'_> {
        Finished {
            values: &self.values,
            picks: &self.picks,
            dropped: &self.dropped,
        }
    }

    fn verify(&self) -> Result<Vec<Line>, VerifyError> {
        verify(&self.style, &self.expanded, self.finished())
    }

    fn with(&self, values: &[i64]) -> Result<Vec<Line>, VerifyError> {
        let values = values.to_vec();
        let finished = Finished {
            values: &values,
            ..self.finished()
        };
        verify(&self.style, &self.expanded, finished)
    }
}

fn broken(rule: &str) -> VerifyError {
    let rule = rule.to_owned();
    VerifyError::Broken { rule }
}

fn missing(rule: &str) -> VerifyError {
    let rule = rule.to_owned();
    VerifyError::Missing { rule }
}

fn fits() -> String {
    rule("across", "require = 'strip.width + near <= leaf.width'")
        + &rule("up", "require = 'strip.height <= leaf.height'")
}

#[test]
fn a_plan_of_other_sizes_is_refused() {
    let made = Made::new(strips(&fits()), &album());
    assert_eq!(made.values, [101, 146]);
    let bounds = |size: &str| {
        let size = size.to_owned();
        Err(VerifyError::Bounds { size })
    };
    assert!(made.verify().is_ok());
    assert_eq!(made.with(&[102, 146]), Err(broken("across")));
    assert_eq!(made.with(&[101, 147]), Err(broken("up")));
    assert!(made.with(&[10, 10]).is_ok());
    assert_eq!(made.with(&[9, 10]), bounds("strip.width"));
    assert_eq!(made.with(&[10, 9]), bounds("strip.height"));
    for few in [&[101][..], &[101, 146, 10], &[]] {
        assert_eq!(made.with(few), Err(VerifyError::Surplus));
    }
    let mut tight = Made::new(strips(&fits()), &album());
    tight.expanded.program.unknowns[1].most = 146;
    assert!(tight.verify().is_ok());
    tight.expanded.program.unknowns[1].most = 145;
    assert_eq!(tight.verify(), bounds("strip.height"));
    // What the maker's sizes leave is told to the nanometre, and in whole steps.
    let lines = made.with(&[90, 100]).expect("it fits");
    let step = Length::from_nm(1_000_000);
    let left: Vec<_> = lines.iter().map(|line| line.steps_left(step)).collect();
    assert_eq!(left, [Some(11), Some(46)]);
    let lines = made.with(&[90, 100]).expect("it fits");
    let coarse = Length::from_nm(4_000_000);
    assert_eq!(lines[0].steps_left(coarse), Some(2));
    assert!(
        lines
            .iter()
            .all(|line| line.holds && line.force == Force::Must)
    );
    assert_eq!((lines[0].rule, lines[1].rule), (0, 1));
    assert_eq!(lines[1].instance, InstanceId(1));
}

#[test]
fn every_rule_was_laid_over_everything_that_it_speaks_of() {
    let two = album_of(&[3, 1], "111 x 146 mm", "");
    let fresh = || Made::new(strips(&fits()), &two);
    let made = fresh();
    assert_eq!(made.verify().map(|lines| lines.len()), Ok(4));
    // A rule for one leaf that stands under another's name.
    let mut swapped = fresh();
    swapped.expanded.scopes.swap(0, 1);
    assert_eq!(swapped.verify(), Err(missing("across")));
    let mut swapped = fresh();
    swapped.expanded.scopes.swap(2, 3);
    assert_eq!(swapped.verify(), Err(missing("up")));
    let mut none = fresh();
    none.expanded.scopes[3] = Scope::default();
    assert_eq!(none.verify(), Err(missing("up")));
    let mut short = fresh();
    short.expanded.scopes.pop();
    assert_eq!(short.verify(), Err(missing("up")));
    // A rule in the place of another, and one left out.
    let mut other = fresh();
    other.expanded.program.instances[1].rule = 1;
    assert_eq!(other.verify(), Err(missing("across")));
    let mut short = fresh();
    short.expanded.program.instances.pop();
    assert_eq!(short.verify(), Err(missing("up")));
    // One more than the rules make. What defines a helper is none of the rules.
    let mut more = fresh();
    let last = more.expanded.program.instances[3].clone();
    more.expanded.program.instances.push(last.clone());
    assert_eq!(more.verify(), Err(VerifyError::Surplus));
    more.expanded.program.instances[4].rule = DEFINITION;
    assert_eq!(more.verify().map(|lines| lines.len()), Ok(4));
    more.expanded.program.instances.push(last);
    assert_eq!(more.verify(), Err(VerifyError::Surplus));
    // A rule of which the style has nothing.
    let instance = InstanceId(3);
    assert_eq!(
        inspect(&made.style, &made.expanded, made.finished(), instance),
        Ok(made.verify().expect("it fits").remove(3))
    );
    let mut unknown = fresh();
    unknown.expanded.program.instances[3].rule = 2;
    let found = inspect(
        &unknown.style,
        &unknown.expanded,
        unknown.finished(),
        instance,
    );
    assert_eq!(found, Err(VerifyError::Surplus));
}

#[test]
fn a_rule_applies_where_all_its_conditions_hold() {
    let when = |conditions: &str| {
        let rest = format!("when = [{conditions}]\nrequire = 'strip.width <= leaf.width'");
        let two = album_of(&[3, 1], "111 x 146 mm", "");
        let words = fits() + &rule("also", &rest);
        let made = Made::new(strips(&words), &two);
        made.verify().expect("it fits").len() - 4
    };
    assert_eq!(when("'leaf.count > 0'"), 2);
    assert_eq!(when("'leaf.count > 1'"), 1);
    assert_eq!(when("'leaf.count > 1', 'leaf.count < 3'"), 0);
    assert_eq!(when("'leaf.count > 3', 'leaf.count > 0'"), 0);
    assert_eq!(when("'leaf.count > 0', 'leaf.count < 3'"), 1);
}

#[test]
fn a_wish_that_is_not_kept_stands_with_what_it_lacks() {
    let wish = rule(
        "wider",
        "wish = true\nrequire = 'strip.width >= leaf.width + near'",
    );
    let mut made = Made::new(strips(&(fits() + &wish)), &album());
    let lines = made.verify().expect("the wish is dropped");
    let last = lines.last().expect("three rules");
    assert_eq!((last.force, last.holds), (Force::Wish, false));
    assert_eq!(last.steps_left(Length::from_nm(1_000_000)), Some(-20));
    made.dropped.clear();
    assert_eq!(made.verify(), Err(broken("wider")));
}

#[test]
fn of_several_ways_the_one_with_the_most_room_counts() {
    let either = rule(
        "a",
        "either = [['strip.width <= leaf.width', 'strip.height <= leaf.width'], 'strip.width <= near', ['near <= strip.height', 'strip.height <= leaf.height']]",
    );
    let made = Made::new(strips(&either), &album());
    let at = |values: &[i64]| {
        let line = made.with(values).map(|mut lines| lines.remove(0));
        line.map(|line| {
            let left = line.steps_left(Length::from_nm(1_000_000));
            (line.way, line.comparison, left)
        })
    };
    // 111 - 50 and 111 - 40; 10 - 50; 40 - 10 and 146 - 40.
    assert_eq!(at(&[50, 40]), Ok((0, 0, Some(61))));
    assert_eq!(at(&[40, 50]), Ok((0, 1, Some(61))));
    // Of ways with the same room the first: 100 - 10 and 111 - 21.
    assert_eq!(at(&[21, 100]), Ok((2, 1, Some(46))));
    assert_eq!(at(&[120, 60]), Ok((2, 0, Some(50))));
    assert_eq!(at(&[120, 140]), Ok((2, 1, Some(6))));
    assert_eq!(at(&[120, 146]), Ok((2, 1, Some(0))));
    assert_eq!(at(&[120, 147]), Err(broken("a")));
    // Of comparisons with the same room the first.
    assert_eq!(at(&[50, 50]), Ok((0, 0, Some(61))));
    // Of ways with the same room the first, and one of which nothing is said has none to spare.
    let some = format!("{RINGS}wire = '2 mm'\n");
    let album = album_of(&[3], "111 x 146 mm", &some);
    let first = |either: &str, values: &[i64]| {
        let style = strips(&rule("a", &format!("either = [{either}]")));
        let mut made = Made::new(style, &album);
        // The large ring, of which no wire is said.
        made.picks.values_mut().for_each(|pick| *pick = 1);
        let lines = made.with(values).expect("a way holds");
        (lines[0].way, lines[0].worst.is_some())
    };
    let same = "'strip.width <= leaf.width', 'strip.height <= leaf.width'";
    assert_eq!(first(same, &[50, 50]), (0, true));
    assert_eq!(first(same, &[50, 49]), (1, true));
    assert_eq!(first(same, &[49, 50]), (0, true));
    let unsaid = "'strip.width <= ring.inside', 'strip.width <= ring.wire'";
    assert_eq!(first(unsaid, &[25, 1]), (0, true));
    assert_eq!(first(unsaid, &[26, 1]), (1, false));
    // One that holds comes before one with more room in another comparison of its own.
    assert_eq!(at(&[111, 111]), Ok((2, 1, Some(35))));
}

#[test]
fn equal_is_equal_and_nothing_beside_it() {
    let style = strips(
        &(rule("same", "require = 'strip.width = leaf.width / 3'")
            + &rule("up", "require = 'strip.height <= leaf.height'")),
    );
    let made = Made::new(style, &album());
    assert_eq!(made.values, [37, 146]);
    for (width, off) in [(37, 0), (36, 1), (38, 1), (30, 7)] {
        let values = [width, 146];
        let found = made.with(&values);
        assert_eq!(found.is_ok(), off == 0, "{width}");
        // Asked alone, a rule is told whether it holds or not.
        let finished = Finished {
            values: &values,
            ..made.finished()
        };
        let line = inspect(&made.style, &made.expanded, finished, InstanceId(0));
        let left = line.map(|line| (line.holds, line.steps_left(Length::from_nm(1_000_000))));
        assert_eq!(left, Ok((off == 0, Some(-off))));
    }
}

#[test]
fn a_plan_is_held_to_the_worse_end_of_each_value() {
    let varied = album_of(&[3], "111 ± 1 x 146 ± 2 mm", "");
    let words = rule("across", "require = 'strip.width <= leaf.width'")
        + &rule("up", "require = 'strip.height >= leaf.height - leaf.width'")
        + &rule("flat", "require = 'strip.height <= leaf.height'");
    let made = Made::new(strips(&words), &varied);
    assert!(made.with(&[110, 144]).is_ok());
    assert_eq!(made.with(&[111, 144]), Err(broken("across")));
    assert_eq!(made.with(&[110, 145]), Err(broken("flat")));
    assert!(made.with(&[110, 38]).is_ok(), "148 - 110");
    assert_eq!(made.with(&[110, 37]), Err(broken("up")));
    let lines = made.with(&[100, 50]).expect("it fits");
    let at_most = |at: usize| {
        let worst = lines[at].worst.as_ref().expect("it compares");
        assert!(worst.length);
        worst.at_most.len()
    };
    // The widest bag is no worse for a strip; the highest one is for what is left above.
    assert_eq!([at_most(0), at_most(1), at_most(2)], [0, 1, 0]);
    let left = |at: usize| lines[at].steps_left(Length::from_nm(1_000_000));
    assert_eq!([left(0), left(1), left(2)], [Some(10), Some(12), Some(94)]);
    // A value that cancels out has no worse end.
    let none = require("strip.width + leaf.width <= leaf.width + leaf.height");
    let made = Made::new(none, &varied);
    let lines = made.with(&[144, 1]).expect("it fits");
    let worst = lines[0].worst.as_ref().expect("it compares");
    assert_eq!(worst.at_most, BTreeSet::new());
    assert_eq!(made.with(&[145, 1]), Err(broken("a")));
}

#[test]
fn numbers_are_left_over_in_no_steps() {
    let made = Made::new(require("leaf.count <= 3"), &album());
    let lines = made.verify().expect("3 is enough");
    let worst = lines[0].worst.as_ref().expect("it compares");
    assert_eq!(
        (worst.slack, worst.length),
        (Number::from_integer(0), false)
    );
    assert_eq!(lines[0].steps_left(Length::from_nm(1_000_000)), None);
    let four = album_of(&[4], "111 x 146 mm", "");
    let made = Made::new(require("leaf.count <= 3"), &four);
    assert_eq!(made.with(&[1, 1]), Err(broken("a")));
}

#[test]
fn a_ring_is_held_to_what_it_says() {
    let some = format!("{RINGS}wire = '2 mm'\n");
    let album = album_of(&[3], "111 x 146 mm", &some);
    let words = rule("wire", "require = 'strip.width + ring.wire <= ring.inside'")
        + &rule("reach", "require = 'ring.inside >= strip.height'")
        + &rule("thick", "require = 'strip.width <= leaf.width - ring.wire'");
    let made = Made::new(strips(&words), &album);
    // The small ring, with a wire of 2 mm.
    assert!(made.picks.values().all(|&pick| pick == 0));
    assert!(made.with(&[16, 18]).is_ok());
    assert_eq!(made.with(&[17, 18]), Err(broken("wire")));
    assert_eq!(made.with(&[16, 19]), Err(broken("reach")));
    let lines = made.verify().expect("it fits");
    assert!(lines.iter().all(|line| line.worst.is_some()));
    // The large one does not say how thick its wire is.
    let mut large = Made::new(strips(&words), &album);
    large.picks.values_mut().for_each(|pick| *pick = 1);
    let lines = large.with(&[200, 25]).expect("no wire is said");
    let said: Vec<bool> = lines.iter().map(|line| line.worst.is_some()).collect();
    assert_eq!(said, [false, true, false]);
    assert!(lines[0].holds && lines[0].steps_left(Length::from_nm(1)).is_none());
    assert_eq!((lines[0].way, lines[0].comparison), (0, 0));
    assert_eq!(large.with(&[200, 26]), Err(broken("reach")));
    // Where nothing is picked the first counts, and one that is not there has no value.
    let mut none = Made::new(strips(&words), &album);
    none.picks.clear();
    assert!(none.with(&[16, 18]).is_ok());
    assert_eq!(none.with(&[17, 18]), Err(broken("wire")));
    large.picks.values_mut().for_each(|pick| *pick = 2);
    let rule = "wire".to_owned();
    assert_eq!(large.with(&[16, 18]), Err(VerifyError::NoValue { rule }));
}
